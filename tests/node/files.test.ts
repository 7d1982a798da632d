import * as fs from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { longestTextBytes, readTextFile, requireOutputs, writeTextFile } from "../../src/node/files.js";
import { InputFault } from "../../src/node/input-fault.js";
import { PartFiles, type DiskCalls } from "../../src/node/part-file.js";

const folder = fs.mkdtempSync(join(tmpdir(), "fourbeat-files-"));
afterAll(() => fs.rmSync(folder, { recursive: true, force: true }));

const inFolder = (name: string, content?: string | Buffer) => {
  const path = join(folder, name);
  if (content !== undefined) fs.writeFileSync(path, content);
  return path;
};

/** What stands in the folder beside a file under a temporary name. */
const partsOf = (path: string) =>
  fs.readdirSync(folder).filter((name) => name.startsWith(basename(path)) && name.endsWith(".part"));

/** The message of the one fault that `action` must meet. */
function faultOf(action: () => unknown): string {
  try {
    action();
  } catch (error) {
    expect(error).toBeInstanceOf(InputFault);
    const message = (error as Error).message;
    expect(message).not.toContain("\n");
    return message;
  }
  throw new Error("no fault was met");
}

/** The disk as it is, but refusing to `refuse` with the system's own error. */
function brokenDisk(refuse: keyof DiskCalls, code: string, fromCall = 1): DiskCalls {
  let calls = 0;
  const real = fs[refuse] as (...values: unknown[]) => unknown;
  return {
    ...fs,
    [refuse]: (...values: unknown[]) => {
      if (++calls >= fromCall) throw Object.assign(new Error(`${code}: refused`), { code, syscall: "write" });
      return real(...values);
    },
  } as DiskCalls;
}

describe("reading a machine or run file", () => {
  it("gives its text, without a byte order mark", () => {
    expect(readTextFile(inFolder("plain.yaml", "name: Mühle\n"))).toBe("name: Mühle\n");
    expect(readTextFile(inFolder("marked.yaml", "\ufeffname: a\n"))).toBe("name: a\n");
  });

  it("refuses what is missing, a folder, a device, binary or too long, in one line each", () => {
    expect(faultOf(() => readTextFile(inFolder("none.yaml")))).toContain("none.yaml: must be a file, got nothing");
    expect(faultOf(() => readTextFile(join(inFolder("plain.yaml"), "below")))).toContain("got nothing");
    expect(faultOf(() => readTextFile(folder))).toContain("must be a file, got a folder");
    expect(faultOf(() => readTextFile("/dev/zero"))).toContain("got a device or pipe");
    expect(faultOf(() => readTextFile(inFolder("a.bin", Buffer.from([82, 0, 70]))))).toContain("must be a text file");
    expect(faultOf(() => readTextFile(inFolder("b.bin", Buffer.from([0xff, 0xfe, 0x41]))))).toContain(
      "text file in UTF-8",
    );
    expect(faultOf(() => readTextFile(inFolder("x".repeat(400))))).toContain("shorter name");
    const long = inFolder("long.yaml", "");
    fs.truncateSync(long, longestTextBytes + 1);
    expect(faultOf(() => readTextFile(long))).toContain("must be at most 1 MB");
    fs.truncateSync(long, 4e9);
    expect(faultOf(() => readTextFile(long))).toContain("got 4000.0 MB");
  });

  it("writes out what a terminal would obey in a file's name", () => {
    expect(faultOf(() => readTextFile(join(folder, "a\u001b[31m\nb")))).toContain("a\\u{1b}[31m\\u{a}b");
  });
});

