import { cutoffFault } from "../gear/equivalent-eccentric.js";
import type { GearDescription } from "../gear/gear-description.js";
import { MOST_PISTON_SPEED_M_PER_S } from "../preset/speed-rules.js";
import { parseQuantity, requireQuantity, shownText, type Dimension } from "../quantities/units.js";
import { optionFault, withRefusals } from "./input-fault.js";
import type { SampleFormat } from "./wav-chunks.js";

/** Limits of the numeric options. [common practice] */
export const optionLimits = {
  leastSeconds: 0.1,
  mostSeconds: 86_400,
  mostTurns: 100_000,
  leastRateHz: 8_000,
  mostRateHz: 192_000,
  mostSeed: 4_294_967_295,
  mostPulseStep: 1_000_000,
  leastPlumeRateHz: 0.1,
  mostPlumeRateHz: 1000,
  mostSpeedRpm: 6_000,
  leastFullScalePa: 1e-6,
  mostFullScalePa: 1e5,
} as const;

/** A quantity with its unit, in the dimension's base unit. */
export function quantityOption(option: string, text: string, dimension: Dimension): number {
  return withRefusals(
    (message) => optionFault(option, message),
    () => requireQuantity(text, dimension, option),
  );
}

/** A whole number between two limits. */
export function wholeNumberOption(option: string, text: string, least: number, most: number, wayOut: string): number {
  const value = /^\+?\d{1,15}$/.test(text.trim()) ? Number(text) : NaN;
  if (!(value >= least && value <= most)) {
    const rule = `must be a whole number from ${least} to ${most}`;
    throw optionFault(option, `${option} ${rule}, got ${shownText(text)}. ${wayOut}`);
  }
  return value;
}

/** One word of a list. */
export function choiceOption<Choice extends string>(option: string, text: string, choices: readonly Choice[]): Choice {
  const found = choices.find((choice) => choice === text.trim().toLowerCase());
  if (found !== undefined) return found;
  const list = `${choices.slice(0, -1).join(", ")} or ${choices.at(-1)}`;
  throw optionFault(option, `${option} must be ${list}, got ${shownText(text)}. For example ${option} ${choices[0]}.`);
}

function requireRange(option: string, text: string, value: number, low: number, high: number, words: string): number {
  if (value >= low && value <= high) return value;
  throw optionFault(option, `${option} must be between ${words}, got ${shownText(text)}. Name a value in that range.`);
}

/** `--seconds`: how long. */
export function secondsOption(text: string): number {
  const { leastSeconds, mostSeconds } = optionLimits;
  const seconds = quantityOption("--seconds", text, "time");
  return requireRange("--seconds", text, seconds, leastSeconds, mostSeconds, `${leastSeconds} s and ${mostSeconds} s`);
}

/** `--turns`: how many turns of the shaft. */
export function turnsOption(text: string): number {
  return wholeNumberOption("--turns", text, 1, optionLimits.mostTurns, "For a length in seconds use --seconds.");
}

/** `--rate`: audio samples a second. */
export function rateOption(text: string): number {
  const { leastRateHz, mostRateHz } = optionLimits;
  return wholeNumberOption("--rate", text, leastRateHz, mostRateHz, "48000 suits most uses.");
}

/** `--bits`: how samples are written. */
export function bitsOption(text: string): SampleFormat {
  return choiceOption("--bits", text, ["16", "24", "32f"]);
}

/** `--seed`: of all that is random. */
export function seedOption(text: string): number {
  return wholeNumberOption("--seed", text, 0, optionLimits.mostSeed, "The same seed gives the same samples.");
}

/** `--fidelity`: how many audio samples one step of the steam lasts, at 48 kHz. */
export function fidelityOption(text: string): 1 | 2 | 4 {
  return Number(choiceOption("--fidelity", text, ["1", "2", "4"])) as 1 | 2 | 4;
}

/** `--pulse-step`: every how many audio samples a row is written. */
export function pulseStepOption(text: string): number {
  return wholeNumberOption("--pulse-step", text, 1, optionLimits.mostPulseStep, "16 is the usual step.");
}

/** `--plume-rate`: rows of the plume a second. */
export function plumeRateOption(text: string): number {
  const { leastPlumeRateHz, mostPlumeRateHz } = optionLimits;
  const hertz = Number(text);
  if (text.trim() === "" || !(hertz >= leastPlumeRateHz && hertz <= mostPlumeRateHz)) {
    throw optionFault(
      "--plume-rate",
      `--plume-rate must be a number from ${leastPlumeRateHz} to ${mostPlumeRateHz}, got ${text}. 100 suits most uses.`,
    );
  }
  return hertz;
}

/** `--full-scale`: the sound pressure of a sample of 1.0. */
export function fullScaleOption(text: string): number {
  const { leastFullScalePa, mostFullScalePa } = optionLimits;
  const pascals = quantityOption("--full-scale", text, "soundPressure");
  const words = `${leastFullScalePa} Pa and ${mostFullScalePa} Pa`;
  return requireRange("--full-scale", text, pascals, leastFullScalePa, mostFullScalePa, words);
}

/** `--cutoff`: share of the stroke, negative in backward gear. */
export function cutoffOption(text: string): number {
  return requireRange("--cutoff", text, quantityOption("--cutoff", text, "ratio"), -1, 1, "-100 % and 100 %");
}

/** Holds a `--cutoff` to what the machine's gear can be set to. @throws InputFault that names the option */
export function requireCutoff(gear: GearDescription, cutoffRatio: number | null): void {
  const fault = cutoffRatio === null ? null : cutoffFault(gear, cutoffRatio);
  if (fault !== null) throw optionFault("--cutoff", `--cutoff ${fault}`);
}

/** `--regulator`: how far open. */
export function regulatorOption(text: string): number {
  return requireRange("--regulator", text, quantityOption("--regulator", text, "ratio"), 0, 1, "0 % and 100 %");
}

/**
 * `--speed`: rpm or Hz, or mph or km/h where there are wheels; signed. The pistons may go no faster than a machine file's.
 *
 * @param strokeM of the pistons
 * @param wheelDiameterM of the driving wheels, `null` where there are none
 * @returns rpm
 */
export function speedOption(text: string, wheelDiameterM: number | null, strokeM: number): number {
  const { mostSpeedRpm } = optionLimits;
  const road = parseQuantity(text, "roadSpeed");
  const isRoad = road.ok && road.unit !== "";
  if (isRoad && wheelDiameterM === null) {
    const rule = "must be in rpm or Hz for a machine without wheels";
    throw optionFault(
      "--speed",
      `--speed ${rule}, got ${shownText(text)}. For example --speed '90 rpm'; or add wheels: { diameter: 5 ft } to the machine file.`,
    );
  }
  const rpm =
    isRoad && wheelDiameterM !== null
      ? (60 * road.value) / (Math.PI * wheelDiameterM)
      : quantityOption("--speed", text, "rotationSpeed");
  const words = `-${mostSpeedRpm} rpm and ${mostSpeedRpm} rpm`;
  requireRange("--speed", text, rpm, -mostSpeedRpm, mostSpeedRpm, words);
  // Two strokes a turn.
  if ((strokeM * Math.abs(rpm)) / 30 <= MOST_PISTON_SPEED_M_PER_S) return rpm;
  const most = Math.floor((30 * MOST_PISTON_SPEED_M_PER_S) / strokeM);
  const rule = `at most ${most} rpm either way, a mean piston speed of ${MOST_PISTON_SPEED_M_PER_S} m/s`;
  throw optionFault("--speed", `--speed must be ${rule}, got ${shownText(text)}. Name a slower one.`);
}
