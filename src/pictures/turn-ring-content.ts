import type { Beat } from "../gear/beats.js";
import type { RunningDirection } from "../gear/equivalent-eccentric.js";
import type { EndEvents } from "../gear/valve-events.js";

/** What the turn ring takes from a report of events, which has it under these names. */
export interface TurnRingReport {
  /** Nominal and signed; `null` for oscillating cylinders. */
  readonly cutoffRatio: number | null;
  readonly ends: readonly EndEvents[];
  /** By shaft angle. */
  readonly beats: readonly RingBeat[];
  /** Distinct ones. */
  readonly beatsPerTurn: number;
  /** Smallest shift of one beat that an ear notices; `null` without beats. */
  readonly audibleShiftDeg: number | null;
  readonly assumed: readonly unknown[];
  readonly warnings: readonly string[];
  readonly caution: string;
}

/** A beat and its loudness against the loudest, in dB; `null` where that is not known. */
export interface RingBeat extends Beat {
  readonly relativeLevelDb: number | null;
  /** How much later it comes than with nothing out of true; left out or null where that is not known. */
  readonly deviationDeg?: number | null;
  readonly isAudible?: boolean;
}

/** What the turn ring must know of the machine besides. */
export interface TurnRingMachine {
  /** Free text of the machine file. */
  readonly name: string;
  readonly speedRpm: number;
  /** The way the shaft turns in the report. */
  readonly direction: RunningDirection;
  /** How far each crank leads the shaft angle, running forward, as it really stands: quartering faults included. */
  readonly crankAnglesDeg: readonly number[];
  /** False for a condenser. */
  readonly exhaustsToAir: boolean;
  /** What is out of true, a line of words each; left out where nothing is. */
  readonly outOfTrue?: readonly string[];
}
