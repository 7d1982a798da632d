import { requireSampleRateHz, requireWithin } from "./setting-range.js";

// |H|^2 = 4 r / (ka)^2 with r the radiation resistance of a thin-walled open end in units of rho c / area, so that a simple
// source of H x flow sends out the power which the flow has at the mouth: (1 + n s)/(1 + d1 s + d2 s^2), s = j ka, n = 2 d2.
// [tuned: least squares against Levine & Schwinger 1948, ka 0.1 to 3.8, and 2/(ka) above: within 0.45 dB, 2026-11-25]
const D1 = 0.77881122;
const D2 = 0.2376565;

const FLOOR = 1e-30;

/**
 * A mouth that is no longer small against the wave: takes from its volume flow what a simple source would send out in
 * excess of the power that the wave has in the pipe. Flat below ka 1, falling by 6 dB an octave above ka 2. Which way the
 * sound goes is left out: the power is spread evenly.
 */
export class WideMouth {
  private readonly sampleRateHz: number;
  private b0 = 0.5;
  private b1 = 0.5;
  private b2 = 0.5;
  private a1 = 0.5;
  private a2 = 0.5;
  private first = 0.5;
  private second = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a mouth as `setMouth` refuses. */
  constructor(sampleRateHz: number, radiusM: number, soundSpeedMPerS: number) {
    this.sampleRateHz = requireSampleRateHz("WideMouth", sampleRateHz);
    this.setMouth(radiusM, soundSpeedMPerS);
    this.reset();
  }

  /** Settings only: radius and the sound speed outside. @throws RangeError outside 0.1 mm to 5 m, 100 to 1500 m/s. */
  setMouth(radiusM: number, soundSpeedMPerS: number): void {
    requireWithin("WideMouth", "radiusM", radiusM, 1e-4, 5, " m");
    requireWithin("WideMouth", "soundSpeedMPerS", soundSpeedMPerS, 100, 1500, " m/s");
    // Bilinear transform.
    const k = (2 * this.sampleRateHz * radiusM) / soundSpeedMPerS;
    const n = 2 * D2 * k;
    const d1 = D1 * k;
    const d2 = D2 * k * k;
    const scale = 1 / (1 + d1 + d2);
    this.b0 = (1 + n) * scale;
    this.b1 = 2 * scale;
    this.b2 = (1 - n) * scale;
    this.a1 = 2 * (1 - d2) * scale;
    this.a2 = (1 - d1 + d2) * scale;
  }

  /** State only: as if this flow had stood for ever. */
  reset(volumeFlowM3PerS = 0): void {
    this.second = (this.b2 - this.a2) * volumeFlowM3PerS;
    this.first = (1 - this.b0) * volumeFlowM3PerS;
  }

  /** Volume flow at the mouth to that of the simple source. `output` may be `input`. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void {
    const { b0, b1, b2, a1, a2 } = this;
    let { first, second } = this;
    for (let i = 0; i < frameCount; i++) {
      const x = input[i]! + FLOOR;
      const y = b0 * x + first;
      first = b1 * x - a1 * y + second;
      second = b2 * x - a2 * y;
      output[i] = y;
    }
    this.first = first;
    this.second = second;
  }
}
