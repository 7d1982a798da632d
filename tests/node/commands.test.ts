import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import wavefile from "wavefile";
import { buildCli, fourValues, packageFolder, Workplace } from "./built-cli.js";

const place = new Workplace();
beforeAll(() => {
  buildCli();
  place.write("mill.yaml", fourValues);
});
afterAll(() => place.remove());

const ok = (words: string[]) => {
  const result = place.run(words);
  expect(result.code, result.err).toBe(0);
  return result;
};
const json = (words: string[]) => JSON.parse(ok([...words, "--json"]).out) as Record<string, unknown>;
const wavOf = (name: string) => {
  const wav = new wavefile.WaveFile();
  wav.fromBuffer(readFileSync(join(place.folder, name)));
  return wav;
};
const rowsOf = (name: string) => readFileSync(join(place.folder, name), "utf8").trim().split("\n");

describe("help", () => {
  it("names every command, and each has an example that names it", () => {
    const { out } = ok(["--help"]);
    for (const command of ["render", "events", "check", "presets"]) {
      expect(out).toMatch(new RegExp(`^  ${command} `, "m"));
      expect(ok([command, "--help"]).out).toMatch(new RegExp(`Example:\\n  fourbeat ${command}`));
    }
    expect(ok(["--version"]).out.trim()).toBe(
      (JSON.parse(readFileSync(join(packageFolder, "package.json"), "utf8")) as { version: string }).version,
    );
  });

  it("is what a call without a command gets, and that counts as the user's slip", () => {
    const result = place.run([]);
    expect(result.code).toBe(1);
    expect(result.err).toContain("Usage: fourbeat");
  });
});

