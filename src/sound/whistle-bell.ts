import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import type { WallGas } from "./acoustics.js";
import { pipeResonanceHz, wallLossNpPerM } from "./acoustics.js";
import { DelayLine, LEAST_DELAY_SAMPLES } from "./delay-line.js";
import { RadiationFilter } from "./radiation-filter.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";
import { WallLoss } from "./wall-loss.js";

/** Steam at 100 °C and the pressure of the air: what fills a bell that has been blown for a moment. Air drawn in lowers its sound speed, and the bell's pitch, towards that of air. [source: IAPWS R7-97 and R12-08, saturated vapour at 1 atm: 0.598 kg/m3, 472 m/s, 12.2 uPa s, 1.33, Prandtl number 1.0, from memory] */
export const STEAM_IN_BELL: WallGas = {
  densityKgPerM3: 0.598,
  soundSpeedMPerS: 472,
  viscosityPaS: 1.22e-5,
  isentropicExponentRatio: 1.33,
  prandtlRatio: 1,
};

// Share of the sheet's push that swings in and out of the bell.
// [tuned: level of a 60 mm bell at 8 bar against 100 to 125 dB a few metres off, from memory, 2026-11-25]
const SWING_RATIO = 0.12;
// How much wider the sheet swings at the lip than the air at the slit moves. [common practice: jet waves grow some e-fold or two over a mouth; Fletcher & Rossing, The Physics of Musical Instruments, chapter 16, from memory]
const GROWTH_RATIO = 4;
// Half width of a plane jet per distance run. [source: plane turbulent jet, Pope, Turbulent Flows, 2000, section 5.4.3, from memory]
const SPREAD_RATIO = 0.11;
// Speed on the middle line of a plane jet: this times root (slit / distance). [source: as above, from memory]
const PLANE_JET_RATIO = 2.4;
// Waves run along a sheet at this share of its speed. [common practice: 0.4 to 0.5, Fletcher & Rossing, chapter 16, from memory]
const WAVE_RATIO = 0.45;
// The sheet's middle stands so far off the lip, in half widths. [tuned: even harmonics 17 dB or more below, 2026-11-25]
const OFFSET_RATIO = 0.8;
// Swing of the sheet by its own eddies, in half widths, and of its push. [tuned: starts from rest in some ten periods, 2026-11-25]
const FLUTTER_RATIO = 0.15;
// Vortices at the lip: heads lost by the flow through the mouth. [source: 1 over contraction 0.6 squared; Verge et al., JASA 95 (1994) 1119, from memory]
const LOST_HEADS = 2.8;
// The sheet is pushed aside the longer a wave pushes: corner over the bell's pitch. [tuned: bells hold their first mode, 2026-11-25]
const YIELD_RATIO = 0.5;
// A bell is voiced to keep its first mode at any pressure that it is blown with: least crossing time of its periods. [common practice]
const LEAST_CROSSING_PERIODS = 0.2;
const CHUNK_SAMPLES = 64;
// Keeps what dies away from crawling through denormal numbers.
const FLOOR = 1e-30;

/** A stopped bell above its slit. */
export interface BellShape {
  /** Inside, from mouth to stop, 5 mm to 10 m. */
  readonly lengthM: number;
  /** 1 mm to 2 m. */
  readonly boreM: number;
  /** 10 um to 50 mm. */
  readonly slitM: number;
  /** Height of the mouth over the bore, 0.02 to 2. */
  readonly cutUpRatio: number;
  readonly gas: WallGas;
}

/**
 * One bell of a whistle: a stopped pipe, blown by a sheet of steam that crosses its mouth to the lip. Air that moves in the
 * mouth pushes the sheet aside; the swing travels along it, grows, and half a period later turns the sheet's push in or out
 * of the bell. Vortices at the lip bound it. A faster sheet is sooner at the lip: the pitch rises a little.
 * [source: Fletcher & Rossing, The Physics of Musical Instruments, chapter 16; Verge et al., JASA 95 (1994) 1119]
 */
