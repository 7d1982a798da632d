import type { Motion } from "../gear/motion.js";
import type { Stage } from "../gear/stages.js";
import { portDischargeCoefficient } from "./vessel-ports.js";
import type { EngineDescription } from "./engine-description.js";
import { boilerSoundSpeedMPerS, type FluidStates } from "./engine-fluid.js";
import type { ExhaustNetwork } from "./exhaust-network.js";
import { valveLeakAreaM2 } from "./valve-leak.js";

/**
 * The smallest chest that can be stepped, and the smallest of each receiver, m3. They are stepped like any vessel: what ports,
 * regulator and leaks pass in a tick must stay a part of what they hold.
 */
export function leastVolumesM3(
  { leaks, regulatorAreaM2 }: EngineDescription,
  motion: Motion,
  network: ExhaustNetwork,
  states: FluidStates,
  exponent: number,
  stepS: number,
): number[] {
  const last = motion.stages.length - 1;
  const portsM2 = ({ firstEnd, endCount }: Stage) =>
    motion.portAreaMaxM2.subarray(firstEnd, firstEnd + endCount).reduce((sum, area) => sum + area, 0);
  const leakOfM2 = (stage: number) =>
    stage < last
      ? leaks.valveM2 * motion.stages[stage]!.endCount
      : network.portEnds.reduce(
          (sum, { portCount, pipeAreaM2 }) => sum + valveLeakAreaM2(leaks.valveM2, portCount, pipeAreaM2),
          0,
        );
  return motion.stages.map((stage, s) => {
    const beforeM2 = s === 0 ? regulatorAreaM2 : 0.5 * portsM2(motion.stages[s - 1]!);
    const areaM2 = portDischargeCoefficient * (0.5 * portsM2(stage) + beforeM2) + leakOfM2(s);
    return areaM2 * boilerSoundSpeedMPerS(states, exponent) * stepS;
  });
}

/** Says where a chest or receiver is taken larger than described. @param leastM3 of the chest, then of each receiver */
export function vesselNotes(
  { chestVolumeM3, receiverVolumesM3, idealised }: EngineDescription,
  leastM3: readonly number[],
): readonly string[] {
  const litres = (m3: number) => `${Number((1000 * m3).toPrecision(3))} L`;
  const later = receiverVolumesM3 ?? [];
  // The last receiver is that of the low pressure.
  const names = ["lowPressure", "intermediatePressure"];
  const given = [
    // A held chest is never too small.
    { name: "chest.volume", volumeM3: idealised ? Infinity : chestVolumeM3 },
    ...later.map((volumeM3, s) => ({ name: `${names[later.length - 1 - s] ?? "stage"}.receiver.volume`, volumeM3 })),
  ];
  return given.flatMap(({ name, volumeM3 }, s) =>
    volumeM3 >= leastM3[s]!
      ? []
      : [`${name} of ${litres(volumeM3)} fills and empties within one tick; taken as ${litres(leastM3[s]!)}.`],
  );
}
