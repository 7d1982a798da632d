import { cos, exp, sin } from "../quantities/portable-maths.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";
import type { StruckMode } from "./struck-body.js";

// Modes go through the loop by fours: each waits for its own last sample only.
const MODES_PER_PASS = 4;
// Whether all is over is looked at on every so many samples from the reset.
const SAMPLES_PER_LOOK = 128;
// What is below this is no sound: 100 dB under the threshold of hearing. [common practice]
const SILENT_PA = 2e-10;
// Above this share of the sample rate a mode is left out. [common practice]
const HIGHEST_RATIO = 0.45;
// Longest blow that is taken; a longer one is given this length. [common practice: beyond it nothing is left above 50 Hz]
const LONGEST_BLOW_S = 0.02;

/**
 * A body that rings when it is struck: a bank of decaying modes, y = sum of a e^(-pi eta f t) sin(2 pi f t). A blow has the
 * course of an elastic contact, 30 u^2 (1 - u)^2 of its momentum over its duration: as steep as Hertz's within 2 % of the peak
 * (1.875 against 1.838 times momentum over duration). It may begin between samples. A soft blow lasts longer and leaves the
 * high modes alone. Modes above 0.45 of the sample rate are left out.
 *
 * `process` adds to its output. While nothing rings it does nothing at all, and says so by `isIdle`.
 *
 * @example
 * const anvil = new StruckModes(48000, barModes(bar, air), 128);
 * anvil.strike(12.5, 0.3, 4e-4); // in 12.5 samples, 0.3 Ns within 0.4 ms
 * anvil.process(pressurePa, 128);
 */
export class StruckModes {
  /** True while nothing rings and no blow is on its way. */
  isIdle = true;
  /** Nothing is waited for. */
  readonly delaySamples = 0;
  private readonly sampleRateHz: number;
  private readonly longestDelaySamples: number;
  private readonly modeCount: number;
  // A mode each: twice the cosine, square of the radius, gain.
  private readonly coefficients: Float64Array;
  // The two last outputs of each.
  private readonly states: Float64Array;
  // Momentum to come, sample by sample, and its beginning.
  private readonly blows: Float64Array;
  private readonly blowMask: number;
  private blowAt = 0;
  private blowLeft = 0;
  private samplesToLook = SAMPLES_PER_LOOK;

  /**
   * @param longestDelaySamples how far ahead a blow may be ordered
   * @throws RangeError for a rate outside 8 to 768 kHz or loss factors outside 1e-6 to 2.
   */
  constructor(sampleRateHz: number, modes: readonly StruckMode[], longestDelaySamples: number) {
    this.sampleRateHz = requireSampleRateHz("StruckModes", sampleRateHz);
    this.longestDelaySamples = requireWithin(
      "StruckModes",
      "longestDelaySamples",
      longestDelaySamples,
      1,
      1e6,
      " samples",
    );
    this.modeCount = modes.length;
    const padded = MODES_PER_PASS * Math.ceil(modes.length / MODES_PER_PASS);
    this.coefficients = new Float64Array(3 * padded);
    this.states = new Float64Array(2 * padded);
    const needed = Math.ceil(LONGEST_BLOW_S * sampleRateHz) + longestDelaySamples + 2;
    let length = 1;
    while (length < needed) length *= 2;
    this.blows = new Float64Array(length);
    this.blowMask = length - 1;
    this.tune(modes);
  }

  private tune(modes: readonly StruckMode[]): void {
    for (let k = 0; k < modes.length; k++) {
      const { frequencyHz, lossRatio, paPerNs } = modes[k]!;
      requireWithin("StruckModes", "lossRatio", lossRatio, 1e-6, 2, "");
      const turnRad = (2 * Math.PI * frequencyHz) / this.sampleRateHz;
      const isHeard = frequencyHz < HIGHEST_RATIO * this.sampleRateHz;
      const radius = exp(-0.5 * lossRatio * turnRad);
      this.coefficients[3 * k] = isHeard ? 2 * radius * cos(turnRad) : 0;
      this.coefficients[3 * k + 1] = isHeard ? radius * radius : 0;
      this.coefficients[3 * k + 2] = isHeard ? paPerNs * sin(turnRad) : 0;
    }
  }

  /** State only: silence. */
  reset(): void {
    this.states.fill(0);
    this.blows.fill(0);
    this.blowAt = 0;
    this.blowLeft = 0;
    this.samplesToLook = SAMPLES_PER_LOOK;
    this.isIdle = true;
  }