export class WhistleBell {
  /** Mouth flow stands at the jet that makes it. */
  readonly delaySamples = 0;
  /** First resonance of the bell, unblown. */
  readonly resonanceHz: number;
  private readonly line: DelayLine;
  private readonly wall: WallLoss;
  // Coefficients of the mouth's reflection.
  private readonly mouth = new Float64Array(5);
  private readonly wave = new Float64Array(CHUNK_SAMPLES);
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  // Where the sheet stands at the lip, before it has travelled there.
  private readonly sheet: Float64Array;
  private readonly sheetMask: number;
  private readonly mostSamples: number;
  private readonly leastSamples: number;
  private readonly crossingSamplesMPerS: number;
  private readonly wavePerNewton: number;
  private readonly swingPerFlow: number;
  private readonly yieldRatio: number;
  private readonly flutterKeep: number;
  private readonly flutterGain: number;
  private readonly lossPerFlow: number;
  private writeIndex = 0;
  private nextSampleIndex = 0;
  private swing = 0.5;
  private flutter = 0.5;
  private lastWave = 0.5;
  private lastBack = 0.5;
  private formerWave = 0.5;
  private formerBack = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a shape outside its ranges. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
    shape: BellShape,
  ) {
    const where = "WhistleBell";
    const rate = requireSampleRateHz(where, sampleRateHz);
    const lengthM = requireWithin(where, "lengthM", shape.lengthM, 0.005, 10, " m");
    const boreM = requireWithin(where, "boreM", shape.boreM, 1e-3, 2, " m");
    const slitM = requireWithin(where, "slitM", shape.slitM, 1e-5, 0.05, " m");
    const mouthM = boreM * requireWithin(where, "cutUpRatio", shape.cutUpRatio, 0.02, 2, "");
    const speed = requireWithin(where, "soundSpeedMPerS", shape.gas.soundSpeedMPerS, 100, 1500, " m/s");
    const radiusM = 0.5 * boreM;
    const resonanceHz = pipeResonanceHz({ lengthM, radiusM, stopped: true }, speed, 1);
    this.resonanceHz = resonanceHz;
    const roundTrip = Math.max(LEAST_DELAY_SAMPLES, (2 * rate * lengthM) / speed);
    this.line = new DelayLine(roundTrip + 1);
    this.line.setDelaySamples(roundTrip);
    this.wall = new WallLoss(rate);
    this.wall.setLoss(resonanceHz, Math.min(10, 2 * lengthM * wallLossNpPerM(resonanceHz, radiusM, shape.gas)));
    new RadiationFilter(rate, radiusM, speed).copyCoefficients(this.mouth);

    const areaM2 = Math.PI * radiusM * radiusM;
    const mouthM2 = Math.PI * boreM * mouthM;
    const period = rate / resonanceHz;
    // Time to the lip of a sheet that slows as the root of the distance: 2/3 of that at the lip's speed.
    const slowing = Math.min(1, PLANE_JET_RATIO * Math.sqrt(slitM / mouthM));
    this.crossingSamplesMPerS = ((2 / 3) * rate * mouthM) / (WAVE_RATIO * slowing);
    this.leastSamples = Math.max(1, LEAST_CROSSING_PERIODS * period);
    this.mostSamples = Math.max(2, 2 * period);
    let size = 8;
    while (size < this.mostSamples + 4) size *= 2;
    this.sheet = new Float64Array(size);
    this.sheetMask = size - 1;
    // Waves are flows: pressure area / (rho c), the push spread over the bore.
    this.wavePerNewton = SWING_RATIO / (shape.gas.densityKgPerM3 * speed);
    this.lossPerFlow = (0.5 * LOST_HEADS * areaM2) / (speed * mouthM2 * mouthM2);
    const corner = (Math.PI * YIELD_RATIO) / period;
    this.yieldRatio = corner / (1 + corner);
    const gainAtPitch = 1 / Math.sqrt(1 + 1 / (YIELD_RATIO * YIELD_RATIO));
    const airPerFlowM = 1 / (2 * Math.PI * resonanceHz * mouthM2);
    this.swingPerFlow = (GROWTH_RATIO * airPerFlowM) / (SPREAD_RATIO * mouthM * gainAtPitch);
    // Eddies up to thrice the pitch; unit variance behind the low-pass, at any rate.
    const eddies = (3 * 2 * Math.PI) / period;
    this.flutterKeep = eddies / (1 + eddies);
    this.flutterGain = FLUTTER_RATIO * UNIFORM_TO_UNIT_VARIANCE * Math.sqrt((2 - this.flutterKeep) / this.flutterKeep);
    this.reset();
  }

  /** State only: silence, at the beginning of its noise. */
  reset(): void {
    this.hush();
    this.setNextSampleIndex(0);
  }

  /** State only: still air in the bell; the place in the noise stays. */
  hush(): void {
    this.line.reset(0);
    this.wall.reset(0);
    this.sheet.fill(0);
    this.writeIndex = 0;
    this.swing = this.flutter = 0;
    this.lastWave = this.lastBack = this.formerWave = this.formerBack = 0;
  }

  /** Position in the noise of the next sample, a whole number. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  /** Push of the sheet, N, and its speed at the slit, m/s, to flow out of the mouth, m3/s. `flowM3PerS` may be either. */
  process(pushN: Float64Array, jetMPerS: Float64Array, flowM3PerS: Float64Array, frameCount: number): void {
    const { line, wall, wave, white } = this;
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const chunk = Math.min(CHUNK_SAMPLES, frameCount - start);
      this.noise.fill(this.nextSampleIndex, white, chunk);
      this.nextSampleIndex += chunk;
      let done = 0;
      while (done < chunk) {
        const count = Math.min(line.samplesAhead(), chunk - done);
        line.read(wave, 0, count);
        wall.process(wave, wave, count);
        this.blow(pushN, jetMPerS, flowM3PerS, start, done, count);
        line.write(wave, 0, count);
        done += count;
      }
    }
  }

  // Samples `first` and after of the chunk that stands at `start`.
  private blow(
    push: Float64Array,
    jet: Float64Array,
    flow: Float64Array,
    start: number,
    first: number,
    count: number,
  ): void {
    const offset = start + first;
    const { wave, white, sheet, sheetMask, mouth, mostSamples, leastSamples, crossingSamplesMPerS } = this;
    const { wavePerNewton, swingPerFlow, yieldRatio, flutterKeep, flutterGain, lossPerFlow } = this;
    const b0 = mouth[0]!;
    const b1 = mouth[1]!;
    const b2 = mouth[2]!;
    const a1 = mouth[3]!;
    const a2 = mouth[4]!;
    const wavePerFlow = 1 / (1 - b0);
    const pressurePerBack = 2 * wavePerFlow;
    const resistance = 1 + (1 + b0) * wavePerFlow;
    const conductance = 1 / resistance;
    const sharpness = (4 * lossPerFlow) / resistance;
    const quickest = leastSamples * leastSamples;
    let { writeIndex, swing, flutter, lastWave, lastBack, formerWave, formerBack } = this;
    for (let i = 0; i < count; i++) {
      const up = wave[i]!;
      const newtons = push[offset + i]!;
      let drive = 0;
      if (newtons > 0) {
        const speed = jet[offset + i]!;
        const crossing = crossingSamplesMPerS / Math.max(1, speed);
        // Without a corner to the least time.
        const slow = Math.sqrt(crossing * crossing + quickest);
        const delay = Math.min(slow, mostSamples);
        const whole = Math.floor(delay);
        const share = delay - whole;
        const at = writeIndex - whole;
        const late = sheet[at & sheetMask]! * (1 - share) + sheet[(at - 1) & sheetMask]! * share;
        flutter += flutterKeep * (white[first + i]! * flutterGain - flutter);
        const aside = late + flutter + OFFSET_RATIO;
        drive = (-wavePerNewton * newtons * (1 + flutter) * aside) / Math.sqrt(1 + aside * aside);
      }
      // (1 + r) Q + loss |Q| Q = driving.
      const pending = b1 * lastWave + b2 * formerWave - a2 * formerBack - a1 * lastBack;
      const driving = (2 * up - pressurePerBack * pending - drive) * conductance;
      const size = driving < 0 ? -driving : driving;
      const out = (2 * driving) / (1 + Math.sqrt(1 + sharpness * size));
      formerWave = lastWave;
      formerBack = lastBack;
      lastWave = (out + pending) * wavePerFlow;
      lastBack = lastWave - out;
      wave[i] = up - out + FLOOR;
      swing += yieldRatio * (-swingPerFlow * out - swing) + FLOOR;
      sheet[writeIndex] = swing;
      writeIndex = (writeIndex + 1) & sheetMask;
      flow[offset + i] = out;
    }
    this.writeIndex = writeIndex;
    this.swing = swing;
    this.flutter = flutter;
    this.lastWave = lastWave;
    this.lastBack = lastBack;
    this.formerWave = formerWave;
    this.formerBack = formerBack;
  }
}
