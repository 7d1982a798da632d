import type { EngineDescription } from "../../src/engine/engine-description.js";
import type { FittingsDescription } from "../../src/engine/fittings-description.js";
import type { RunningDescription } from "../../src/engine/running-description.js";
import { VoiceRecord } from "../../src/engine/voice-record.js";
import type { Voice, VoiceMaking } from "../../src/machine/voice.js";
import { NoisePeriod } from "../../src/quantities/random.js";

export const rowsPerChunk = 16;
export const samplesPerRow = 8;
export const rowS = samplesPerRow / 48_000;

/** A machine without fittings, but for the ones given. */
export function fittings(changes: Partial<FittingsDescription>): FittingsDescription {
  return {
    drainAreaM2: 0,
    sniftingAreaM2: 0,
    glandAreaM2: 0,
    reliefAreaM2: 0,
    reliefPa: 0,
    valvesLift: false,
    whistle: null,
    track: null,
    airPump: null,
    ...changes,
  };
}

/** The running gear of a locomotive of 17 by 24 in, but for what is given. */
export function running(changes: Partial<RunningDescription> = {}): RunningDescription {
  return {
    reciprocatingKg: 250,
    inertiaKgM2: 300,
    frictionPa: 2e4,
    slackM: 2e-4,
    brakeTorqueNm: 1e4,
    load: null,
    train: null,
    governor: null,
    gearing: null,
    ...changes,
  };
}

/** What a voice is made with, for a listener at 7.5 m. */
export function making(
  description: EngineDescription,
  changes: Partial<VoiceMaking> = {},
): VoiceMaking & { readonly record: VoiceRecord } {
  const cylinderCount = description.gear.crankAnglesRad.length;
  const ends = description.gear.cylinder.acting === "double" ? 2 : 1;
  return {
    description,
    sampleRateHz: 48_000,
    samplesPerRow,
    rowsPerChunk,
    seed: 1,
    noisePeriod: new NoisePeriod(),
    distanceM: 7.5,
    airDensityKgPerM3: 1.2,
    airSoundSpeedMPerS: 343,
    ...changes,
    record: changes.record ?? new VoiceRecord(ends * cylinderCount, cylinderCount),
  };
}

/** The voice over so many chunks, its record filled before each row by the time of the row. */
export function sounded(voice: Voice, chunkCount: number, fill: (timeS: number) => void, firstRow = 0): Float64Array {
  const output = new Float64Array(chunkCount * voice.pressurePa.length);
  for (let chunk = 0; chunk < chunkCount; chunk++) {
    for (let r = 0; r < rowsPerChunk; r++) {
      fill((firstRow + chunk * rowsPerChunk + r) * rowS);
      voice.take(r);
    }
    if (voice.isIdle) {
      // Whoever takes it as it stands must find silence.
      if (voice.pressurePa.some((x) => x !== 0)) throw new Error(`${voice.stemName} is idle and not silent`);
      continue;
    }
    voice.process();
    output.set(voice.pressurePa, chunk * voice.pressurePa.length);
  }
  return output;
}

export const peak = (signal: Float64Array): number => signal.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
export const energy = (signal: Float64Array): number => signal.reduce((sum, x) => sum + x * x, 0);
