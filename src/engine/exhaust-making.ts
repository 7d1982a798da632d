import type { ExhaustGas } from "../flow/exhaust-gas.js";
import type { Motion } from "../gear/motion.js";
import type { WorkingFluid } from "../steam/working-fluid.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import type { EngineDescription } from "./engine-description.js";
import { type FluidStates, makeExhaustGas, surroundingsOf } from "./engine-fluid.js";
import { ExhaustNetwork } from "./exhaust-network.js";
import { ExhaustPorts } from "./exhaust-ports.js";
import type { TickPlan } from "./tick-plan.js";

/** Exhaust ports and pipes of an engine, and the gas in them. */
export interface MadeExhaust {
  readonly gas: ExhaustGas;
  readonly ports: ExhaustPorts;
  readonly network: ExhaustNetwork;
  /** Gas in the pipes of a machine at work. */
  readonly exhausted: { readonly densityKgPerM3: number; readonly soundSpeedMPerS: number };
}

/** Builds them, filled as of a machine at work. */
export function makeExhaust(
  description: EngineDescription,
  motion: Motion,
  ends: CylinderEnds,
  fluid: WorkingFluid,
  states: FluidStates,
  plan: TickPlan,
): MadeExhaust {
  const exhaustPorts = new ExhaustPorts(motion, ends);
  const { ports } = exhaustPorts;
  const gas = makeExhaustGas(description, fluid, states);
  const stubBoreM = Math.sqrt((4 / Math.PI) * Math.max(...motion.portAreaMaxM2.subarray(motion.firstOutEnd)));
  const around = surroundingsOf(description, states);
  const exponent = fluid.isentropicExponent;
  const network = new ExhaustNetwork(description, gas, plan, plan.stepS, ports, exponent, around, stubBoreM);
  network.reset(states.outsidePa, states.exhausted.enthalpyJPerKg);
  const exhausted = {
    densityKgPerM3: network.pipes[0]!.leftDensity,
    soundSpeedMPerS: network.meanSoundSpeedMPerS(),
  };
  return { gas, ports: exhaustPorts, network, exhausted };
}
