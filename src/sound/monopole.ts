import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** Where a mouth is heard from, and through what. */
export interface ListenerAir {
  /** Straight line from the mouth, 0.1 m to 10 km. */
  readonly distanceM: number;
  /** Density of the air, 0.1 to 10 kg/m3. */
  readonly airDensityKgPerM3: number;
}

// Central difference of seven points, exact to the sixth power: 0.01 dB low at 0.11 of the sample rate, 0.1 dB at 0.17.
// [source: Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, table 25.2]
const NEAR = 3 / 4;
const MIDDLE = -3 / 20;
const FAR = 1 / 60;

/**
 * Sound of a mouth whose volume flow changes: p = rho/(4 pi r) dQ/dt, a simple source in a free field.
 * The travelling time to the listener is left out. Linear phase; treble above 0.3 of the sample rate falls away.
 * [source: Pierce, Acoustics, 1989, section 4-3]
 *
 * @example
 * const mouth = new Monopole(48000, { distanceM: 7.5, airDensityKgPerM3: 1.204 });
 * mouth.reset(steadyFlow);
 * mouth.process(volumeFlowM3PerS, pressurePa, 128);
 */
export class Monopole {
  /** Output stands this many samples after the input. */
  readonly delaySamples = 3;
  private readonly sampleRateHz: number;
  private gain = 0;
  // The last six flows, newest first.
  private readonly history = new Float64Array(6);

  /** @throws RangeError for a rate outside 8 to 768 kHz or air as `setListener` refuses. */
  constructor(sampleRateHz: number, listener: ListenerAir) {
    this.sampleRateHz = requireSampleRateHz("Monopole", sampleRateHz);
    this.setListener(listener);
  }

  /** Settings only. @throws RangeError outside the ranges of `ListenerAir`. */
  setListener(listener: ListenerAir): void {
    const distanceM = requireWithin("Monopole", "distanceM", listener.distanceM, 0.1, 1e4, " m");
    const density = listener.airDensityKgPerM3;
    requireWithin("Monopole", "airDensityKgPerM3", density, 0.1, 10, " kg/m3");
    this.gain = (density * this.sampleRateHz) / (4 * Math.PI * distanceM);
  }

  /** State only: as if this flow had stood for ever, so that a run starts without a click. */
  reset(volumeFlowM3PerS = 0): void {
    this.history.fill(volumeFlowM3PerS);
  }

  /** Volume flow out of the mouth in m3/s to sound pressure in Pa. `pressurePa` may be `volumeFlowM3PerS`. */
  process(volumeFlowM3PerS: Float64Array, pressurePa: Float64Array, frameCount: number): void {
    const history = this.history;
    const near = NEAR * this.gain;
    const middle = MIDDLE * this.gain;
    const far = FAR * this.gain;
    let q1 = history[0]!;
    let q2 = history[1]!;
    let q3 = history[2]!;
    let q4 = history[3]!;
    let q5 = history[4]!;
    let q6 = history[5]!;
    for (let i = 0; i < frameCount; i++) {
      const q0 = volumeFlowM3PerS[i]!;
      pressurePa[i] = near * (q2 - q4) + middle * (q1 - q5) + far * (q0 - q6);
      q6 = q5;
      q5 = q4;
      q4 = q3;
      q3 = q2;
      q2 = q1;
      q1 = q0;
    }
    history[0] = q1;
    history[1] = q2;
    history[2] = q3;
    history[3] = q4;
    history[4] = q5;
    history[5] = q6;
  }
}
