import { makePorts, type Ports } from "../flow/port-end.js";
import type { Motion } from "../gear/motion.js";
import { portDischargeCoefficient } from "./vessel-ports.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import type { EngineLedger } from "./engine-ledger.js";
import type { ExhaustNetwork } from "./exhaust-network.js";
import type { PulseRecord } from "./pulse-record.js";

/** The exhaust ports of the last stage's cylinder ends, between these and the pipes; the first of these ends is port 0. */
export class ExhaustPorts {
  readonly ports: Ports;

  /** Areas as the last tick left them: an opening counts with the mean of both ends of a tick. */
  private readonly lastAreaM2: Float64Array;
  private readonly firstEnd: number;

  constructor(
    private readonly motion: Motion,
    private readonly ends: CylinderEnds,
  ) {
    const { firstEnd, endCount, valveGear } = motion.stages.at(-1)!;
    this.firstEnd = firstEnd;
    const own = (all: Float64Array) => (firstEnd === 0 ? all : all.subarray(firstEnd));
    this.ports = {
      ...makePorts(endCount),
      pressurePa: own(ends.middlePa),
      densityKgPerM3: own(ends.densityKgPerM3),
      enthalpyJPerKg: own(ends.enthalpyJPerKg),
      massKg: own(ends.massKg),
      temperatureK: own(ends.temperatureK),
      airRatio: own(ends.airRatio),
    };
    this.ports.slitM.fill(valveGear.kind === "oscillating" ? 0 : valveGear.portLengthM);
    this.lastAreaM2 = new Float64Array(ends.count);
  }

  /** State only: port areas as they stand now. */
  reset(): void {
    this.lastAreaM2.set(this.motion.exhaustAreaM2);
  }

  /** One tick of the pipes, its flows taken from the ends and into record and ledger. */
  process(network: ExhaustNetwork, record: PulseRecord, ledger: EngineLedger): void {
    const { ends, motion, lastAreaM2, firstEnd } = this;
    const { areaM2, massFlowKgPerS, enthalpyFlowW, airFlowKgPerS } = this.ports;
    const areas = motion.exhaustAreaM2;
    const half = 0.5 * portDischargeCoefficient;
    for (let i = firstEnd; i < areas.length; i++) {
      areaM2[i - firstEnd] = half * (lastAreaM2[i]! + areas[i]!);
      lastAreaM2[i] = areas[i]!;
    }
    network.process();
    const exhausted = record.endExhaustKgPerS;
    const massIn = ends.massFlowKgPerS;
    const energyIn = ends.energyFlowW;
    for (let i = firstEnd; i < areas.length; i++) {
      const flow = massFlowKgPerS[i - firstEnd]!;
      exhausted[i] = flow;
      massIn[i] = massIn[i]! - flow;
      energyIn[i] = energyIn[i]! - enthalpyFlowW[i - firstEnd]!;
    }
    if (network.holdsAir) {
      const airIn = ends.airFlowKgPerS;
      for (let i = firstEnd; i < areas.length; i++) airIn[i] = airIn[i]! - airFlowKgPerS[i - firstEnd]!;
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
