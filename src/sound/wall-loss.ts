import { requireSampleRateHz, requireWithin } from "./setting-range.js";

const SECTION_COUNT = 4;
// Corners over the lowest frequency of interest f1, and shares: the sum of share j f / (j f + corner f1) is
// (1 + j) sqrt(f / f1) within 0.9 % in loss and 1.7 % in phase from f1 to 40 f1.
// [tuned: least squares against the square root, 2026-11-25]
const CORNER_RATIOS = [0.29207798, 2.57792336, 13.55908205, 126.55163066] as const;
const LOSS_SHARES = [0.90222631, 1.22975166, 2.78853615, 19.13471418] as const;

// Keeps a wave that dies away from crawling through denormal numbers.
const FLOOR = 1e-30;

/**
 * What a smooth wall takes from a wave on one passage of a pipe: a loss that grows as the square root of frequency, and
 * the slowing that goes with it. Exactly 1 at 0 Hz. Four shelves, each taking a little treble.
 */
export class WallLoss {
  private readonly sampleRateHz: number;
  private readonly poles = new Float64Array(SECTION_COUNT);
  private readonly losses = new Float64Array(SECTION_COUNT);
  private state0 = 0;
  private state1 = 0;
  private state2 = 0;
  private state3 = 0;

  /** Starts without loss. @throws RangeError for a rate outside 8 to 768 kHz. */
  constructor(sampleRateHz: number) {
    this.sampleRateHz = requireSampleRateHz("WallLoss", sampleRateHz);
    this.setLoss(100, 0);
    this.reset();
  }

  /**
   * Settings only.
   *
   * @param lowestHz lowest frequency that matters, 0.1 Hz up (a pipe's own first resonance); right from there to 40 times it
   * @param lossNp loss of one passage there, 0 to 10 Np (`wallLossNpPerM` times the length)
   * @throws RangeError outside these
   */
  setLoss(lowestHz: number, lossNp: number): void {
    requireWithin("WallLoss", "lowestHz", lowestHz, 0.1, 1e6, " Hz");
    requireWithin("WallLoss", "lossNp", lossNp, 0, 10, " Np");
    for (let i = 0; i < SECTION_COUNT; i++) {
      const taken = lossNp * LOSS_SHARES[i]!;
      // Below its corner a section of loss g and corner p has phase g f/p and loss (g - g^2/2) (f/p)^2: both as wanted up to
      // g = 1; from there the loss is.
      const moved = taken < 2 ? 1 + taken / 2 : Math.sqrt(2 * taken);
      const half = (Math.PI * lowestHz * CORNER_RATIOS[i]!) / (moved * this.sampleRateHz);
      this.poles[i] = half / (1 + half);
      this.losses[i] = taken < 2 ? taken / moved : 1;
    }
  }

  /** State only: as if `value` had stood for ever. */
  reset(value = 0): void {
    this.state0 = value + FLOOR;
    this.state1 = value + FLOOR;
    this.state2 = value + FLOOR;
    this.state3 = value + FLOOR;
  }

  /** `output` may be `input`. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void {
    const { poles, losses } = this;
    const pole0 = poles[0]!;
    const pole1 = poles[1]!;
    const pole2 = poles[2]!;
    const pole3 = poles[3]!;
    const loss0 = losses[0]!;
    const loss1 = losses[1]!;
    const loss2 = losses[2]!;
    const loss3 = losses[3]!;
    let { state0, state1, state2, state3 } = this;
    for (let i = 0; i < frameCount; i++) {
      // Trapezoidal one-pole sections; `rise - step` is what the high-pass side of each passes.
      let x = input[i]! + FLOOR;
      let rise = x - state0;
      let step = rise * pole0;
      state0 += 2 * step;
      x -= loss0 * (rise - step);
      rise = x - state1;
      step = rise * pole1;
      state1 += 2 * step;
      x -= loss1 * (rise - step);
      rise = x - state2;
      step = rise * pole2;
      state2 += 2 * step;
      x -= loss2 * (rise - step);
      rise = x - state3;
      step = rise * pole3;
      state3 += 2 * step;
      output[i] = x - loss3 * (rise - step);
    }
    this.state0 = state0;
    this.state1 = state1;
    this.state2 = state2;
    this.state3 = state3;
  }
}
