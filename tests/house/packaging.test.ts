import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { projectFolder, readText } from "./source-tree.js";

const manifest = JSON.parse(readText("package.json")) as {
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
  readonly bin: { readonly fourbeat: string };
  readonly exports: { readonly ".": { readonly types: string; readonly default: string } };
};

/** What a bare Node sees of the package from inside `folder`: the exported names, and whether any came out empty. */
function importFrom(folder: string): { names: string[]; undefinedNames: string[] } {
  const script = `
    const door = await import("fourbeat");
    const names = Object.keys(door);
    const undefinedNames = names.filter((name) => door[name] === undefined);
    process.stdout.write(JSON.stringify({ names, undefinedNames }));`;
  const output = execFileSync(process.execPath, ["--input-type=module", "-e", script], { cwd: folder });
  return JSON.parse(output.toString()) as { names: string[]; undefinedNames: string[] };
}

describe("the built package", () => {
  let folder = "";
  let installed = "";

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "fourbeat-pack-"));
    const flags = ["--ignore-scripts", "--silent", "--pack-destination", folder];
    execFileSync("npm", ["pack", ...flags], { cwd: projectFolder, stdio: "ignore" });
    const archive = readdirSync(folder).find((name) => name.endsWith(".tgz"));
    if (archive === undefined) throw new Error("npm pack left no archive");
    installed = join(folder, "node_modules", "fourbeat");
    mkdirSync(installed, { recursive: true });
    execFileSync("tar", ["-xzf", join(folder, archive), "-C", installed, "--strip-components=1"]);
    // As an installation without development packages has it.
    for (const name of Object.keys(manifest.dependencies)) {
      mkdirSync(dirname(join(folder, "node_modules", name)), { recursive: true });
      symlinkSync(join(projectFolder, "node_modules", name), join(folder, "node_modules", name), "junction");
    }
  });

  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  test("opens by its own name in bare Node, from the project's folder", () => {
    const { names, undefinedNames } = importFrom(projectFolder);
    expect(names.length).toBeGreaterThan(0);
    expect(undefinedNames).toEqual([]);
  });

  test("opens from another project that has only its runtime packages", () => {
    expect(importFrom(folder)).toEqual(importFrom(projectFolder));
  });

  test("carries its door, its types, its command, the machines and the runs, and no sources or tests", () => {
    for (const path of [manifest.exports["."].default, manifest.exports["."].types, manifest.bin.fourbeat]) {
      expect(readFileSync(join(installed, path), "utf8").length).toBeGreaterThan(0);
    }
    const top = readdirSync(installed);
    expect(top.sort()).toEqual(["LICENSE", "README.md", "dist", "package.json", "presets", "render"]);
    expect(readdirSync(join(installed, "render")).every((name) => name.endsWith(".yaml"))).toBe(true);
  });

  test("starts its command with the line by which a shell finds Node", () => {
    const command = readFileSync(join(installed, manifest.bin.fourbeat), "utf8");
    expect(command.split("\n")[0]).toBe("#!/usr/bin/env node");
  });

  test("lists its machines from any folder", () => {
    const output = execFileSync(process.execPath, [join(installed, manifest.bin.fourbeat), "presets", "--json"], {
      cwd: tmpdir(),
    });
    const { presets } = JSON.parse(output.toString()) as { presets: { name: string }[] };
    const shipped = readdirSync(join(installed, "presets")).filter((name) => name.endsWith(".yaml"));
    expect(presets.length).toBe(shipped.length);
    expect(shipped.length).toBeGreaterThan(0);
  });

  test("names every package once, at one exact version", () => {
    const all = { ...manifest.dependencies, ...manifest.devDependencies };
    expect(Object.entries(all).filter(([, version]) => !/^\d+\.\d+\.\d+$/.test(version))).toEqual([]);
    const both = Object.keys(manifest.dependencies).filter((name) => name in manifest.devDependencies);
    expect(both).toEqual([]);
  });
});
