import { cos, exp, sin } from "../quantities/portable-maths.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";
import type { StruckMode } from "./struck-body.js";

/** Friction that grips a slow rub harder than a fast one. */
export interface StickSlipSetting {
  /** Modes of the wheel that the rub can drive, and its mass. */
  readonly modes: readonly StruckMode[];
  readonly massKg: number;
  readonly loadN: number;
  /** Friction before it slips, and when it slips fast; between them it falls by half of the difference at `halfMPerS`. */
  readonly adhesionRatio: number;
  readonly slipRatio: number;
  readonly halfMPerS: number;
}

// Width of the turn of the friction's sign, so that a step of time never throws a wheel across it. [common practice]
const TURN_M_PER_S = 4e-3;
// What is below this is no sound: 100 dB under the threshold of hearing. [common practice]
const SILENT_PA = 2e-10;
const SAMPLES_PER_LOOK = 128;

/**
 * Squeal of a wheel that slips: friction that falls with speed feeds its modes until they move as fast as the slip itself and
 * stick at each swing. Howls at small slip, comes slowly, and stops by itself when the slip is so fast that friction no longer
 * falls, or when nothing slips. [source: Rudd, J. Sound Vib. 46 (1976) 381, for the falling friction, from memory]
 *
 * `process` adds to its output.
 */
export class StickSlip {
  /** True while nothing rings: then a slip of 0 needs no `process`. */
  isIdle = true;
  readonly delaySamples = 0;
  private readonly modeCount: number;
  // A mode each: turn of a sample, cosine and sine with the decay; pressure for speed.
  private readonly turns: Float64Array;
  // Speed at the rail and displacement times angular frequency, of each.
  private readonly states: Float64Array;
  private readonly pressureRatio: Float64Array;
  private readonly kickMPerS: number;
  private readonly slipRatio: number;
  private readonly fallRatio: number;
  private readonly perHalf: number;
  private samplesToLook = SAMPLES_PER_LOOK;

  /** @throws RangeError for a rate outside 8 to 768 kHz, or a mass, load or friction that is none. */
  constructor(sampleRateHz: number, setting: StickSlipSetting) {
    requireSampleRateHz("StickSlip", sampleRateHz);
    const { modes, massKg, loadN, adhesionRatio, slipRatio, halfMPerS } = setting;
    requireWithin("StickSlip", "massKg", massKg, 1e-6, 1e6, " kg");
    requireWithin("StickSlip", "loadN", loadN, 1e-6, 1e8, " N");
    requireWithin("StickSlip", "slipRatio", slipRatio, 0, 2, "");
    requireWithin("StickSlip", "adhesionRatio", adhesionRatio, slipRatio, 2, "");
    requireWithin("StickSlip", "halfMPerS", halfMPerS, 1e-3, 100, " m/s");
    const heard = modes.filter(({ frequencyHz }) => frequencyHz < 0.2 * sampleRateHz);
    this.modeCount = heard.length;
    this.turns = new Float64Array(2 * heard.length);
    this.states = new Float64Array(2 * heard.length);
    this.pressureRatio = new Float64Array(heard.length);
    heard.forEach(({ frequencyHz, lossRatio, paPerNs }, k) => {
      const turnRad = (2 * Math.PI * frequencyHz) / sampleRateHz;
      const stays = exp(-0.5 * lossRatio * turnRad);
      this.turns[2 * k] = stays * cos(turnRad);
      this.turns[2 * k + 1] = stays * sin(turnRad);
      this.pressureRatio[k] = paPerNs * massKg;
    });
    this.kickMPerS = loadN / (massKg * sampleRateHz);
    this.slipRatio = slipRatio;
    this.fallRatio = adhesionRatio - slipRatio;
    this.perHalf = 1 / halfMPerS;
  }

  /** State only: at rest. */
  reset(): void {
    this.states.fill(0);
    this.samplesToLook = SAMPLES_PER_LOOK;
    this.isIdle = true;
  }

  /** Slip of the rim over the rail in m/s, either way, to sound pressure, which is added. */
  process(slipMPerS: Float64Array, pressurePa: Float64Array, frameCount: number): void {
    const { modeCount, turns, states, pressureRatio, kickMPerS, slipRatio, fallRatio, perHalf } = this;
    for (let i = 0; i < frameCount; i++) {
      const slip = slipMPerS[i]!;
      let kick = 0;
      if (slip !== 0) {
        let own = 0;
        for (let k = 0; k < modeCount; k++) own += states[2 * k]!;
        const rub = slip - own;
        const square = rub * rub;
        const size = Math.sqrt(square);
        const friction = slipRatio + fallRatio / (1 + size * perHalf);
        kick = (kickMPerS * friction * rub) / Math.sqrt(square + TURN_M_PER_S * TURN_M_PER_S);
      } else if (this.isIdle) continue;
      let sum = 0;
      for (let k = 0; k < modeCount; k++) {
        const speed = states[2 * k]! + kick;
        const place = states[2 * k + 1]!;
        const turned = turns[2 * k]! * speed - turns[2 * k + 1]! * place;
        states[2 * k + 1] = turns[2 * k + 1]! * speed + turns[2 * k]! * place;
        states[2 * k] = turned;
        // Half of the kick after it: a steady push holds the wheel aside, and that is no motion.
        sum += pressureRatio[k]! * (turned + 0.5 * kick);
      }
      pressurePa[i] = pressurePa[i]! + sum;
      this.isIdle = false;
      if (--this.samplesToLook === 0) {
        this.samplesToLook = SAMPLES_PER_LOOK;
        if (slip === 0) this.look();
      }
    }
  }

  private look(): void {
    const { states, pressureRatio } = this;
    for (let k = 0; k < states.length; k++) {
      const pressure = pressureRatio[k >> 1]! * states[k]!;
      if (pressure > SILENT_PA || pressure < -SILENT_PA) return;
    }
    states.fill(0);
    this.isIdle = true;
  }
}
