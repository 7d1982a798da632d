import type { EngineDescription } from "../engine/engine-description.js";
import type { GearDescription } from "../gear/gear-description.js";
import { absorbedPowerWarnings } from "../offline/odd-work.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import type { CommandAnswer } from "./command-answer.js";
import { flowWords } from "./flow-words.js";
import type { RenderJob, RenderResult } from "./render-job.js";
import { shown } from "./terminal-text.js";

// Beats in the JSON; all of them are in the file of --beats. [common practice]
const mostBeats = 200;

/** What `render` has to say of a finished render. */
export function renderAnswer(job: RenderJob, result: RenderResult): CommandAnswer {
  const { summary, peakDbfs, clippedSamples } = result;
  const seconds = result.frameCount / job.request.rateHz;
  const warnings = [
    ...summary.warnings,
    ...absorbedPowerWarnings(summary.powerW, summary.speedRpm),
    ...clippingWarnings(result),
  ];
  const json = {
    file: job.wavPath,
    stems: result.stems,
    seconds,
    turns: summary.turns,
    rateHz: job.request.rateHz,
    peakDbfs,
    rmsDbfs: result.rmsDbfs,
    loudnessLufs: result.loudnessLufs,
    truePeakDbtp: result.truePeakDbtp,
    clippedSamples,
    fullScalePa: result.fullScalePa,
    speedRpm: summary.speedRpm,
    meanFlowKgPerS: summary.meanFlowKgPerS,
    meanEffectivePressurePa: summary.meanEffectivePressurePa,
    powerW: summary.powerW,
    ...(summary.boilerPressurePa === undefined ? {} : { boilerPressurePa: summary.boilerPressurePa }),
    realtimeRatio: seconds / result.elapsedS,
    seed: job.request.seed,
    beatsPerTurn: summary.beatsPerTurn,
    beats: result.beats.slice(0, mostBeats),
    warnings,
    assumed: summary.assumed,
  };
  return { json, text: words(job, result, seconds), notes: warnings.map((warning) => `Warning: ${shown(warning)}`) };
}

function clippingWarnings(result: RenderResult): string[] {
  const warnings: string[] = [];
  const wayOut = (quietPa: number): string =>
    `Written anyway; use --full-scale '${Number(quietPa.toPrecision(2))} Pa' or --bits 32f.`;
  // A twentieth more than the peak of mix and stems, rounded to two figures, is above it.
  const needed = result.fullScalePa * Math.max(10 ** (result.peakDbfs / 20), result.greatestStemSample) * 1.06;
  if (result.clippedSamples > 0) {
    const count = `${result.clippedSamples} sample${result.clippedSamples === 1 ? "" : "s"} of ${result.frameCount}`;
    warnings.push(`${count} clipped (peak ${signed(result.peakDbfs)} dBFS). ${wayOut(needed)}`);
  }
  if (result.clippedStemSamples > 0) {
    const count = `${result.clippedStemSamples} sample${result.clippedStemSamples === 1 ? "" : "s"} of the stems`;
    warnings.push(`${count} clipped. ${wayOut(needed)}`);
  }
  return warnings;
}

function words(job: RenderJob, result: RenderResult, seconds: number): string {
  const { request } = job;
  const { summary } = result;
  const format = job.format === "32f" ? "32 bit floating point" : `${job.format} bit`;
  const beats = summary.beatsPerTurn === 0 ? "no beat to the air" : `${summary.beatsPerTurn} beats a turn`;
  const rows: [string, string][] = [
    ["file", shown(job.wavPath)],
    ...result.stems.map(({ file }): [string, string] => ["", shown(file)]),
    ["length", `${seconds.toFixed(3)} s, ${summary.turns.toFixed(2)} turns; ${request.rateHz} Hz, ${format}`],
    ["speed", `${summary.speedRpm.toFixed(1)} rpm on average, ${beats}`],
    ["level", `peak ${level(result.peakDbfs, "dBFS")}, true peak ${level(result.truePeakDbtp, "dBTP")}`],
    ["", `mean square ${level(result.rmsDbfs, "dBFS")}, loudness ${loudness(result, seconds)}`],
    ["full scale", `${Number(result.fullScalePa.toPrecision(4))} Pa`],
    ["flow", `${flowWords(summary.meanFlowKgPerS)} of ${request.machine.description.workingFluid} out, leaks included`],
    ["power", powerWords(summary, request.machine.description.gear)],
    ...boilerRows(summary, request.machine.description),
    [
      "rendered in",
      `${result.elapsedS.toFixed(1)} s, ${Number((seconds / result.elapsedS).toPrecision(2))} times real time, ` +
        `after ${result.runInS.toFixed(1)} s of running in`,
    ],
  ];
  for (const path of [job.beatsPath, job.pulsesPath, job.plume?.path ?? null])
    if (path !== null) rows.splice(1, 0, ["", shown(path)]);
  const title = `${shown(request.machine.name)} (${request.machine.kind})`;
  const assumed = `${summary.assumed.length} values were assumed; 'fourbeat check' on the machine file lists them.`;
  return [title, ...rows.map(([name, value]) => `  ${name.padEnd(12)}${value}`), assumed].join("\n");
}

function boilerRows({ boilerPressurePa }: RenderResult["summary"], { ambient }: EngineDescription): [string, string][] {
  if (boilerPressurePa === undefined) return [];
  const [first, last] = boilerPressurePa.map((pa) => ((pa - ambient.pressurePa) / 1e5).toFixed(2));
  return [["boiler", `${first} bar gauge at the beginning, ${last} at the end`]];
}

function powerWords(
  { powerW, meanEffectivePressurePa: pressures }: RenderResult["summary"],
  { laterStages }: GearDescription,
): string {
  if (powerW === null || pressures === null) return "not known: it takes a whole turn to tell";
  // A mean over cylinders of several sizes and pressures says nothing.
  if (laterStages !== undefined) return readableQuantity(powerW, "power");
  const meanPa = pressures.reduce((sum, pressure) => sum + pressure, 0) / Math.max(1, pressures.length);
  return `${readableQuantity(powerW, "power")}, mean effective pressure ${(meanPa / 1e5).toFixed(2)} bar`;
}

function level(value: number, unit: string): string {
  return Number.isFinite(value) ? `${value.toFixed(1)} ${unit}` : "silent";
}

// Loudness is measured over blocks of 400 ms, and those under -70 LUFS do not count.
// [source: ITU-R BS.1770-4, Annex 1]
const LOUDNESS_BLOCK_S = 0.4;

function loudness({ loudnessLufs, peakDbfs }: RenderResult, seconds: number): string {
  if (Number.isFinite(loudnessLufs) || !Number.isFinite(peakDbfs)) return level(loudnessLufs, "LUFS");
  return seconds < LOUDNESS_BLOCK_S ? "not measured under 0.4 s" : "under -70 LUFS";
}

function signed(level: number): string {
  return `${level < 0 ? "" : "+"}${level.toFixed(1)}`;
}
