import { kWeighting } from "./k-weighting.js";
import { LoudnessHistogram, loudnessLufs } from "./loudness-histogram.js";

// Short runs: a first long one would be compiled while it runs, without what follows its loop, and be thrown away each time.
const RUN_FRAMES = 256;

/**
 * Length of the parts that the momentary (four) and short-term (thirty) windows are made of, s: 75 % overlap of 400
 * ms. [source: ITU-R BS.1770-4, Annex 1; EBU Tech 3341]
 */
export const LOUDNESS_PART_S = 0.1;
/** Parts in a momentary window and a gating block, 400 ms. [source: ITU-R BS.1770-4, Annex 1] */
export const MOMENTARY_PARTS = 4;
/** Parts in a short-term window, 3 s. [source: EBU Tech 3341] */
export const SHORT_TERM_PARTS = 30;
/** Relative gate of integrated loudness as a part of the mean square, -10 LU. [source: ITU-R BS.1770-4, Annex 1] */
export const INTEGRATED_GATE_RATIO = 0.1;
/** Relative gate of loudness range as a part of the mean square, -20 LU. [source: EBU Tech 3342, from memory] */
export const RANGE_GATE_RATIO = 0.01;
/** Ranks between which the loudness range lies. [source: EBU Tech 3342, from memory] */
export const RANGE_RANKS = [0.1, 0.95] as const;

/**
 * Filter states below this are cleared at the end of each part, so that silence does not crawl in denormals. [common
 * practice]
 */
const SMALLEST_STATE = 1e-30;

/**
 * Loudness of a mono or stereo programme after ITU-R BS.1770 (integrated, gated) and EBU Tech 3341 (momentary,
 * short-term), fed in blocks of any size, readable at any time. Memory is the same for a second and for a day: two
 * histograms of 160 kB (see {@link LoudnessHistogram} for the 0.01 LU that they cost at a gate). A last part of less
 * than 100 ms is not counted.
 *
 * ```ts
 * const meter = new LoudnessMeter(48000, 1);
 * meter.process([samples], samples.length);
 * meter.integratedLufs();
 * ```
 */
export class LoudnessMeter {
  private readonly filter: Float64Array;
  private readonly states: Float64Array;
  private readonly partEnergies = new Float64Array(SHORT_TERM_PARTS);
  private readonly partLengths = new Float64Array(SHORT_TERM_PARTS);
  private readonly blocks = new LoudnessHistogram();
  private readonly shortTerms = new LoudnessHistogram();
  private readonly partEnergy: Float64Array;
  private partCount = 0;
  private position = 0;
  private partStart = 0;
  private partEnd = 0;
  private momentaryMax = 0;
  private shortTermMax = 0;
  private momentary = 0;
  private shortTerm = 0;
  private brokenParts = 0;

  /** Throws RangeError for a rate of 4 kHz or less and for anything but 1 or 2 channels. */
  constructor(
    private readonly sampleRateHz: number,
    private readonly channelCount: number,
  ) {
    if (channelCount !== 1 && channelCount !== 2) {
      throw new RangeError(
        `LoudnessMeter: channelCount must be 1 or 2, got ${channelCount}. Mix surround sound down first.`,
      );
    }
    const { shelf, cut } = kWeighting(sampleRateHz);
    this.filter = Float64Array.from([...shelf, ...cut]);
    this.states = new Float64Array(4 * channelCount);
    this.partEnergy = new Float64Array(channelCount);
    this.reset();
  }

  /** Forgets all that was heard. */
  reset(): void {
    this.states.fill(0);
    this.partEnergies.fill(0);
    this.partLengths.fill(0);
    this.partEnergy.fill(0);
    this.blocks.reset();
    this.shortTerms.reset();
    this.partCount = 0;
    this.position = 0;
    this.partStart = 0;
    this.partEnd = Math.round(LOUDNESS_PART_S * this.sampleRateHz);
    this.momentaryMax = 0;
    this.shortTermMax = 0;
    this.momentary = 0;
    this.shortTerm = 0;
    this.brokenParts = 0;
  }

  /** Hears the first `frameCount` samples of each channel (left, right), 1.0 = full scale. */
  process(channels: readonly Float32Array[], frameCount: number): void {
    let from = 0;
    while (from < frameCount) {
      const to = Math.min(frameCount, from + RUN_FRAMES, from + this.partEnd - this.position);
      for (let c = 0; c < this.channelCount; c++) this.hear(channels[c]!, c, from, to);
      this.position += to - from;
      from = to;
      if (this.position === this.partEnd) this.endPart();
    }
  }

