import { JET_EFFICIENCY_AT_MACH_ONE } from "../sound/jet-noise.js";
import type { VoiceMaking } from "./voice.js";

// Sound pressure of a jet that need not be made. [common practice: 40 dB below the threshold of hearing, 20 uPa]
const faintPa = 2e-7;
// It has to have been so for this long: one that comes and goes with the strokes of a working engine is made throughout.
// [common practice: longer than a stroke at any speed at which jets are heard]
const faintS = 0.5;

/** After how many rows a faint jet is at rest. */
export function faintRowCount({ samplesPerRow, sampleRateHz }: VoiceMaking): number {
  return Math.ceil((faintS * sampleRateHz) / samplesPerRow);
}

/**
 * Mass flow x speed to the power 7 up to which a jet is far below hearing, kg m7/s8: by the law of `JetNoise`, which no jet
 * passes. A standing engine breathes through its packing for ever; nobody hears it.
 */
export function faintJetFlux({ distanceM, airDensityKgPerM3, airSoundSpeedMPerS }: VoiceMaking): number {
  const square = airSoundSpeedMPerS * airSoundSpeedMPerS;
  const perFlux =
    (0.5 * JET_EFFICIENCY_AT_MACH_ONE * airDensityKgPerM3) / (4 * Math.PI * distanceM * distanceM * square * square);
  return (faintPa * faintPa) / perFlux;
}
