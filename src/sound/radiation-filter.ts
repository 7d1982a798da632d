import { UNFLANGED_REFLECTION } from "./acoustics.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

// Keeps a wave that dies away from crawling through denormal numbers: 600 dB below any flow of note.
const FLOOR = 1e-30;

/**
 * Open mouth of a pipe: the wave that comes back from it, end correction and radiation included. Causal Pade form of
 * Levine & Schwinger's result through the bilinear transform; -1 exactly at 0 Hz, never more than 1 in size.
 *
 * Waves are flow waves: flow = up - back, pressure = (up + back) rho c / area. The lost head of a mean flow stands in
 * series with the radiation load.
 */
export class RadiationFilter {
  private readonly sampleRateHz: number;
  private radiusM = 1;
  private soundSpeedMPerS = 1;
  private flowLossRatio = 0;
  private b0 = 0;
  private b1 = 0;
  private b2 = 0;
  private a1 = 0;
  private a2 = 0;
  private wavePerFlow = 1;
  // Waves themselves are the state, so a new gas leaves a steady flow steady.
  private lastWave = 0;
  private lastBack = 0;
  private formerWave = 0;
  private formerBack = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a mouth as `setMouth` refuses. */
  constructor(sampleRateHz: number, radiusM: number, soundSpeedMPerS: number) {
    this.sampleRateHz = requireSampleRateHz("RadiationFilter", sampleRateHz);
    this.setMouth(radiusM, soundSpeedMPerS);
    this.reset();
  }

  /** Settings only. @throws RangeError for a radius outside 0.1 mm to 5 m or a sound speed outside 100 to 1500 m/s. */
  setMouth(radiusM: number, soundSpeedMPerS: number): void {
    requireWithin("RadiationFilter", "radiusM", radiusM, 1e-4, 5, " m");
    requireWithin("RadiationFilter", "soundSpeedMPerS", soundSpeedMPerS, 100, 1500, " m/s");
    this.radiusM = radiusM;
    this.soundSpeedMPerS = soundSpeedMPerS;
    this.fit();
  }

  /**
   * Settings only. Head lost by a mean flow, as a resistance in units of rho c / area; one velocity head is the Mach
   * number of the mean flow. 0 loses nothing (the default). @throws RangeError outside 0 to 10.
   */
  setFlowLossRatio(flowLossRatio: number): void {
    this.flowLossRatio = requireWithin("RadiationFilter", "flowLossRatio", flowLossRatio, 0, 10, "");
    this.fit();
  }

  /** State only: as if `flow` had passed for ever. */
  reset(flow = 0): void {
    this.lastWave = (flow * (1 + this.flowLossRatio)) / 2;
    this.lastBack = this.lastWave - flow;
    this.formerWave = this.lastWave;
    this.formerBack = this.lastBack;
  }

  /** Wave that comes back from the mouth. `back` may be `up`. */
  process(up: Float64Array, back: Float64Array, frameCount: number): void {
    const { b0, b1, b2, a1, a2 } = this;
    let { lastWave, lastBack, formerWave, formerBack } = this;
    for (let i = 0; i < frameCount; i++) {
      const wave = up[i]! + FLOOR;
      const returned = b0 * wave + b1 * lastWave + b2 * formerWave - a2 * formerBack - a1 * lastBack;
      formerWave = lastWave;
      lastWave = wave;
      formerBack = lastBack;
      lastBack = returned;
      back[i] = returned;
    }
    this.lastWave = lastWave;
    this.lastBack = lastBack;
    this.formerWave = formerWave;
    this.formerBack = formerBack;
  }

  /** Part of the pressure (in units of rho c / area) that the past alone sets in the present sample. */
  pendingPressure(): number {
    return 2 * this.pendingBack() * this.wavePerFlow;
  }

  /** Pressure per flow within the present sample, in units of rho c / area. */
  presentResistance(): number {
    return (1 + this.b0) * this.wavePerFlow;
  }

  /** Ends the present sample for one who works in flow and pressure instead of waves: this flow went out. */
  advance(flow: number): void {
    const wave = (flow + this.pendingBack()) * this.wavePerFlow;
    this.formerWave = this.lastWave;
    this.lastWave = wave;
    this.formerBack = this.lastBack;
    this.lastBack = wave - flow;
  }

  /**
   * Writes b0, b1, b2, a1 and a2 of back = b0 up + b1 up' + b2 up'' - a1 back' - a2 back'' at `into[0]` and after: for a loop
   * of one's own, where a number handed over sample by sample would be allocated.
   */
  copyCoefficients(into: Float64Array): void {
    into[0] = this.b0;
    into[1] = this.b1;
    into[2] = this.b2;
    into[3] = this.a1;
    into[4] = this.a2;
  }

  private pendingBack(): number {
    return this.b1 * this.lastWave + this.b2 * this.formerWave - this.a2 * this.formerBack - this.a1 * this.lastBack;
  }

  // With the radiation's reflection N/D (`up` over `back`), a resistance m in series makes it (2N + m (D - N)) / (2D + m (D - N)).
  private fit(): void {
    const { n1, d1, d2 } = UNFLANGED_REFLECTION;
    const k = (2 * this.sampleRateHz * this.radiusM) / this.soundSpeedMPerS;
    const m = this.flowLossRatio;
    const up0 = -(1 + n1 * k);
    const up1 = -2;
    const up2 = -(1 - n1 * k);
    const back0 = 1 + d1 * k + d2 * k * k;
    const back1 = 2 * (1 - d2 * k * k);
    const back2 = 1 - d1 * k + d2 * k * k;
    const scale = 1 / (2 * back0 + m * (back0 - up0));
    this.b0 = (2 * up0 + m * (back0 - up0)) * scale;
    this.b1 = (2 * up1 + m * (back1 - up1)) * scale;
    this.b2 = (2 * up2 + m * (back2 - up2)) * scale;
    this.a1 = (2 * back1 + m * (back1 - up1)) * scale;
    this.a2 = (2 * back2 + m * (back2 - up2)) * scale;
    this.wavePerFlow = 1 / (1 - this.b0);
  }
}
