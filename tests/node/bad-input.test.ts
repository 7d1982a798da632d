import { spawnSync } from "node:child_process";
import {
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
} from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { buildCli, expectRefusal, fourValues, Workplace } from "./built-cli.js";

const place = new Workplace();
beforeAll(buildCli);
afterAll(() => place.remove());

const machine = (changes: Record<string, string>): string => {
  let text = fourValues;
  for (const [from, to] of Object.entries(changes)) text = text.replace(from, to);
  return text;
};

describe("a machine file that cannot be a machine is refused in one message, by every command", () => {
  const gear = (words: string) => `${fourValues}valveGear: { kind: eccentric, ${words} }\n`;
  const cases: [string, string, RegExp][] = [
    ["zero bore", machine({ "17 in": "0 mm" }), /bad\.yaml:1:\d+ cylinders\.bore must be .*got 0 mm/],
    ["1e9 of anything", machine({ "17 in": "1e9 m" }), /cylinders\.bore must be/],
    ["a speed of 1e9", machine({ "90 rpm": "1e9 rpm" }), /speed must be/],
    ["NaN", machine({ "17 in": ".nan" }), /cylinders\.bore must be/],
    ["NaN with a unit", machine({ "17 in": "NaN mm" }), /cylinders\.bore must be/],
    ["a negative absolute pressure", machine({ "160 psi": "-1 bar abs" }), /boiler\.pressure must be/],
    ["a million cylinders", machine({ "{ bore": "{ count: 1e6, bore" }), /cylinders\.count must be/],
    ["lap over half travel", gear("travel: 4 in, steamLap: 3 in"), /bad\.yaml:\d+:\d+ valveGear/],
    ["rod shorter than crank", machine({ "24 in": "24 in, connectingRod: 6 in" }), /connectingRod must be/],
    ["a misspelt key", machine({ stroke: "strok" }), /strok is not a known key\. Nearest: stroke/],
    ["an empty file", "", /bad\.yaml.* empty/],
    ["not a block", "- 1\n- 2\n", /bad\.yaml/],
  ];
  for (const [title, text, words] of cases) {
    it(title, async () => {
      place.write("bad.yaml", text);
      expectRefusal(place.run(["render", "bad.yaml"]), words);
      for (const command of ["events", "check"]) expectRefusal(await place.call([command, "bad.yaml"]), words);
      expect(place.files().filter((name) => /wav|part/.test(name))).toEqual([]);
    });
  }

  it("lists the first ten faults with their places and says how many more there are", () => {
    const keys = Array.from({ length: 25 }, (_, i) => `nonsense${i}: 1`).join("\n");
    place.write("bad.yaml", `${fourValues}${keys}\n`);
    const result = place.run(["check", "bad.yaml"]);
    expectRefusal(result, /bad\.yaml:4:1 nonsense0 /);
    expect(result.err.trim().split("\n").length).toBe(11);
    expect(result.err).toMatch(/15 more/);
  });

  it("with --json gives the same as one object", async () => {
    place.write("bad.yaml", machine({ "17 in": "0 mm" }));
    const calls = ["render", "events", "check"].map((command) => [command, "bad.yaml", "--json"]);
    for (const result of [place.run(calls[0]!), await place.call(calls[1]!), await place.call(calls[2]!)]) {
      expect(result.code).toBe(1);
      const { errors } = JSON.parse(result.out) as { errors: Record<string, unknown>[] };
      expect(Object.keys(errors[0]!)).toEqual(["file", "line", "column", "name", "message"]);
      expect(errors[0]).toMatchObject({ file: "bad.yaml", line: 1, name: "cylinders.bore" });
      expect(result.err).toContain("bad.yaml:1:");
    }
  });
});