describe("render", () => {
  it("writes a 24 bit mono file at 48 kHz into render/out/ and says so", () => {
    const { out, err } = ok(["render", "mill.yaml", "--seconds", "1"]);
    expect(out).toContain("render/out/mill.wav");
    expect(err.split("\n").filter((line) => line !== "" && !line.startsWith("Warning: "))).toEqual([]);
    const wav = wavOf("render/out/mill.wav");
    expect(wav.fmt).toMatchObject({ numChannels: 1, sampleRate: 48000, bitsPerSample: 24 });
    expect((wav.data as { chunkSize: number }).chunkSize).toBe(48000 * 3);
  });

  it("gives the fields of the contract, in true figures", () => {
    const report = json(["render", "mill.yaml", "--turns", "3", "-o", "a.wav", "--full-scale", "50 Pa"]);
    const names =
      "file stems seconds turns rateHz peakDbfs rmsDbfs loudnessLufs truePeakDbtp clippedSamples fullScalePa speedRpm meanFlowKgPerS meanEffectivePressurePa powerW realtimeRatio seed beatsPerTurn beats warnings assumed";
    expect(Object.keys(report)).toEqual(names.split(" "));
    expect(report).toMatchObject({
      file: "a.wav",
      stems: [],
      rateHz: 48000,
      fullScalePa: 50,
      seed: 1,
      clippedSamples: 0,
    });
    expect(report.turns).toBeCloseTo(3, 3); // 90 rpm: 2 s
    expect(report.seconds).toBeCloseTo(2, 3);
    expect(report.speedRpm).toBeCloseTo(90, 6);
    const samples = wavOf("a.wav").getSamples(true, Float64Array as never) as unknown as Float64Array;
    const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0) / 8388608;
    expect(report.peakDbfs).toBeCloseTo(20 * Math.log10(peak), 3);
    expect(report.powerW).toBeGreaterThan(0);
    const beats = report.beats as { timeS: number; shaftDeg: number; cylinder: number; end: string }[];
    expect(beats.length).toBe(3 * (report.beatsPerTurn as number));
    // At 90 rpm a degree takes 1/540 s; sample 0 is shaft 0.
    for (const beat of beats) expect(beat.timeS * 540).toBeCloseTo(beat.shaftDeg, 1);
  });

  it("gives the same bytes for the same seed, and others for another", () => {
    const bytes = (seed: string, name: string) => {
      ok(["render", "mill.yaml", "--seconds", "0.5", "--bits", "16", "--seed", seed, "-o", name]);
      return readFileSync(join(place.folder, name));
    };
    expect(bytes("5", "b.wav").equals(bytes("5", "c.wav"))).toBe(true);
    expect(bytes("5", "b.wav").equals(bytes("6", "c.wav"))).toBe(false);
  });

  it("writes stems whose sum is the mix", () => {
    const report = json(["render", "mill.yaml", "--seconds", "0.5", "--stems", "--bits", "32f", "-o", "s.wav"]);
    const written = report.stems as { name: string; file: string }[];
    const names = written.map(({ name }) => name);
    expect(names.slice(0, 5)).toEqual(["exhaust-pulse", "exhaust-noise", "exhaust-jet", "inlet", "leaks"]);
    expect(names).toContain("knocks");
    for (const { name, file } of written) expect(file).toBe(`s-${name}.wav`);
    const [mix, ...stems] = ["s", ...names.map((name) => `s-${name}`)].map(
      (name) => wavOf(`${name}.wav`).getSamples(true, Float64Array as never) as unknown as Float64Array,
    );
    let worst = 0;
    for (let i = 0; i < mix!.length; i++) {
      worst = Math.max(worst, Math.abs(stems.reduce((sum, stem) => sum + stem[i]!, 0) - mix![i]!));
    }
    expect(worst).toBeLessThan(1e-6);
  });

  it("writes beats and pulses as tables with the columns of the contract", () => {
    ok(["render", "mill.yaml", "--seconds", "1", "-o", "t.wav", "--beats", "beats.csv", "--pulses", "pulses.csv"]);
    const beats = rowsOf("beats.csv");
    expect(beats[0]).toBe("timeS,shaftDeg,cylinder,end");
    expect(beats[1]).toMatch(/^[\d.]+,[\d.]+,[1-4],(head|crank)$/);
    const pulses = rowsOf("pulses.csv");
    expect(pulses[0]).toMatch(
      /^timeS,shaftDeg,nozzleFlowKgPerS,nozzleVolumeFlowM3PerS,nozzlePressurePa,c1HeadPressurePa,c1HeadExhaustKgPerS,c1CrankPressurePa,c1CrankExhaustKgPerS/,
    );
    expect(pulses.length).toBe(1 + 3000);
    for (const row of [pulses[1]!, pulses.at(-1)!])
      expect(row.split(",").every((cell) => Number.isFinite(Number(cell)))).toBe(true);
    ok(["render", "mill.yaml", "--seconds", "0.1", "-o", "t.wav", "--pulses", "pulses.csv", "--pulse-step", "100"]);
    expect(rowsOf("pulses.csv").length).toBe(1 + 48);
  });

  it("follows a run file, its machine named from where the run stands", () => {
    place.write(
      "run.yaml",
      "machine: mill.yaml\nseconds: 1\nseed: 9\ncontrols:\n  - { at: 0 s, speed: 60 rpm, regulator: 50 % }\n",
    );
    const report = json(["render", "run.yaml", "-o", "r.wav"]);
    expect(report).toMatchObject({ seed: 9, seconds: 1 });
    expect(report.speedRpm).toBeCloseTo(60, 6);
  });

  it("shows a name full of control characters and markup without obeying it, and names no file after it", () => {
    place.write("odd.yaml", `name: "../../x <script> \\e[2J"\n${fourValues}`);
    const { out } = ok(["render", "odd.yaml", "--seconds", "0.1"]);

    expect(out).not.toMatch(/\u001b/);
    expect(out).toContain("render/out/odd.wav");
  });

  it("draws no bar and no colour into a pipe", () => {
    const { out, err } = ok(["render", "mill.yaml", "--seconds", "2"]);

    expect(out + err).not.toMatch(/[\u001b\r]/);
  });
});

