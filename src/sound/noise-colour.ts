import { requireSampleRateHz } from "./setting-range.js";

/** One section of a colour: its corners as multiples of the colour's base frequency. */
export interface ColourSection {
  /** Above it the section rises by 6 dB an octave. 0: nothing passes at 0 Hz, a high-pass. Infinity: none. */
  readonly zeroRatio: number;
  /** Above it the section falls by 6 dB an octave more. No two of one colour are the same where `colourIntegral` is asked. */
  readonly poleRatio: number;
}

// A section's gain is the real one's around 0 Hz and at this share of half the sample rate, and within 0.7 dB in all the
// band, wherever its corners lie: a corner beyond half the rate folds nothing down.
// [source: Vicanek, Matched One-Pole Digital Shelving Filters, 2019, from memory]
const MATCHED_SHARE = 0.9;
// 1 - cos(0.9 pi), exact.
const MATCHED_SWING = 1 + Math.sqrt((5 + Math.sqrt(5)) / 8);
const FLOOR = 1 + 4 / (Math.PI * Math.PI * MATCHED_SHARE * MATCHED_SHARE) - 2 / MATCHED_SWING;

/**
 * Colour of a noise: first-order sections in a row, whose corners all move with one base frequency. Each section's power
 * gain is (1 + (f/zero)^2) / (1 + (f/pole)^2), or (f/pole)^2 / (1 + (f/pole)^2) where the zero is 0, up to half the
 * sample rate. The states stay in step when the base frequency jumps.
 * [source: Vicanek, Matched One-Pole Digital Shelving Filters, 2019, from memory]
 *
 * @example
 * const colour = new NoiseColour(48000, [{ zeroRatio: Infinity, poleRatio: 1 }]);
 * colour.baseHz = 500; // a low-pass at 500 Hz
 * colour.follow();
 * colour.process(noise, 0, 128);
 */
export class NoiseColour {
  /** Above 0; takes effect with `follow`. A field, for a number handed over by itself would be allocated. */
  baseHz = 0.5;
  private readonly sampleRateHz: number;
  private readonly sectionCount: number;
  // A section each: 1 / zero ratio and 1 / pole ratio; share of the new sample in the state, gain straight through, half of
  // the gain of the low side; the state.
  private readonly corners: Float64Array;
  private readonly gains: Float64Array;
  private readonly states: Float64Array;

  /** @throws RangeError for a rate outside 8 to 768 kHz. */
  constructor(sampleRateHz: number, sections: readonly ColourSection[]) {
    this.sampleRateHz = requireSampleRateHz("NoiseColour", sampleRateHz);
    this.sectionCount = sections.length;
    this.corners = new Float64Array(2 * sections.length);
    sections.forEach((section, k) => {
      this.corners[2 * k] = 1 / section.zeroRatio;
      this.corners[2 * k + 1] = 1 / section.poleRatio;
    });
    this.gains = new Float64Array(3 * sections.length);
    this.states = new Float64Array(sections.length);
    this.baseHz = 1000;
    this.follow();
  }

  /** State only. */
  reset(): void {
    this.states.fill(0);
  }

  /** Brings the corners to `baseHz`. */
  follow(): void {
    const { corners, gains } = this;
    const perRatio = this.sampleRateHz / (Math.PI * this.baseHz);
    for (let k = 0; k < this.sectionCount; k++) {
      const pole = perRatio * corners[2 * k + 1]!;
      const swing = Math.sqrt(FLOOR + pole * pole);
      const perSwing = 1 / swing;
      const zero = perRatio * corners[2 * k]!;
      const isHighPass = zero === Infinity;
      const high = (isHighPass ? pole : Math.sqrt(FLOOR + zero * zero)) * perSwing;
      gains[3 * k] = 2 / (1 + swing);
      gains[3 * k + 1] = high;
      gains[3 * k + 2] = 0.5 * ((isHighPass ? 0 : 1) - high);
    }
  }

  /** Colours `count` samples from `from` on, in place. */
  process(signal: Float64Array, from: number, count: number): void {
    const { sectionCount } = this;
    let k = 0;
    // Each section waits for its own last state only: two side by side take hardly longer than one.
    for (; k + 1 < sectionCount; k += 2) this.processPair(signal, from, from + count, k);
    if (k < sectionCount) this.processLast(signal, from, from + count, k);
  }

  // Low side of a section: the mean of the states before and after, so that a jump of corner leaves it in step.
  private processPair(signal: Float64Array, from: number, end: number, k: number): void {
    const { gains, states } = this;
    const fresh0 = gains[3 * k]!;
    const stay0 = 1 - fresh0;
    const direct0 = gains[3 * k + 1]!;
    const half0 = gains[3 * k + 2]!;
    const fresh1 = gains[3 * k + 3]!;
    const stay1 = 1 - fresh1;
    const direct1 = gains[3 * k + 4]!;
    const half1 = gains[3 * k + 5]!;
    let state0 = states[k]!;
    let state1 = states[k + 1]!;
    for (let i = from; i < end; i++) {
      const x = signal[i]!;
      const next0 = stay0 * state0 + fresh0 * x;
      const y = direct0 * x + half0 * (state0 + next0);
      state0 = next0;
      const next1 = stay1 * state1 + fresh1 * y;
      signal[i] = direct1 * y + half1 * (state1 + next1);
      state1 = next1;
    }
    states[k] = state0;
    states[k + 1] = state1;
  }

  private processLast(signal: Float64Array, from: number, end: number, k: number): void {
    const { gains, states } = this;
    const fresh = gains[3 * k]!;
    const stay = 1 - fresh;
    const direct = gains[3 * k + 1]!;
    const half = gains[3 * k + 2]!;
    let state = states[k]!;
    for (let i = from; i < end; i++) {
      const x = signal[i]!;
      const next = stay * state + fresh * x;
      signal[i] = direct * x + half * (state + next);
      state = next;
    }
    states[k] = state;
  }
}

/**
 * Integral of the colour's power gain over f / base from 0 to infinity: partial fractions, exact. The poles differ, and
 * there are fewer zeros than poles.
 */
export function colourIntegral(sections: readonly ColourSection[]): number {
  let sum = 0;
  for (const at of sections) {
    const square = at.poleRatio * at.poleRatio;
    let residue = 1;
    for (const section of sections) {
      const { zeroRatio, poleRatio } = section;
      residue *= zeroRatio === 0 ? -square / (poleRatio * poleRatio) : 1 - square / (zeroRatio * zeroRatio);
      if (section !== at) residue /= 1 - square / (poleRatio * poleRatio);
    }
    sum += (residue * Math.PI * at.poleRatio) / 2;
  }
  return sum;
}
