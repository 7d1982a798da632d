// Sets up a fresh clone: installs what the lock file names, and with --build compiles what has changed.
// Plain Node, no packages: it runs before anything is installed.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const packages = join(root, "node_modules");
const stampFile = join(packages, ".fourbeat-lock-stamp");
const compiler = join(packages, "typescript", "bin", "tsc");
const oldestNode = 20;

function stop(message, status) {
  console.error(`\n${message}`);
  process.exit(status);
}

function run(command, args) {
  const result = spawnSync(command, args, {
    cwd: root,
    // What a tool prints goes to stderr, so that the stdout of the command behind us stays its own.
    stdio: ["ignore", 2, 2],
    shell: process.platform === "win32",
  });
  if (result.error) stop(`Set-up stopped: '${command}' cannot be started (${result.error.message}).`, 2);
  if (result.status !== 0) stop(`Set-up stopped: '${command} ${args.join(" ")}' failed.`, result.status ?? 2);
}

/** Changes with the lock file and with the kind of machine that the packages were installed for. */
function stampNow() {
  const lock = readFileSync(join(root, "package-lock.json"));
  return createHash("sha256").update(lock).update(`${process.platform} ${process.arch}`).digest("hex");
}

const major = Number(process.versions.node.split(".")[0]);
if (major < oldestNode) stop(`Node ${process.versions.node} is too old: version ${oldestNode} or newer is needed.`, 1);

const stamp = stampNow();
const isInstalled = existsSync(compiler) && existsSync(stampFile) && readFileSync(stampFile, "utf8") === stamp;
if (!isInstalled) {
  console.error("Setting up: installing packages (once) ...");
  // An installation that breaks off must not look finished.
  rmSync(stampFile, { force: true });
  run("npm", ["ci", "--include=dev", "--no-audit", "--no-fund", "--loglevel=error"]);
  writeFileSync(stampFile, stamp);
}
if (process.argv.includes("--build")) run(process.execPath, [compiler, "-b", join(root, "src", "node")]);