  /**
   * Orders a blow.
   *
   * @param delaySamples from the next sample to be made, 0 to the longest of the constructor, fractions too; held to that range
   */
  strike(delaySamples: number, momentumNs: number, durationS: number): void {
    const start = Math.max(0, Math.min(this.longestDelaySamples, delaySamples));
    const length = Math.max(1e-9, Math.min(LONGEST_BLOW_S, durationS) * this.sampleRateHz);
    const { blows, blowMask, blowAt } = this;
    const share = 1 / length;
    const first = Math.floor(start);
    const last = Math.floor(start + length);
    let before = 0;
    for (let n = first; n <= last; n++) {
      const u = Math.min(1, (n + 1 - start) * share);
      const after = u * u * u * (10 + u * (6 * u - 15));
      const at = (blowAt + n) & blowMask;
      blows[at] = blows[at]! + momentumNs * (after - before);
      before = after;
    }
    this.blowLeft = Math.max(this.blowLeft, last + 1);
    this.isIdle = false;
  }

  /** Adds the next samples to `pressurePa`. */
  process(pressurePa: Float64Array, frameCount: number): void {
    let done = 0;
    while (done < frameCount) {
      if (this.isIdle) {
        const past = frameCount - done;
        this.blowAt = (this.blowAt + past) & this.blowMask;
        const rest = (past - this.samplesToLook) % SAMPLES_PER_LOOK;
        this.samplesToLook = past < this.samplesToLook ? this.samplesToLook - past : SAMPLES_PER_LOOK - rest;
        return;
      }
      const count = Math.min(this.samplesToLook, frameCount - done);
      for (let k = 0; k < this.modeCount; k += MODES_PER_PASS) this.ring(pressurePa, done, count, k);
      this.forgetBlows(count);
      done += count;
      this.samplesToLook -= count;
      if (this.samplesToLook === 0) {
        this.samplesToLook = SAMPLES_PER_LOOK;
        this.look();
      }
    }
  }

  private ring(output: Float64Array, from: number, count: number, firstMode: number): void {
    const { coefficients, states, blows, blowMask, blowAt } = this;
    const c = 3 * firstMode;
    const s = 2 * firstMode;
    const swing0 = coefficients[c]!;
    const loss0 = coefficients[c + 1]!;
    const gain0 = coefficients[c + 2]!;
    const swing1 = coefficients[c + 3]!;
    const loss1 = coefficients[c + 4]!;
    const gain1 = coefficients[c + 5]!;
    const swing2 = coefficients[c + 6]!;
    const loss2 = coefficients[c + 7]!;
    const gain2 = coefficients[c + 8]!;
    const swing3 = coefficients[c + 9]!;
    const loss3 = coefficients[c + 10]!;
    const gain3 = coefficients[c + 11]!;
    let a0 = states[s]!;
    let b0 = states[s + 1]!;
    let a1 = states[s + 2]!;
    let b1 = states[s + 3]!;
    let a2 = states[s + 4]!;
    let b2 = states[s + 5]!;
    let a3 = states[s + 6]!;
    let b3 = states[s + 7]!;
    const end = from + count;
    for (let i = from, at = blowAt; i < end; i++, at++) {
      const blow = blows[at & blowMask]!;
      const y0 = swing0 * a0 - loss0 * b0 + gain0 * blow;
      const y1 = swing1 * a1 - loss1 * b1 + gain1 * blow;
      const y2 = swing2 * a2 - loss2 * b2 + gain2 * blow;
      const y3 = swing3 * a3 - loss3 * b3 + gain3 * blow;
      b0 = a0;
      b1 = a1;
      b2 = a2;
      b3 = a3;
      a0 = y0;
      a1 = y1;
      a2 = y2;
      a3 = y3;
      output[i] = output[i]! + (y0 + y1 + (y2 + y3));
    }
    states[s] = a0;
    states[s + 1] = b0;
    states[s + 2] = a1;
    states[s + 3] = b1;
    states[s + 4] = a2;
    states[s + 5] = b2;
    states[s + 6] = a3;
    states[s + 7] = b3;
  }

  private forgetBlows(count: number): void {
    const { blows, blowMask, blowAt } = this;
    const past = Math.min(count, this.blowLeft);
    for (let n = 0; n < past; n++) blows[(blowAt + n) & blowMask] = 0;
    this.blowLeft -= past;
    this.blowAt = (blowAt + count) & blowMask;
  }

  // A mode that has just been through zero has its other sample; both small is over.
  private look(): void {
    if (this.blowLeft > 0) return;
    const { states } = this;
    for (let k = 0; k < states.length; k++) {
      const state = states[k]!;
      if (state > SILENT_PA || state < -SILENT_PA) return;
    }
    states.fill(0);
    this.isIdle = true;
  }
}