describe("events, check and presets", () => {
  it("events gives each end's events and the beats, with the caution", () => {
    const report = json(["events", "mill.yaml", "--cutoff", "40 %"]);
    expect(Object.keys(report)).toEqual(
      "cutoffRatio fullGearCutoffRatio faults ends beats beatsPerTurn audibleShiftDeg assumed warnings caution".split(
        " ",
      ),
    );
    expect(report.cutoffRatio).toBeCloseTo(0.4, 6);
    const text = ok(["events", "mill.yaml", "--cutoff", "40 %"]).out;
    expect(text).toContain(report.caution);
    expect(text).toMatch(/1\/64 in/); // the file speaks inches
    // The number it tells is one it takes without a word.
    const told = /full gear cuts off at ([\d.]+ %)/.exec(text)![1]!;
    const again = ok(["events", "mill.yaml", "--cutoff", told]).out;
    expect(again).toContain(`Valve events at ${told} cut-off, forward gear; full gear.`);
    expect(again).not.toContain("above full gear");
  });

  it("events judges the beats at another speed when told", () => {
    // 6 ms at 200 rpm are 7.2 degrees, more than 2.5 % of half a turn. [source: Friberg & Sundberg, JASA 98, 1995]
    const report = json(["events", "mill.yaml", "--speed", "200 rpm"]);
    expect(report.audibleShiftDeg).toBeCloseTo(7.2, 9);
    expect(ok(["events", "mill.yaml", "--speed", "200 rpm"]).out).toMatch(
      /beats: 2 a turn, 6\.7 a second at 200\.0 rpm/,
    );
    expect(place.run(["events", "mill.yaml", "--speed", "60 mph"]).err).toContain("add wheels");
  });

  it("events of a machine out of true sets the beats beside those it should have", () => {
    place.write("rod.yaml", `${fourValues}faults: [{ kind: valveRodLength, cylinder: 1, by: 1/4 in }]\n`);
    const report = json(["events", "rod.yaml"]) as {
      faults: unknown[];
      beats: { end: string; shaftDeg: number; healthyShaftDeg: number; deviationDeg: number; isAudible: boolean }[];
    };
    expect(report.faults).toEqual([{ kind: "valveRodLength", cylinder: 1, byM: 0.00635 }]);
    const healthy = json(["events", "mill.yaml"]) as { beats: { end: string; shaftDeg: number }[] };
    for (const beat of report.beats) {
      expect(beat.healthyShaftDeg).toBe(healthy.beats.find(({ end }) => end === beat.end)!.shaftDeg);
      expect(beat.deviationDeg).toBeCloseTo(beat.shaftDeg - beat.healthyShaftDeg, 9);
      expect(Math.sign(beat.deviationDeg)).toBe(beat.end === "head" ? 1 : -1); // head later, crank earlier
      expect(beat.isAudible).toBe(true);
    }
    const text = ok(["events", "rod.yaml"]).out;
    expect(text).toMatch(/cylinder 1, valveRodLength: the valve stands 6\.35 mm \(0\.25 in\) off its middle/);
    expect(text).toMatch(/healthy +now +difference +shift heard/);
    expect(text).toMatch(/1 head +[\d.]+ +[\d.]+ +\+[\d.]+ +yes/);
    expect(ok(["check", "rod.yaml"]).out).toMatch(/out of true +cylinder 1, valveRodLength/);
  });

  it("check gives the fields of the contract and balances that close", () => {
    const report = json(["check", "mill.yaml"]);
    const names =
      "assumed warnings massResidualRatio energyResidualRatio steamKgPerS powerW steamKgPerKWh meanEffectivePressurePa resonancesHz pistonSpeedMPerS doubleStrokesPerMin waterM3PerS waterPowerW fullGearCutoffRatio boilerPressurePa boilerTemperatureK faults caution";
    expect(Object.keys(report).sort()).toEqual(names.split(" ").sort());
    expect(Math.abs(report.massResidualRatio as number)).toBeLessThan(1e-6);
    expect(Math.abs(report.energyResidualRatio as number)).toBeLessThan(1e-6);
    // 24 in at 90 rpm: 2 * 0.6096 m * 1.5 a second.
    expect(report.pistonSpeedMPerS).toBeCloseTo(2 * 0.6096 * 1.5, 6);
    const text = ok(["check", "mill.yaml"]).out;
    for (const { name } of report.assumed as { name: string }[]) expect(text).toContain(name);
    // 160 psi gauge is 12.04 bar abs, at which steam boils at 188.1 degC. [source: any steam table, from memory]
    expect(text).toMatch(/^ {2}judged at +90 rpm, full gear, regulator full open$/m);
    expect(text).toMatch(/^ {2}supplied +11\.03 bar \(160 psi\) gauge, 188\.1 degC, saturated$/m);
    expect(report.boilerTemperatureK).toBeCloseTo(273.15 + 188.1, 0);
    expect(text).toMatch(/^ {2}full gear +cuts off at 75\.0 %$/m); // what the assumed lap is made for
    expect(text).toMatch(/^ {2}balances +mass adds up, energy adds up$/m);
    expect(text).toContain("As usual: formatVersion 1, name Unnamed engine, idealised false, fullScale by rule.");
    expect(text).toMatch(/^ {2}steam used +\d+(\.\d+)? kg\/h$/m);
  });

  it("check says air where the machine runs on air, and never a power of ten for what it uses", () => {
    place.write("air.yaml", `workingFluid: air\n${fourValues.replace("160 psi", "8 bar")}`);
    expect(ok(["check", "air.yaml"]).out).toMatch(/^ {2}air used +\d{4,} kg\/h$/m);
  });

  it("presets lists what ships, and each can be used as it is named", () => {
    const { presets } = json(["presets"]) as {
      presets: { file: string; name: string; kind: string; beatsPerTurn: number }[];
    };
    expect(presets.length).toBeGreaterThanOrEqual(7);
    for (const preset of presets) expect(Object.keys(preset)).toEqual(["file", "name", "kind", "beatsPerTurn"]);
    expect(json(["events", presets[0]!.file]).beatsPerTurn).toBe(presets[0]!.beatsPerTurn);
    const text = ok(["presets"]).out;
    for (const { name } of presets) expect(text).toContain(name);
  });
});
