import { tan } from "../quantities/portable-maths.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** Corner of the high-pass that takes the steady part out of files. [common practice] */
export const FILE_HIGH_PASS_CORNER_HZ = 8;

// Stands under the input, and the settled state stands under it: nothing decays into denormal numbers, and the
// output of silence is exactly zero.
const FLOOR = 1e-30;

/**
 * Second-order Butterworth high-pass: -3.01 dB at its corner, 12 dB per octave below it, no ripple. Bilinear transform,
 * prewarped so that the corner is exact at every sample rate. [source: Oppenheim & Schafer, Discrete-Time Signal
 * Processing, 3rd ed., 2010, 7.2]
 */
export class HighPass {
  private readonly sampleRateHz: number;
  private b0 = 1;
  private a1 = 0;
  private a2 = 0;
  private first = 0;
  private second = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a corner as `setCornerHz` refuses. */
  constructor(sampleRateHz: number, cornerHz = FILE_HIGH_PASS_CORNER_HZ) {
    this.sampleRateHz = requireSampleRateHz("HighPass", sampleRateHz);
    this.setCornerHz(cornerHz);
    this.reset();
  }

  /** Settings only: safe while sounding. @throws RangeError outside 0.1 Hz to 0.45 of the sample rate. */
  setCornerHz(cornerHz: number): void {
    requireWithin("HighPass", "cornerHz", cornerHz, 0.1, 0.45 * this.sampleRateHz, " Hz");
    const k = tan((Math.PI * cornerHz) / this.sampleRateHz);
    const scale = 1 / (1 + Math.SQRT2 * k + k * k);
    this.b0 = scale;
    this.a1 = 2 * (k * k - 1) * scale;
    this.a2 = (1 - Math.SQRT2 * k + k * k) * scale;
  }

  /** State only. */
  reset(): void {
    this.first = -this.b0 * FLOOR;
    this.second = this.b0 * FLOOR;
  }

  /** `output` may be `input`. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void {
    const b0 = this.b0;
    const a1 = this.a1;
    const a2 = this.a2;
    let first = this.first;
    let second = this.second;
    for (let i = 0; i < frameCount; i++) {
      const x = b0 * (input[i]! + FLOOR);
      const y = x + first;
      first = second - 2 * x - a1 * y;
      second = x - a2 * y;
      output[i] = y;
    }
    this.first = first;
    this.second = second;
  }
}
