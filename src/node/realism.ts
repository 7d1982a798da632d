import { existsSync, readFileSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { measureRealism, type RealismMeasures } from "../listening/realism.js";
import { realismTable, steadyResonances } from "../listening/realism-table.js";
import { OfflineRender } from "../offline/render.js";
import { renderRequest } from "../offline/render-request.js";
import { complaintText } from "../preset/complaint.js";
import { loadMachine, type MachineFile } from "../preset/machine-file.js";
import { columns } from "./terminal-text.js";

// `npm run realism`: what the shipped machines measure like, beside a recording of a real exhaust. Information, no verdict:
// the rows say pass or fail, the exit code does not.

const presetFolder = join(dirname(dirname(dirname(fileURLToPath(import.meta.url)))), "presets");
const measured = "harrow-tank.yaml";
// Working hard: one turn a second, full gear, regulator open, 7.5 m, dry. [common practice]
const workingRpm = 60;
const turns = 26;
// Of the others: why they measure otherwise.
const whyOther: Readonly<Record<string, string>> = {
  "bench-slide.yaml":
    "a small model: short pipes ring high and beats come fast, so it spits and purrs, brighter than any locomotive",
  "hall-exhibit.yaml": "expands air far and turns slowly, two short puffs a turn into a long rest",
  "lingmere-condensing.yaml": "exhausts into a condenser: no beat, only the inlet's rush until its motion is heard",
  "oxmoor-mill.yaml": "breathes into a long open pipe, two beats a turn, the ends unlike; no blast nozzle, no chimney",
  "pocket-wobbler.yaml": "a 10 mm model on one end only: it spits once a turn and hisses past its face while it works",
  "stell-mineral.yaml": "three cylinders at full gear: six beats a turn run into one another, so gaps are shallow",
};
// What the listener's surroundings are in the row that has them, dB(A). [common practice: quiet open country by day]
const backgroundDb = 45;
const greatestDepthDb = 24;
// Speeds between which resonances must stand still, rpm. [common practice: 0.7 to 1.4 turns a second]
const steadyRpm = [42, 84] as const;
const leastSteadyCount = 2;

function readMachine(file: string): MachineFile {
  const path = join(presetFolder, file);
  const loaded = loadMachine(readFileSync(path, "utf8"), path);
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value;
}

function measure(machine: MachineFile, speedRpm: number, listenerDb: number | null = null): RealismMeasures | null {
  const render = new OfflineRender(renderRequest(machine, { speedRpm, turns, backgroundDb: listenerDb }));
  const samples = new Float32Array(render.totalFrames);
  let at = 0;
  for (let block = render.next(); block !== null; block = render.next()) {
    samples.set(block.mix.subarray(0, block.frameCount), at);
    at += block.frameCount;
  }
  const { beatsPerTurn } = render.summary();
  // Beats that fall together count once. [common practice: 2 degrees]
  const togetherS = (2 / 360) * (60 / Math.abs(speedRpm));
  const beatTimesS: number[] = [];
  for (const { timeS } of render.beats()) {
    if (beatTimesS.length === 0 || timeS - beatTimesS[beatTimesS.length - 1]! > togetherS) beatTimesS.push(timeS);
  }
  if (beatsPerTurn === 0 || beatTimesS.length < 4) return null;
  return measureRealism({ samples, sampleRateHz: 48_000, beatTimesS: beatTimesS.slice(1, -1) }, beatsPerTurn);
}

function list(values: readonly number[]): string {
  return values.map((value) => Number(value.toPrecision(3)).toString()).join(" ");
}

function limit(value: number): string {
  return Number.isFinite(value) ? Number(value.toFixed(2)).toString() : "any";
}

function print(title: string, measures: RealismMeasures): void {
  const rows = realismTable(measures).map((row) => [
    row.name,
    list(row.measured),
    list(row.recorded[0]),
    list(row.recorded[1]),
    row.limits.map(([least, most]) => `${limit(least)} to ${limit(most)}`).join(", "),
    row.kind === "pass/fail" ? (row.isWithin ? "pass" : "FAIL") : row.isWithin ? "within" : "outside",
  ]);
  console.log(`\n${title}`);
  console.log(columns(["measure", "here", "recorded", "later", "band", ""], rows));
}

function main(): void {
  if (!existsSync(presetFolder)) throw new Error(`${presetFolder} must be a folder, got nothing of that name.`);
  const machine = readMachine(measured);
  const working = measure(machine, workingRpm);
  if (working === null) throw new Error(`${measured} makes no beat.`);
  print(`${machine.name}, ${workingRpm} rpm, working hard, against a recorded four-coupled locomotive`, working);
  const [slow, fast] = steadyRpm.map((rpm) => measure(machine, rpm));
  const steady = slow && fast ? steadyResonances(slow.resonances, fast.resonances) : [];
  const found = steady.map((peak) => `${peak.frequencyHz.toFixed(0)} Hz`).join(", ");
  const verdict = steady.length >= leastSteadyCount ? "pass" : "FAIL";
  console.log(
    `resonances below 700 Hz that stand still from ${steadyRpm[0]} to ${steadyRpm[1]} rpm: ${found || "none"} (${verdict})`,
  );
  const outdoors = measure(machine, workingRpm, backgroundDb);
  if (outdoors !== null) {
    const depths = outdoors.octaves
      .filter(({ centreHz }) => centreHz >= 250 && centreHz <= 4000)
      .map((octave) => octave.modulationDepthDb);
    const isWithin = depths.every((depth) => depth <= greatestDepthDb);
    console.log(
      `modulation depth with a background of ${backgroundDb} dB(A): ${list(depths)} dB, at most ${greatestDepthDb} ` +
        `(${isWithin ? "within" : "outside"})`,
    );
  }
  for (const file of readdirSync(presetFolder).filter((name) => name.endsWith(".yaml") && name !== measured)) {
    const other = readMachine(file);
    const measures = measure(other, other.description.speedRpm);
    const why = whyOther[file] ?? "another kind of machine";
    if (measures === null) console.log(`\n${other.name}: no beat reaches the air; ${why}.`);
    else print(`${other.name}, ${other.description.speedRpm} rpm, shown for comparison: ${why}`, measures);
  }
}

main();
