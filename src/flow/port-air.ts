import { countedAirRatio } from "../steam/steam-air.js";
import type { ExhaustGas } from "./exhaust-gas.js";
import type { FiniteVolumePipe } from "./finite-volume-pipe.js";
import type { Ports } from "./ports.js";

/**
 * Air among the steam that comes and goes through the ports at one pipe end. Asked only where there is some: the owner sets
 * the leak, calls `mix` before the flows are found and `process` once they are.
 */
export class PortAir {
  /** Temperature of the leakage into the pipe, and its share of air. */
  leakTemperatureK = 0.5;
  leakRatio = 0.5;
  /** Whether more enters the pipe than leaves it through the ports. */
  isEntering = false;
  /** Share of air in what leaves the pipe through a port. */
  outgoingRatio = 0.5;
  /** Air taken in this tick, for the network's account. */
  flowKgPerS = 0.5;

  /** Leakage of this tick and its real enthalpy. */
  leakKgPerS = 0.5;
  leakEnthalpyJPerKg = 0.5;

  constructor(
    private readonly pipe: FiniteVolumePipe,
    private readonly gas: ExhaustGas,
    private readonly ports: Ports,
    private readonly firstPort: number,
    private readonly portCount: number,
  ) {
    this.reset();
  }

  /** State only: no air comes or goes. */
  reset(): void {
    const { firstPort, portCount } = this;
    this.leakKgPerS = this.leakEnthalpyJPerKg = this.leakTemperatureK = this.leakRatio = 0;
    this.outgoingRatio = this.flowKgPerS = 0;
    this.ports.airFlowKgPerS.fill(0, firstPort, firstPort + portCount);
  }

  /** Writes the enthalpies that the pipe gas is given for the mixture behind every open port and, last, for the leak. */
  mix(pipeEnthalpyJPerKg: Float64Array): void {
    const { gas, firstPort, portCount } = this;
    const { areaM2, enthalpyJPerKg, temperatureK, airRatio } = this.ports;
    const { mixtureQuery, mixtureAnswer } = gas;
    for (let i = 0; i <= portCount; i++) {
      const j = firstPort + i;
      const isLeak = i === portCount;
      if (!((isLeak ? this.leakKgPerS : areaM2[j]!) > 0)) continue;
      mixtureQuery[0] = isLeak ? this.leakEnthalpyJPerKg : enthalpyJPerKg[j]!;
      mixtureQuery[1] = isLeak ? this.leakTemperatureK : temperatureK[j]!;
      mixtureQuery[2] = countedAirRatio(isLeak ? this.leakRatio : airRatio[j]!);
      gas.mix();
      pipeEnthalpyJPerKg[i] = mixtureAnswer[0]!;
    }
  }

  /**
   * Hands out the air with the flows as found. What leaves through a port takes the mean share of what enters, or, when
   * nothing does, the pipe's own.
   */
  process(): void {
    const { firstPort, portCount, leakKgPerS } = this;
    const { massFlowKgPerS, airRatio, airFlowKgPerS } = this.ports;
    const { air } = this.pipe;
    let entering = leakKgPerS;
    let sum = leakKgPerS * this.leakRatio;
    for (let j = firstPort; j < firstPort + portCount; j++) {
      const flow = massFlowKgPerS[j]!;
      if (!(flow > 0)) continue;
      const airFlow = flow * airRatio[j]!;
      airFlowKgPerS[j] = airFlow;
      entering += flow;
      sum += airFlow;
    }
    const outgoingRatio = this.isEntering ? sum / entering : air.leftRatio;
    for (let j = firstPort; j < firstPort + portCount; j++) {
      const flow = massFlowKgPerS[j]!;
      if (flow > 0) continue;
      const airFlow = flow * outgoingRatio;
      airFlowKgPerS[j] = airFlow;
      sum += airFlow;
    }
    this.outgoingRatio = outgoingRatio;
    this.flowKgPerS = air.leftKgPerS = sum;
  }
}