describe("writing a file", () => {
  it("leaves the whole text and nothing beside it", () => {
    const path = inFolder("out.csv");
    writeTextFile(path, "a,b\n1,2\n");
    writeTextFile(path, "second\n");
    expect(fs.readFileSync(path, "utf8")).toBe("second\n");
    expect(partsOf(path)).toEqual([]);
  });

  for (const [refuse, code, words] of [
    ["writeSync", "ENOSPC", "the disk must have room"],
    ["writeSync", "EDQUOT", "the disk must have room"],
    ["fsyncSync", "EIO", "got EIO from the system"],
    ["renameSync", "EACCES", "its folder must be writable"],
    ["openSync", "EROFS", "its folder must be writable"],
    ["openSync", "ENOENT", "must be writable, got ENOENT from the system. Name another folder with -o."],
    ["openSync", "ENAMETOOLONG", "must be a shorter name than the system allows"],
  ] as const) {
    it(`that the disk refuses with ${code} at ${refuse} keeps the old file and leaves no part`, () => {
      const path = inFolder(`kept-${refuse}-${code}.csv`, "old");
      expect(faultOf(() => writeTextFile(path, "new", brokenDisk(refuse, code)))).toContain(words);
      expect(fs.readFileSync(path, "utf8")).toBe("old");
      expect(partsOf(path)).toEqual([]);
    });
  }

  it("says that the folder must exist only where there is none", () => {
    const fault = faultOf(() => writeTextFile(inFolder("no-such/new.csv"), "new"));
    expect(fault).toContain("its folder must exist, got none");
  });

  it("of two runs towards one name publishes each whole, whichever comes first", () => {
    const path = inFolder("both.wav", "old");
    const [early, late] = [new PartFiles(), new PartFiles()];
    const first = early.open(path);
    first.write(Buffer.from("first, "));
    const second = late.open(path);
    second.write(Buffer.from("second, not yet"));
    expect(partsOf(path).length).toBe(2);
    first.write(Buffer.from("whole"));
    early.publishAll();
    expect(fs.readFileSync(path, "utf8")).toBe("first, whole");
    second.write(Buffer.from(" whole, now whole"));
    late.publishAll();
    expect(fs.readFileSync(path, "utf8")).toBe("second, not yet whole, now whole");
    expect(partsOf(path)).toEqual([]);
  });

  it("leaves a stranger's file or link under a name like a temporary one alone", () => {
    const victim = inFolder("victim", "untouched");
    const path = inFolder("linked.csv");
    fs.symlinkSync(victim, `${path}.part`);
    writeTextFile(path, "mine");
    expect(fs.readFileSync(victim, "utf8")).toBe("untouched");
    expect(fs.readFileSync(path, "utf8")).toBe("mine");
    expect(partsOf(path)).toEqual(["linked.csv.part"]);
  });

  it("goes on where the system took only a part of the bytes", () => {
    const path = inFolder("slow.csv");
    const slow = {
      ...fs,
      writeSync: (d: number, bytes: Uint8Array, at: number, count: number, place: number) =>
        fs.writeSync(d, bytes, at, Math.min(3, count), place),
    } as unknown as DiskCalls;
    writeTextFile(path, "a longer text than three bytes", slow);
    expect(fs.readFileSync(path, "utf8")).toBe("a longer text than three bytes");
  });

  it("of several files gives none its name before all are whole", () => {
    const files = new PartFiles(brokenDisk("fsyncSync", "ENOSPC", 2));
    const [first, second] = [inFolder("first.wav"), inFolder("second.wav")];
    files.open(first).write(Buffer.from("1"));
    files.open(second).write(Buffer.from("2"));
    expect(() => files.publishAll()).toThrow("ENOSPC");
    files.abandonAll();
    for (const path of [first, second]) expect([fs.existsSync(path), partsOf(path)]).toEqual([false, []]);
  });
});

describe("output paths", () => {
  const one = (path: string, inputs: string[] = []) => requireOutputs([{ option: "-o", path }], inputs);

  it("may be new or replace a file", () => {
    expect(() => one(inFolder("new.wav"))).not.toThrow();
    expect(() => one(inFolder("old.wav", "old"))).not.toThrow();
  });

  it("may not be a folder, a device, the input, or in a folder that is not there", () => {
    expect(faultOf(() => one(folder))).toContain("-o must be a file, got the folder");
    expect(faultOf(() => one(inFolder("none/")))).toContain("got the folder");
    expect(faultOf(() => one("/dev/null"))).toContain("got the device or pipe /dev/null");
    const input = inFolder("mill.yaml", "name: mill");
    expect(faultOf(() => one(input, [input]))).toContain("which is the input");
    const link = inFolder("link.yaml");
    fs.symlinkSync(input, link);
    expect(faultOf(() => one(link, [input]))).toContain("which is the input");
    expect(faultOf(() => one(join(folder, ".", "mill.yaml"), [input]))).toContain("which is the input");
    expect(faultOf(() => one(inFolder("no/such/x.wav")))).toContain("must stand in a folder that exists");
    expect(faultOf(() => one(join(input, "x.wav")))).toContain("must stand in a folder that exists");
    expect(faultOf(() => one(""))).toContain("got none");
  });

  it("may not be two options' at once", () => {
    const pair = (a: string, b: string) => () =>
      requireOutputs(
        [
          { option: "-o", path: inFolder(a) },
          { option: "--beats", path: inFolder(b) },
        ],
        [],
      );
    expect(faultOf(pair("x.wav", "x.wav"))).toContain("which is the file of -o");
    expect(pair("x.wav", "x.wav.part")).not.toThrow();
  });
});
