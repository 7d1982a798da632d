import type { Vessel } from "../flow/vessel.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import type { ExhaustNetwork } from "./exhaust-network.js";

/** What of an engine holds gas. */
interface Holding {
  readonly chest: Vessel;
  readonly receivers: readonly Vessel[];
  readonly ends: CylinderEnds;
  readonly network: ExhaustNetwork;
}

/** Mass in chest (unless a reservoir), receivers, cylinders and pipes, kg. */
export function storedMassKg({ chest, receivers, ends, network }: Holding): number {
  let sum = (chest.isReservoir ? 0 : chest.massKg) + network.cellMassKg();
  for (const receiver of receivers) sum += receiver.massKg;
  for (let i = 0; i < ends.count; i++) sum += ends.massKg[i]!;
  return sum;
}

/** Air among the steam in the same, kg; 0 where air is the working fluid. */
export function storedAirKg({ chest, receivers, ends, network }: Holding): number {
  let sum = (chest.isReservoir ? 0 : chest.airKg) + network.cellAirKg();
  for (const receiver of receivers) sum += receiver.airKg;
  for (let i = 0; i < ends.count; i++) sum += ends.airKg[i]!;
  return sum;
}

/** Energy in the same, J. */
export function storedEnergyJ({ chest, receivers, ends, network }: Holding): number {
  let sum = (chest.isReservoir ? 0 : chest.energyJ) + network.energyJ();
  for (const receiver of receivers) sum += receiver.energyJ;
  for (let i = 0; i < ends.count; i++) sum += ends.energyJ[i]!;
  return sum;
}