  /** Gated loudness of all heard so far, LUFS; -Infinity when silent or shorter than 400 ms. */
  integratedLufs(): number {
    return loudnessLufs(this.blocks.meanAbove(this.blocks.meanAbove(0) * INTEGRATED_GATE_RATIO));
  }

  /** Loudness of the last 400 ms, LUFS; -Infinity before the first 400 ms are over. */
  momentaryLufs(): number {
    return loudnessLufs(this.momentary);
  }

  /** Greatest loudness of any 400 ms, LUFS, looked at every 100 ms. */
  momentaryMaxLufs(): number {
    return loudnessLufs(this.momentaryMax);
  }

  /** Loudness of the last 3 s, LUFS; -Infinity before the first 3 s are over. */
  shortTermLufs(): number {
    return loudnessLufs(this.shortTerm);
  }

  /** Greatest loudness of any 3 s, LUFS, looked at every 100 ms; -Infinity for less than 3 s. */
  shortTermMaxLufs(): number {
    return loudnessLufs(this.shortTermMax);
  }

  /** Loudness range, LU: 10th to 95th percentile of the short-term loudness above the gates; 0 for less than 3 s. */
  loudnessRangeLu(): number {
    const floor = this.shortTerms.meanAbove(0) * RANGE_GATE_RATIO;
    const low = this.shortTerms.rankAbove(floor, RANGE_RANKS[0]);
    const high = this.shortTerms.rankAbove(floor, RANGE_RANKS[1]);
    return low > 0 ? loudnessLufs(high) - loudnessLufs(low) : 0;
  }

  /** Parts of 100 ms that held a NaN or an infinity and were heard as silence. */
  brokenPartCount(): number {
    return this.brokenParts;
  }

  private hear(samples: Float32Array, channel: number, from: number, to: number): void {
    const filter = this.filter;
    const states = this.states;
    const b0 = filter[0]!,
      b1 = filter[1]!,
      b2 = filter[2]!,
      a1 = filter[3]!,
      a2 = filter[4]!;
    const c0 = filter[5]!,
      c1 = filter[6]!,
      c2 = filter[7]!,
      d1 = filter[8]!,
      d2 = filter[9]!;
    const at = 4 * channel;
    let p1 = states[at]!,
      p2 = states[at + 1]!,
      q1 = states[at + 2]!,
      q2 = states[at + 3]!;
    let energy = this.partEnergy[channel]!;
    for (let i = from; i < to; i++) {
      const x = samples[i]!;
      const y = b0 * x + p1;
      p1 = b1 * x - a1 * y + p2;
      p2 = b2 * x - a2 * y;
      const z = c0 * y + q1;
      q1 = c1 * y - d1 * z + q2;
      q2 = c2 * y - d2 * z;
      energy += z * z;
    }
    states[at] = p1;
    states[at + 1] = p2;
    states[at + 2] = q1;
    states[at + 3] = q2;
    this.partEnergy[channel] = energy;
  }

  private endPart(): void {
    let energy = 0;
    for (let c = 0; c < this.channelCount; c++) {
      energy += this.partEnergy[c]!;
      this.partEnergy[c] = 0;
    }
    this.settle(Number.isFinite(energy));
    const slot = this.partCount % SHORT_TERM_PARTS;
    this.partEnergies[slot] = Number.isFinite(energy) ? energy : 0;
    this.partLengths[slot] = this.partEnd - this.partStart;
    this.partCount += 1;
    this.partStart = this.partEnd;
    this.partEnd = Math.round((this.partCount + 1) * LOUDNESS_PART_S * this.sampleRateHz);
    if (this.partCount >= MOMENTARY_PARTS) {
      this.momentary = this.meanOfLast(MOMENTARY_PARTS);
      this.blocks.add(this.momentary);
      if (this.momentary > this.momentaryMax) this.momentaryMax = this.momentary;
    }
    if (this.partCount >= SHORT_TERM_PARTS) {
      this.shortTerm = this.meanOfLast(SHORT_TERM_PARTS);
      this.shortTerms.add(this.shortTerm);
      if (this.shortTerm > this.shortTermMax) this.shortTermMax = this.shortTerm;
    }
  }

  private settle(isFinite: boolean): void {
    if (!isFinite) {
      this.states.fill(0);
      this.brokenParts += 1;
      return;
    }
    const states = this.states;
    for (let i = 0; i < states.length; i++) {
      if (Math.abs(states[i]!) < SMALLEST_STATE) states[i] = 0;
    }
  }

  private meanOfLast(parts: number): number {
    let energy = 0;
    let length = 0;
    for (let i = 1; i <= parts; i++) {
      const slot = (this.partCount - i) % SHORT_TERM_PARTS;
      energy += this.partEnergies[slot]!;
      length += this.partLengths[slot]!;
    }
    return energy / length;
  }
}
