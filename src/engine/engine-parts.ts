import type { Vessel } from "../flow/vessel.js";
import type { Motion } from "../gear/motion.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import type { FluidStates } from "./engine-fluid.js";
import type { EngineLedger } from "./engine-ledger.js";
import type { ExhaustNetwork } from "./exhaust-network.js";
import type { PulseRecord } from "./pulse-record.js";
import type { Supply } from "./supply.js";

/** The rooms of an engine that its flows run between. */
export interface EngineParts {
  readonly motion: Motion;
  readonly ends: CylinderEnds;
  readonly chest: Vessel;
  /** One before each later stage, whose chest it is. */
  readonly receivers: readonly Vessel[];
  readonly network: ExhaustNetwork;
  readonly record: PulseRecord;
  readonly ledger: EngineLedger;
  readonly states: FluidStates;
  /** What the regulator draws from, now. */
  readonly supply: Supply;
  readonly stepS: number;
  /** Isentropic exponent of the working fluid in openings. */
  readonly exponent: number;
}
