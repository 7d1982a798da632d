import type { ContactBodies } from "../sound/hertz-contact.js";
import { contactDurationS, contactSlowingRatio, pressedDurationS } from "../sound/hertz-contact.js";
import type { StruckMode } from "../sound/struck-body.js";
import { StruckModes } from "../sound/struck-modes.js";

/** What strikes a body: how it touches, and the share of its momentum that bends the body. */
export interface Hammer {
  readonly contact: ContactBodies;
  readonly couplingRatio: number;
  /** Force with which the bodies are pressed together already, N: then the blow lasts as long whatever its speed. */
  readonly pressedN?: number;
}

/** A body of a voice and the hammers that strike it, each blow as long as Hertz has it for its speed. */
export class StruckIron {
  private readonly bank: StruckModes;
  // At 1 m/s.
  private readonly touchS: Float64Array;
  private readonly isPressed: readonly boolean[];
  private readonly couplingRatio: Float64Array;

  /** @param chunkFrames how far ahead blows are ordered, at most */
  constructor(sampleRateHz: number, chunkFrames: number, modes: readonly StruckMode[], hammers: readonly Hammer[]) {
    this.bank = new StruckModes(sampleRateHz, modes, chunkFrames);
    this.touchS = Float64Array.from(hammers, ({ contact, pressedN }) =>
      pressedN === undefined ? contactDurationS(contact, 1) : pressedDurationS(contact, pressedN),
    );
    this.isPressed = hammers.map(({ pressedN }) => pressedN !== undefined);
    this.couplingRatio = Float64Array.from(hammers, ({ couplingRatio }) => couplingRatio);
  }

  get isIdle(): boolean {
    return this.bank.isIdle;
  }

  /** State only: silence. */
  reset(): void {
    this.bank.reset();
  }

  /** A blow at a time into the chunk that `process` makes next. Speeds of nothing strike nothing. */
  strike(hammer: number, atSample: number, speedMPerS: number, momentumNs: number): void {
    if (!(speedMPerS > 0)) return;
    const slowing = this.isPressed[hammer]! ? 1 : contactSlowingRatio(speedMPerS);
    const durationS = this.touchS[hammer]! * slowing;
    this.bank.strike(atSample, momentumNs * this.couplingRatio[hammer]!, durationS);
  }

  /** Adds the chunk to `pressurePa`. */
  process(pressurePa: Float64Array): void {
    this.bank.process(pressurePa, pressurePa.length);
  }
}