describe("a file that cannot be read is refused in one message", () => {
  it("missing, a folder, binary, over 1 MB, or full of control characters in its name", async () => {
    mkdirSync(join(place.folder, "folder"));
    place.write("noise.bin", Buffer.from([0, 1, 2, 3, 255]));
    place.write("long.yaml", "");
    truncateSync(join(place.folder, "long.yaml"), 2e6);
    expectRefusal(place.run(["render", "none.yaml"]), /^none\.yaml: must be a file, got nothing of that name/);
    for (const command of ["render", "events", "check"]) {
      const refuses = async (file: string, words: RegExp) => expectRefusal(await place.call([command, file]), words);
      await refuses("none.yaml", /^none\.yaml: must be a file, got nothing of that name/);
      await refuses("folder", /^folder: must be a file, got a folder/);
      await refuses("noise.bin", /^noise\.bin: must be a text file/);
      await refuses("long.yaml", /^long\.yaml: must be at most 1 MB, got 2\.0 MB/);
      await refuses("a\u001b[31mb", /a\\u\{1b\}\[31mb/);
    }
  });

  it("a run whose machine is missing, and a run of 1e9 seconds", () => {
    place.write("mill.yaml", fourValues);
    place.write("run.yaml", "machine: nowhere.yaml\nseconds: 5\n");
    expectRefusal(
      place.run(["render", "run.yaml"]),
      /^run\.yaml:1:10 machine must name a machine file, got nowhere\.yaml, which must be a file, got nothing/,
    );
    place.write("run.yaml", "machine: mill.yaml\nseconds: 1e9\n");
    expectRefusal(place.run(["render", "run.yaml"]), /run\.yaml:2:\d+ seconds must be/);
    expectRefusal(place.run(["check", "run.yaml"]), /run\.yaml: must be a machine file, got a run file/);
  });

  it("a run whose machine is a run, or itself", async () => {
    place.write("mill.yaml", fourValues);
    place.write("run.yaml", "machine: mill.yaml\nseconds: 5\n");
    for (const [name, named] of [
      ["outer.yaml", "run.yaml"],
      ["self.yaml", "self.yaml"],
    ] as const) {
      place.write(name, `seconds: 5\nmachine: ${named}\n`);
      const { code, err } = await place.call(["render", name]);
      expect({ code, err }).toEqual({
        code: 1,
        err: `${name}:2:10 machine must name a machine file, got ${named}, which is a run file. Name the file that its 'machine:' names.\n`,
      });
    }
  });
});

describe("a run that does not say which machine", () => {
  it("is told to name one, and is not judged as a machine", async () => {
    place.write("lost.yaml", "seconds: 5\ncontrols:\n  - { at: 0 s, speed: 60 rpm }\n");
    const result = await place.call(["render", "lost.yaml"]);
    expectRefusal(result, /^lost\.yaml:1:1 machine is missing\. A run needs a machine file\. For example machine: /);
    expect(result.err.trim().split("\n")).toHaveLength(1);
    expectRefusal(await place.call(["check", "lost.yaml"]), /^lost\.yaml: must be a machine file, got a run file/);
  });
});

describe("options that cannot be are refused in one message", () => {
  beforeAll(() => {
    place.write("mill.yaml", fourValues);
    place.write("run.yaml", "machine: mill.yaml\nseconds: 5\n");
    place.write("toy.yaml", `${fourValues}valveGear: { kind: oscillating, portDiameter: 1 in }\n`);
    place.write("pump.yaml", fourValues.replace(/speed.*/, "pump: { waterBore: 12 in }"));
  });
  const cases: [string, RegExp][] = [
    ["render mill.yaml --rate 1e9", /^--rate must be a whole number from 8000 to 192000, got "1e9"/],
    ["render mill.yaml --rate 1000000000", /^--rate must be/],
    ["render mill.yaml --seconds 5 --turns 10", /^--turns must not be given together with --seconds/],
    ["render mill.yaml --seconds 1e9", /^--seconds must be between 0\.1 s and 86400 s/],
    ["render mill.yaml --seconds NaN", /^--seconds must be/],
    ["render mill.yaml --turns 0", /^--turns must be/],
    ["render mill.yaml --bits 12", /^--bits must be 16, 24 or 32f/],
    ["render mill.yaml --fidelity 3", /^--fidelity must be 1, 2 or 4/],
    ["render mill.yaml --seed -1", /^--seed must be/],
    [
      "render mill.yaml --speed 30mph",
      /^--speed must be in rpm or Hz for a machine without wheels.*or add wheels: \{ diameter: 5 ft \} to the machine file/,
    ],
    ["render mill.yaml --cutoff 30", /^--cutoff must be/],
    ["events mill.yaml --cutoff 99%", /^--cutoff must be at most \d\d\.\d % either way, full gear, got 99 %\./],
    ["render mill.yaml --cutoff 99%", /^--cutoff must be at most \d\d\.\d % either way, full gear, got 99 %\./],
    ["render toy.yaml --cutoff 50%", /^--cutoff must be left out for an oscillating cylinder/],
    ["render pump.yaml --cutoff 50%", /^--cutoff must be left out for a pump without a crank/],
    ["events pump.yaml", /^pump\.yaml: events must be asked of a machine with a crank, got a pump whose pistons trip/],
    ["render mill.yaml --full-scale 0Pa", /^--full-scale must be/],
    ["render mill.yaml --pulse-step 4", /^--pulse-step must come with --pulses/],
    ["render run.yaml --speed 60rpm", /^--speed must come with a bare machine file/],
    ["render mill.yaml --secnds 5", /^--secnds is not a known option\. Nearest: --seconds\./],
    ["render mill.yaml --seconds", /^--seconds must have a value/],
    ["render mill.yaml other.yaml", /must be given one file/],
    ["render", /^render must be given a file, got none/],
    ["rendr mill.yaml", /^rendr is not a known command\. Nearest: render\./],
    ["dance", /^dance is not a known command\. 'fourbeat --help'/],
    ["--jsn", /^--jsn is not a known option/],
  ];
  for (const [call, words] of cases) {
    it(call, async () => {
      expectRefusal(await place.call(call.split(" ")), words);
      expect(place.files().filter((name) => /wav|part/.test(name))).toEqual([]);
    });
  }

  it("the same through the built program", () => {
    // Only the engine can tell.
    const own: typeof cases = [
      ["render toy.yaml --turns 1 --speed 0rpm", /^render: turns cannot be counted/],
      ["render pump.yaml --speed 30rpm", /^render: speed must be left out for a pump without a crank, got 30 rpm/],
      ["render pump.yaml --loop", /^render: loop must be asked of a machine with a crank/],
    ];
    for (const [call, words] of [cases[0]!, cases.at(-3)!, ...own]) expectRefusal(place.run(call.split(" ")), words);
  });

  it("with --json as one object without a place", () => {
    const result = place.run(["render", "mill.yaml", "--rate", "1e9", "--json"]);
    expect(JSON.parse(result.out)).toMatchObject({
      errors: [{ file: null, line: null, column: null, name: "--rate" }],
    });
    expect(JSON.parse(place.run(["rendr", "--json"]).out)).toMatchObject({ errors: [{ name: "rendr" }] });
  });
});

describe("outputs that cannot be written", () => {
  const untouched = () => expect(place.files().filter((name) => /wav$|part$/.test(name))).toEqual([]);
  const render = (...words: string[]) => place.run(["render", "mill.yaml", "--seconds", "0.2", ...words]);
  const refuses = async (words: string[], message: RegExp) =>
    expectRefusal(await place.call(["render", "mill.yaml", "--seconds", "0.2", ...words]), message);
  beforeAll(() => void place.write("mill.yaml", fourValues));

  it("are a folder, the input, a device, or two at one name", async () => {
    mkdirSync(join(place.folder, "out"));
    await refuses(["-o", "out"], /^-o must be a file, got the folder out/);
    await refuses(["-o", "."], /^-o must be a file, got the folder '\.'\. Add a file name to it/);
    await refuses(["-o", "mill.yaml"], /^-o must be a file of its own, got mill\.yaml, which is the input/);
    symlinkSync("mill.yaml", join(place.folder, "link.wav"));
    await refuses(["-o", "link.wav"], /which is the input/);
    await refuses(["-o", "x.wav", "--beats", "x.wav"], /--beats must be a file of its own/);
    await refuses(["-o", "x.wav", "--stems", "--pulses", "x-exhaust-jet.wav"], /must be a file of its own/);
    await refuses(["-o", "/dev/null"], /^-o must be a plain file, got the device/);
    await refuses(["-o", "x.flac"], /^-o must be a file name that ends in \.wav/);
    await refuses(["-o", "--stems"], /^-o must be a file name, got --stems/);
    expect(readFileSync(join(place.folder, "mill.yaml"), "utf8")).toBe(fourValues);
    rmSync(join(place.folder, "link.wav"));
  });

  it("stand where there is no folder, or where nothing may be written", async () => {
    await refuses(["-o", "no/such/x.wav"], /^-o must stand in a folder that exists/);
    await refuses(["-o", "mill.yaml/x.wav"], /^-o must stand in a folder that exists/);
    // A folder that even the superuser cannot write.
    expectRefusal(
      render("-o", "/proc/x.wav"),
      /^\/proc\/x\.wav: must be writable, got ENOENT|^-o must stand in a folder that can be written/,
    );
    untouched();
  });

  it("do not fit the disk", (context) => {
    const small = join(place.folder, "small");
    mkdirSync(small);
    const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=64k", "tmpfs", small]);
    if (mounted.status !== 0) return context.skip("mounting a small disk needs the superuser");
    try {
      expectRefusal(
        render("-o", "small/x.wav", "--bits", "32f", "--seconds", "10"),
        /^small\/x\.wav: the disk must have room/,
      );
      expect(readdirSync(small)).toEqual([]);
    } finally {
      spawnSync("umount", [small]);
    }
  });
});

describe("an answer that cannot be printed", () => {
  it("is told in one line, with 1", (context) => {
    if (!existsSync("/dev/full")) return context.skip("needs a device that is always full");
    place.write("mill.yaml", fourValues);
    const full = openSync("/dev/full", "w");
    try {
      const called = (stdio: ("pipe" | number)[], ...words: string[]) => {
        const result = place.runInto(stdio, ["events", "mill.yaml", ...words]);
        return { code: result.code, err: result.err };
      };
      const said = "standard output must be writable, got a full disk. Send it elsewhere.\n";
      for (const words of [[], ["--json"]])
        expect(called(["pipe", full, "pipe"], ...words)).toEqual({ code: 1, err: said });
      // Nowhere is left to say that a word is wrong: the code says it.
      expect(called(["pipe", full, full], "--wrong").code).toBe(1);
    } finally {
      closeSync(full);
    }
  });
});

describe("Ctrl-C", () => {
  it("removes the temporary files and ends with one line", async () => {
    place.write("mill.yaml", fourValues);
    for (const [signal, code] of [
      ["SIGINT", 130],
      ["SIGTERM", 143],
    ] as const) {
      const { child, ended } = place.start(["render", "mill.yaml", "--seconds", "3600", "--stems", "-o", "long.wav"]);
      const isBegun = () => place.files().some((name) => /^long\.wav\..+\.part$/.test(name));
      const deadline = Date.now() + 60_000;
      while (!isBegun() && Date.now() < deadline) await new Promise((resolve) => setTimeout(resolve, 20));
      expect(isBegun()).toBe(true);
      child.kill(signal);
      expect(await ended).toEqual({ code, err: "Stopped. No file was written.\n" });
      expect(place.files().filter((name) => /^long.*(wav|part)$/.test(name))).toEqual([]);
    }
  });
});
