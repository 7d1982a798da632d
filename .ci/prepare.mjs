// Sets up a fresh clone: installs what the lock file names, and with --build compiles what has changed.
// Plain Node, no packages: it runs before anything is installed.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const stampFile = join(root, "node_modules", ".fourbeat-lock-stamp");
const lock = createHash("sha256")
  .update(readFileSync(join(root, "package-lock.json")))
  .digest("hex");

function run(command, args) {
  const result = spawnSync(command, args, {
    cwd: root,
    stdio: ["ignore", "inherit", "inherit"],
    shell: process.platform === "win32",
  });
  if (result.status !== 0) {
    console.error(`\nSet-up stopped: '${command} ${args.join(" ")}' failed.`);
    process.exit(result.status ?? 2);
  }
}

if (!existsSync(stampFile) || readFileSync(stampFile, "utf8") !== lock) {
  console.error("Setting up: installing packages (once) ...");
  run("npm", ["ci", "--no-audit", "--no-fund", "--loglevel=error"]);
  writeFileSync(stampFile, lock);
}
if (process.argv.includes("--build")) run(process.execPath, [join(root, "node_modules", "typescript", "bin", "tsc"), "-b", join(root, "src", "node")]);
