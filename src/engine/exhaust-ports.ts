import { makePorts, type Ports } from "../flow/port-end.js";
import type { ValveGear } from "../gear/gear-description.js";
import type { Motion } from "../gear/motion.js";
import { portDischargeCoefficient } from "./vessel-ports.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import type { EngineLedger } from "./engine-ledger.js";
import type { ExhaustNetwork } from "./exhaust-network.js";
import type { PulseRecord } from "./pulse-record.js";

/** The exhaust ports of all cylinder ends, between these and the pipes. */
export class ExhaustPorts {
  readonly ports: Ports;

  /** Areas as the last tick left them: an opening counts with the mean of both ends of a tick. */
  private readonly lastAreaM2: Float64Array;

  constructor(
    private readonly motion: Motion,
    private readonly ends: CylinderEnds,
    valveGear: ValveGear,
  ) {
    const { middlePa: pressurePa, densityKgPerM3, enthalpyJPerKg, massKg, temperatureK, airRatio } = ends;
    const behind = { pressurePa, densityKgPerM3, enthalpyJPerKg, massKg, temperatureK, airRatio };
    this.ports = { ...makePorts(ends.count), ...behind };
    this.ports.slitM.fill(valveGear.kind === "oscillating" ? 0 : valveGear.portLengthM);
    this.lastAreaM2 = new Float64Array(ends.count);
  }

  /** State only: port areas as they stand now. */
  reset(): void {
    this.lastAreaM2.set(this.motion.exhaustAreaM2);
  }

  /** One tick of the pipes, its flows taken from the ends and into record and ledger. */
  process(network: ExhaustNetwork, record: PulseRecord, ledger: EngineLedger): void {
    const { ends, motion, lastAreaM2 } = this;
    const { areaM2, massFlowKgPerS, enthalpyFlowW, airFlowKgPerS } = this.ports;
    const areas = motion.exhaustAreaM2;
    const half = 0.5 * portDischargeCoefficient;
    for (let i = 0; i < areas.length; i++) {
      areaM2[i] = half * (lastAreaM2[i]! + areas[i]!);
      lastAreaM2[i] = areas[i]!;
    }
    network.process();
    const exhausted = record.endExhaustKgPerS;
    const massIn = ends.massFlowKgPerS;
    const energyIn = ends.energyFlowW;
    for (let i = 0; i < areas.length; i++) {
      const flow = massFlowKgPerS[i]!;
      exhausted[i] = flow;
      massIn[i] = massIn[i]! - flow;
      energyIn[i] = energyIn[i]! - enthalpyFlowW[i]!;
    }
    if (network.holdsAir) {
      const airIn = ends.airFlowKgPerS;
      for (let i = 0; i < areas.length; i++) airIn[i] = airIn[i]! - airFlowKgPerS[i]!;
    }
    const mouths = network.mouths;
    for (let i = 0; i < mouths.length; i++) {
      const mouth = mouths[i]!;
      ledger.outKgPerS += mouth.massFlowKgPerS;
      ledger.outW += mouth.enthalpyFlowW;
      ledger.outAirKgPerS += mouth.airFlowKgPerS;
    }
  }
}
