import { JET_EFFICIENCY_AT_MACH_ONE } from "../sound/jet-noise.js";
import type { VoiceMaking } from "./voice.js";

// Sound pressure of a jet that need not be made. [common practice: 40 dB below the threshold of hearing, 20 uPa]
const faintPa = 2e-7;
// It has to have been so for this long: one that comes and goes with the strokes of a working engine is made throughout.
// [common practice: longer than a stroke at any speed at which jets are heard]
const faintS = 0.5;

/**
 * Whether a jet, or several together, may rest for being far below hearing. A standing engine breathes through its packing for
 * ever; nobody hears it. Asked once a row with its mass flow x speed to the power 7: the law of `JetNoise`, which no jet passes.
 */
export class FaintJet {
  private readonly faintFlux: number;
  private readonly restRows: number;
  // Faint rows without a break.
  private rows = 0;

  constructor(making: VoiceMaking) {
    const { distanceM, airDensityKgPerM3, airSoundSpeedMPerS, samplesPerRow, sampleRateHz } = making;
    const square = airSoundSpeedMPerS * airSoundSpeedMPerS;
    const perFlux =
      (0.5 * JET_EFFICIENCY_AT_MACH_ONE * airDensityKgPerM3) / (4 * Math.PI * distanceM * distanceM * square * square);
    this.faintFlux = (faintPa * faintPa) / perFlux;
    this.restRows = Math.ceil((faintS * sampleRateHz) / samplesPerRow);
  }

  /** State only: nothing has been faint yet. */
  reset(): void {
    this.rows = 0;
  }

  /** Counts a row in which something blows. @param flux kg m7/s8 */
  mayRest(flux: number): boolean {
    this.rows = flux < this.faintFlux ? this.rows + 1 : 0;
    return this.rows > this.restRows;
  }
}
