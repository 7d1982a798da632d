import type { Motion } from "../gear/motion.js";
import { portDischargeCoefficient } from "./vessel-ports.js";
import type { EngineDescription } from "./engine-description.js";
import { boilerSoundSpeedMPerS, type FluidStates } from "./engine-fluid.js";
import type { ExhaustNetwork } from "./exhaust-network.js";
import { valveLeakAreaM2 } from "./valve-leak.js";

/**
 * The smallest chest that can be stepped, m3. It is stepped like any vessel: what ports, regulator and leaks pass in a tick
 * must stay a part of what it holds.
 */
export function leastChestVolumeM3(
  { leaks, regulatorAreaM2 }: EngineDescription,
  motion: Motion,
  network: ExhaustNetwork,
  states: FluidStates,
  exponent: number,
  stepS: number,
): number {
  const portsM2 = motion.portAreaMaxM2.reduce((sum, area) => sum + area, 0);
  const leakM2 = network.portEnds.reduce(
    (sum, { portCount, pipeAreaM2 }) => sum + valveLeakAreaM2(leaks.valveM2, portCount, pipeAreaM2),
    0,
  );
  const areaM2 = portDischargeCoefficient * (0.5 * portsM2 + regulatorAreaM2) + leakM2;
  return areaM2 * boilerSoundSpeedMPerS(states, exponent) * stepS;
}

/** Says where a chest is taken larger than described. */
export function chestNotes({ chestVolumeM3, idealised }: EngineDescription, leastM3: number): readonly string[] {
  if (idealised || chestVolumeM3 >= leastM3) return [];
  const litres = (m3: number) => `${Number((1000 * m3).toPrecision(3))} L`;
  return [`chest.volume of ${litres(chestVolumeM3)} fills and empties within one tick; taken as ${litres(leastM3)}.`];
}
