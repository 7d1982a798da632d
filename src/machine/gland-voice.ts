import { pow } from "../quantities/portable-maths.js";
import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { WATER_QUIETING } from "../sound/wet-jet.js";
import { FaintJet } from "./faint-jet.js";
import { leakBoreM } from "./leak-bore.js";
import { noiseStreams } from "./noise-streams.js";
import { restK } from "./jet-voices.js";
import { RowVoice } from "./row-voice.js";
import { gasOf } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// A crack through a packing is long and thin: friction along it takes three velocity heads, and leaves the jet a quarter of what
// stands before it. [common practice: friction factor 0.03, a hundred times as long as it is wide]
const headsLost = 3;
// Steam at the glands: saturated at some 6 bar. [common practice]
const rodK = 432;
// Steps of the table of what is left of a speed, even in its square, up to the speed that steam at rest comes to in a vacuum.
const speedSteps = 64;

const mass = 0;
const speed = 1;

/**
 * What blows past the packing of the glands, of piston rods and of valve spindles: the hiss of a crack, quieter the more water
 * comes with the steam. All glands are one jet, as fast as the fastest of them, and of as much power as they all have.
 */
export class GlandVoice extends RowVoice {
  private readonly jet: JetNoise;
  private readonly leftRatio: Float64Array;
  private readonly stepsPerSquare: number;
  private readonly faint: FaintJet;

  constructor(private readonly making: VoiceMaking) {
    super("glands", making, 2, 1);
    const { sampleRateHz, seed, noisePeriod, distanceM, airDensityKgPerM3, airSoundSpeedMPerS, description } = making;
    const boreM = Math.min(5, Math.max(1e-4, leakBoreM(description.fittings?.glandAreaM2 ?? 0)));
    const stream = new NoiseStream(seed, noiseStreams.gland, noisePeriod);
    this.jet = new JetNoise(sampleRateHz, stream, { boreM, distanceM, airDensityKgPerM3, airSoundSpeedMPerS });
    const gas = gasOf(making);
    const soundSquare = gas.isentropicExponent * gas.gasJPerKgK * restK(making, rodK);
    const greatestSquare = soundSquare / (0.5 * (gas.isentropicExponent - 1));
    this.leftRatio = Float64Array.from({ length: speedSteps + 1 }, (_, i) =>
      leftOfSpeedRatio(Math.min(i, speedSteps - 0.5) / speedSteps, gas.isentropicExponent),
    );
    this.stepsPerSquare = speedSteps / greatestSquare;
    this.faint = new FaintJet(making);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows } = this;
    const { glandKgPerS, glandMPerS, glandWaterKgPerS, spindleKgPerS, spindleMPerS } = this.making.record;
    const isBlowing = spindleKgPerS > 0 && spindleKgPerS < 1e6;
    let fastest = isBlowing && spindleMPerS > 0 ? spindleMPerS : 0;
    for (let k = 0; k < glandKgPerS.length; k++) {
      if (glandKgPerS[k]! > 0 && glandMPerS[k]! > fastest) fastest = glandMPerS[k]!;
    }
    rows[at + mass] = 0;
    const place = fastest * fastest * this.stepsPerSquare;
    const step = place < speedSteps - 1 ? place | 0 : speedSteps - 1;
    const low = this.leftRatio[step]!;
    rows[at + speed] = fastest * (low + (this.leftRatio[step + 1]! - low) * (place - step < 1 ? place - step : 1));
    const perFastest = fastest > 0 ? 1 / fastest : 0;
    // A jet's power goes with its mass flow and the seventh power of its speed.
    const slower = spindleMPerS * perFastest;
    if (isBlowing) rows[at + mass] = spindleKgPerS * slower * slower * slower * slower * slower * slower * slower;
    for (let k = 0; k < glandKgPerS.length; k++) {
      const steam = glandKgPerS[k]!;
      if (!(steam > 0 && steam < 1e6)) continue;
      const water = glandWaterKgPerS[k]! > 0 ? glandWaterKgPerS[k]! : 0;
      const slow = glandMPerS[k]! * perFastest;
      // What drops take is taken from that.
      const loud = (steam * slow * slow * slow * slow * slow * slow * slow) / (1 + (WATER_QUIETING * water) / steam);
      rows[at + mass] = rows[at + mass]! + loud;
    }
    // What dies away keeps its colour.
    if (rows[at + mass] === 0) rows[at + speed] = rows[(at === 0 ? rows.length : at) - 2 + speed]!;
  }

  override isStill(): boolean {
    const { glandKgPerS, glandMPerS, spindleKgPerS, spindleMPerS } = this.making.record;
    let blows = spindleKgPerS > 0;
    const slow = spindleMPerS * spindleMPerS * spindleMPerS;
    let flux = blows ? spindleKgPerS * slow * slow * spindleMPerS : 0;
    for (let k = 0; k < glandKgPerS.length; k++) {
      if (!(glandKgPerS[k]! > 0)) continue;
      blows = true;
      const speed = glandMPerS[k]!;
      const cube = speed * speed * speed;
      flux += glandKgPerS[k]! * cube * cube * speed;
    }
    return !blows || this.faint.mayRest(flux);
  }

  protected override make(): void {
    const { jet, audio, pressurePa, chunkFrames } = this;
    this.standAtOnce(speed);
    if (this.isSeeking) jet.setNextSampleIndex(this.sampleIndex);
    jet.process(audio[mass]!, audio[speed]!, pressurePa, chunkFrames);
  }

  protected override silence(): void {
    this.jet.reset();
    this.faint.reset();
  }
}

/**
 * Speed of an expanded jet behind a crack with friction, over that behind a hole. @param squareRatio its square behind a hole over
 * that into a vacuum, 0 to below 1
 */
function leftOfSpeedRatio(squareRatio: number, isentropicExponent: number): number {
  const power = isentropicExponent / (isentropicExponent - 1);
  // Of an ideal gas that falls from rest to the air: (air / rest)^(1 / power) = 1 - U^2 / U^2 into a vacuum.
  if (squareRatio <= 0) return 1 / Math.sqrt(1 + headsLost);
  const before = pow(1 - squareRatio, -power);
  const left = 1 + (before - 1) / (1 + headsLost);
  return Math.sqrt((1 - pow(left, -1 / power)) / squareRatio);
}
