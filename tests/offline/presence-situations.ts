import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { machineOfText, rendered, request, runOfText } from "./renders.js";

const rateHz = 48_000;

/** What is heard of each stem and of all together, in pascals at 7.5 m. */
export interface Heard {
  readonly stems: ReadonlyMap<string, Float64Array>;
  readonly mix: Float64Array;
  readonly rateHz: number;
}

/** A machine that ships, some words of its file put otherwise. */
function machineWith(name: string, words: readonly (readonly [string, string])[] = []): MachineFile {
  let text = readFileSync(fileURLToPath(new URL(`../../presets/${name}.yaml`, import.meta.url)), "utf8");
  for (const [from, to] of words) {
    if (!text.includes(from)) throw new Error(`${name}: ${from}`);
    text = text.replace(from, to);
  }
  return machineOfText(text);
}

function heard(machine: MachineFile, controls: string, seconds: number): Heard {
  const run = runOfText(`seconds: ${seconds}\nseed: 3\ncontrols:\n${controls}`, machine);
  const { stems, stemNames, mix } = rendered(request(machine, { run, fullScalePa: 1, rateHz }));
  return { stems: new Map(stemNames.map((name, i) => [name, stems[i]])), mix, rateHz };
}

/** A stretch of what is heard. */
function part({ stems, mix }: Heard, fromS: number, toS: number): Heard {
  const cut = (signal: Float64Array) => signal.subarray(Math.round(fromS * rateHz), Math.round(toS * rateHz));
  return { stems: new Map([...stems].map(([name, signal]) => [name, cut(signal)])), mix: cut(mix), rateHz };
}

/** The columns of the table. Drifting stands twice: with the lever dropped, as the practice is, and notched up. */
export const situations = [
  "standing",
  "warming",
  "starting",
  "pulling",
  "notched",
  "drifting",
  "drifting notched up",
  "slipping",
  "stopping",
  "blowing off",
] as const;
export type Situation = (typeof situations)[number];

/**
 * The locomotive in every situation: brought from standing to starting by her own steam; working, then notched up; coasting;
 * brought to a halt from a walking pace within half a turn of shutting off, too soon to draw a vacuum; standing with too much steam; and on a greasy rail.
 */
export function locomotiveHeard(): ReadonlyMap<Situation, Heard> {
  const away = heard(
    machineWith("harrow-tank"),
    `  - { at: 0 s, regulator: 0 %, cutoff: 75 %, brake: 100 %, fire: 20 % }
  - { at: 8 s, regulator: 4 %, drains: 100 %, over: 0.3 s }
  - { at: 12 s, regulator: 0 %, over: 0.3 s }
  - { at: 14 s, brake: 0 %, drains: 60 % }
  - { at: 16.5 s, regulator: 35 %, over: 2.3 s }
  - { at: 19 s, drains: 0 %, over: 0.5 s }`,
    25,
  );
  const work = heard(
    machineWith("harrow-tank"),
    `  - { at: 0 s, regulator: 15 %, cutoff: 75 %, speed: 60 rpm, fire: 60 % }
  - { at: 5 s, cutoff: 30 %, regulator: 45 %, speed: 90 rpm, over: 1 s, fire: 100 % }`,
    9,
  );
  // Found just where her safety valve begins to simmer.
  const hot: [string, string][] = [["pressure: 160 psi", "pressure: 163.2 psi"]];
  const coast = heard(
    machineWith("harrow-tank", hot),
    `  - { at: 0 s, regulator: 0 %, cutoff: 75 %, speed: 90 rpm, fire: 30 %, feed: 40 %, blower: 20 % }
  - { at: 5 s, cutoff: 30 %, over: 0.5 s }`,
    10,
  );
  const halt = heard(
    machineWith("harrow-tank", hot),
    `  - { at: 0 s, regulator: 3 %, cutoff: 75 %, speed: 15 rpm, fire: 30 %, feed: 40 % }
  - { at: 1.5 s, regulator: 0 %, over: 0.3 s }
  - { at: 3.5 s, speed: 0 rpm, over: 2 s }`,
    8,
  );
  const blow = heard(
    machineWith("harrow-tank", [["pressure: 160 psi", "pressure: 165.2 psi"]]),
    "  - { at: 0 s, regulator: 0 %, cutoff: 75 %, brake: 100 %, fire: 100 % }",
    8,
  );
  const greasy: [string, string][] = [
    ["grip: 25 %", "grip: 8 %"],
    ["slipGrip: 15 %", "slipGrip: 5 %"],
  ];
  const slip = heard(
    machineWith("harrow-tank", greasy),
    `  - { at: 0 s, regulator: 0 %, cutoff: 75 %, fire: 60 % }
  - { at: 1 s, regulator: 60 %, over: 0.5 s }`,
    5.5,
  );
  return new Map([
    ["standing", part(away, 5, 7.6)],
    ["warming", part(away, 8, 11.5)],
    ["starting", part(away, 14.2, 25)],
    ["pulling", part(work, 0.3, 3.8)],
    ["notched", part(work, 5, 9)],
    ["drifting", part(coast, 1, 4.4)],
    ["drifting notched up", part(coast, 6, 9.9)],
    ["slipping", part(slip, 1.5, 5.5)],
    ["stopping", part(halt, 2.1, 8)],
    ["blowing off", part(blow, 5, 7.6)],
  ]);
}

/** The condensing engine where she has a situation of the table: barred round to warm, run up, at work, cut off early, brought to a stand. */
export function condensingHeard(): ReadonlyMap<Situation, Heard> {
  const mill = heard(
    machineWith("lingmere-condensing"),
    `  - { at: 0 s, regulator: 0 %, speed: 0 rpm, cutoff: 25 % }
  - { at: 3 s, regulator: 1 %, speed: 6 rpm, drains: 30 %, over: 0.5 s }
  - { at: 7 s, speed: 20 rpm, over: 0.5 s, regulator: 30 % }
  - { at: 9 s, speed: 66 rpm, over: 2 s, drains: 0 % }
  - { at: 13 s, cutoff: 12 %, over: 0.5 s }
  - { at: 19 s, speed: 0 rpm, over: 3 s, regulator: 0 % }`,
    20,
  );
  return new Map([
    ["standing", part(mill, 0.3, 2.4)],
    ["warming", part(mill, 3, 6.5)],
    ["starting", part(mill, 7, 10)],
    ["pulling", part(mill, 10, 12.5)],
    ["notched", part(mill, 13, 16)],
    ["stopping", part(mill, 16, 19)],
  ]);
}
