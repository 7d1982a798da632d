import type { ExhaustGas } from "./exhaust-gas.js";
import type { FiniteVolumePipe } from "./finite-volume-pipe.js";
import { chokedFlowFactor, criticalPressureRatio, Opening } from "./orifice.js";
import { PortAir } from "./port-air.js";
import { PortGroup } from "./port-group.js";
import { PortRush } from "./port-rush.js";
import type { Ports } from "./ports.js";

export { makePorts, type Ports } from "./ports.js";

/**
 * The cylinder end of an exhaust pipe: one or more valve-controlled ports open into its first cell. The owner keeps the
 * arrays of `ports`, of which `portCount` places from `firstPort` on are this pipe's, and calls `process` once a tick
 * after the pipe's own.
 */
export class PortEnd {
  /** Leakage past the valve, given by the owner: into the pipe, never back. */
  leakKgPerS = 0.5;
  leakEnthalpyJPerKg = 0.5;
  /** Air that comes and goes with the flows. */
  readonly air: PortAir;
  /** Latent energy taken in this tick, W, for the network's account. */
  latentFlowW = 0.5;
  /** Net flow into the pipe this tick. */
  totalFlowKgPerS = 0.5;
  /** Pressure at the pipe's first face, and speed there. */
  facePressurePa = 0.5;
  velocityMPerS = 0.5;
  /** Rise of `facePressurePa` for each kilogram a second that enters there. */
  risePaSPerKg = 0.5;
  /** Ticks in which a flow had to be held to what makes the pressures equal. */
  heldCount = 0;
  /** Times that the pressure, density or temperature at the face would have fallen out of all reason and was held. */
  flooredCount = 0;
  /** What the noise of the ports is made of: for those who listen. */
  readonly rush: PortRush;

  private readonly group: PortGroup;
  private entryDensity = 1;
  // Shares of air about the ports in the last tick, summed; 0 where there was none.
  private airBefore = 0.5;
  // Found in one half of a tick for the other.
  private airAbout = 0.5;
  private enteringKgPerS = 0.5;
  private enteringW = 0.5;
  private readonly leakQuery = new Float64Array(1);
  // For what comes from each port, and last for the leak.
  private readonly pipeEnthalpy: Float64Array;

  constructor(
    private readonly pipe: FiniteVolumePipe,
    private readonly gas: ExhaustGas,
    private readonly ports: Ports,
    private readonly firstPort: number,
    readonly portCount: number,
    private readonly fluidExponent: number,
    private readonly stepS: number,
  ) {
    this.pipeEnthalpy = new Float64Array(portCount + 1);
    const pipeExponent = gas.gas.isentropicExponent;
    this.group = new PortGroup(pipe, ports, firstPort, portCount, fluidExponent, pipeExponent, stepS);
    this.air = new PortAir(pipe, gas, ports, firstPort, portCount);
    this.rush = new PortRush(pipe, ports, firstPort, portCount, fluidExponent, pipeExponent);
    this.fluidFactor = chokedFlowFactor(fluidExponent);
    this.fluidCritical = criticalPressureRatio(fluidExponent);
    this.gasCritical = criticalPressureRatio(gas.gas.isentropicExponent);
    this.outward = new Opening(this.fluidCritical);
    this.gasFactor = chokedFlowFactor(gas.gas.isentropicExponent);
    this.inward = new Opening(this.gasCritical);
    // Begun with halves, the fields hold doubles for good.
    this.leakKgPerS =
      this.leakEnthalpyJPerKg =
      this.latentFlowW =
      this.totalFlowKgPerS =
      this.facePressurePa =
      this.velocityMPerS =
        0;
  }

  private readonly fluidFactor: number;
  private readonly fluidCritical: number;
  private readonly gasCritical: number;
  private readonly outward: Opening;
  private readonly gasFactor: number;
  private readonly inward: Opening;

  /** State only. */
  reset(): void {
    this.entryDensity = this.pipe.leftDensity;
    for (let j = this.firstPort; j < this.firstPort + this.portCount; j++) {
      this.ports.massFlowKgPerS[j] = 0;
      this.ports.enthalpyFlowW[j] = 0;
    }
    this.facePressurePa = this.pipe.leftPressurePa;
    this.risePaSPerKg = this.pipe.leftImpedance / (this.pipe.leftDensity * this.pipe.leftAreaM2);
    this.velocityMPerS = this.totalFlowKgPerS = this.latentFlowW = 0;
    this.airBefore = 0;
    this.air.reset();
    this.heldCount = this.flooredCount = 0;
  }

  /** Finds the flows, closes the pipe's left end with them and leaves them for the cylinders. */
  process(): void {
    const pipe = this.pipe;
    const { areaM2, pressurePa, densityKgPerM3, enthalpyJPerKg, massKg, airRatio } = this.ports;
    const flows = this.ports.massFlowKgPerS;
    const pipeEnthalpy = this.pipeEnthalpy;
    const first = this.firstPort;
    const end = first + this.portCount;
    const wallPa = pipe.leftArrivalPa;
    const z = pipe.leftImpedance;
    const pipeAreaM2 = pipe.leftAreaM2;
    const specificHeat = this.gas.gas.specificHeatJPerKgK;
    const gasConstant = this.gas.gas.gasConstantJPerKgK;
    const cellDensity = pipe.leftDensity;
    const { outward, inward, air } = this;
    const leak = this.leakKgPerS;
    const leakPlace = this.portCount;
    pipeEnthalpy[leakPlace] = 0;
    let airAbout = pipe.air.leftRatio + air.leakRatio;
    let openCount = 0;
    for (let j = first; j < end; j++) {
      if (areaM2[j]! > 0) {
        openCount++;
        airAbout += airRatio[j]!;
      }
      flows[j] = 0;
    }
    this.airAbout = airAbout;
    if (airAbout + this.airBefore > 0) {
      air.leakKgPerS = leak;
      air.leakEnthalpyJPerKg = this.leakEnthalpyJPerKg;
      air.mix(pipeEnthalpy);
    } else {
      for (let j = first; j < end; j++) {
        if (areaM2[j]! > 0) this.gas.look(enthalpyJPerKg, j, pipeEnthalpy, j - first);
      }
      if (leak > 0) {
        this.leakQuery[0] = this.leakEnthalpyJPerKg;
        this.gas.look(this.leakQuery, 0, pipeEnthalpy, leakPlace);
      }
    }
    const leakPipeEnthalpy = pipeEnthalpy[leakPlace];
    let entryDensity = this.entryDensity;
    let total = leak;
    let enteringKgPerS = leak;
    let enteringW = leak * leakPipeEnthalpy;
    if (openCount > 0 || leak > 0) {
      const rounds = openCount > 1 ? 2 : 1;
      for (let round = 0; round < rounds; round++) {
        if (openCount > 1) {
          const group = this.group;
          group.entryDensityKgPerM3 = entryDensity;
          group.leakKgPerS = leak;
          group.solve();
          if (round === 0) this.heldCount += group.heldCount;
        }
        for (let j = first; openCount === 1 && j < end; j++) {
          if (!(areaM2[j]! > 0)) continue;
          const cylinderPa = pressurePa[j]!;
          // A port wider than the pipe chokes at the pipe.
          const area = Math.min(areaM2[j]!, pipeAreaM2);
          const basePa = wallPa + (z * leak) / ((leak > 0 ? entryDensity : cellDensity) * pipeAreaM2);
          let flow = 0;
          if (cylinderPa > basePa) {
            outward.chokedKgPerS = area * this.fluidFactor * Math.sqrt(cylinderPa * densityKgPerM3[j]!);
            outward.upstreamPa = cylinderPa;
            outward.downstreamPa = basePa;
            outward.impedancePaSPerKg = z / (entryDensity * pipeAreaM2);
            outward.solve();
            flow = outward.flowKgPerS;
            const most = (massKg[j]! * (1 - basePa / cylinderPa)) / (this.fluidExponent * this.stepS);
            if (flow > most) {
              flow = most;
              this.heldCount++;
            }
          } else if (basePa > 0) {
            inward.chokedKgPerS = area * this.gasFactor * Math.sqrt(basePa * cellDensity);
            inward.upstreamPa = basePa;
            inward.downstreamPa = cylinderPa;
            inward.impedancePaSPerKg = z / (cellDensity * pipeAreaM2);
            inward.solve();
            flow = -inward.flowKgPerS;
            // A kilogram of the pipe's gas raises the cylinder's pressure by at most exponent x (pressure / density) / volume.
            const perKg = (this.fluidExponent * basePa * Math.max(densityKgPerM3[j]!, 1e-9)) / cellDensity;
            const most = ((basePa - cylinderPa) * massKg[j]!) / (perKg * this.stepS);
            if (flow < -most) {
              flow = -most;
              this.heldCount++;
            }
          }
          flows[j] = flow;
        }
        total = leak;
        enteringKgPerS = leak;
        enteringW = leak * leakPipeEnthalpy;
        for (let j = first; j < end; j++) {
          const flow = flows[j]!;
          total += flow;
          if (flow > 0) {
            enteringKgPerS += flow;
            enteringW += flow * pipeEnthalpy[j - first]!;
          }
        }
        if (total > 0) {
          const stagnationK = enteringW / (enteringKgPerS * specificHeat);
          const u = total / (entryDensity * pipeAreaM2);
          let staticK = stagnationK - (u * u) / (2 * specificHeat);
          if (staticK < 0.5 * stagnationK) {
            staticK = 0.5 * stagnationK;
            this.flooredCount++;
          }
          const entryPa = Math.max(wallPa + z * u, 0.1 * pipe.leftPressurePa);
          entryDensity = 0.5 * (entryDensity + entryPa / (gasConstant * staticK));
        }
      }
      this.entryDensity = entryDensity;
    }
    this.totalFlowKgPerS = total;
    this.enteringKgPerS = enteringKgPerS;
    this.enteringW = enteringW;
    this.close();
  }

  // Closes the pipe's end with the flows as found, and hands out what they carry. On its own, so that numbers handed on take
  // no room on the heap.
  private close(): void {
    const { pipe, air, pipeEnthalpy, enteringKgPerS, enteringW, airAbout, entryDensity } = this;
    const { enthalpyJPerKg, enthalpyFlowW } = this.ports;
    const flows = this.ports.massFlowKgPerS;
    const first = this.firstPort;
    const end = first + this.portCount;
    const wallPa = pipe.leftArrivalPa;
    const z = pipe.leftImpedance;
    const pipeAreaM2 = pipe.leftAreaM2;
    const leak = this.leakKgPerS;
    const leakPipeEnthalpy = pipeEnthalpy[this.portCount]!;
    const total = this.totalFlowKgPerS;
    const g = this.gas.gas.isentropicExponent;
    const densityAtFace = total > 0 ? entryDensity : pipe.leftDensity;
    const u = total / (densityAtFace * pipeAreaM2);
    // However fast the gas runs from it, a wall cannot pull.
    let facePa = wallPa + z * u;
    if (facePa < 0.1 * pipe.leftPressurePa) {
      facePa = 0.1 * pipe.leftPressurePa;
      this.flooredCount++;
    }
    const outgoingDensity = pipe.leftDensity + pipe.leftCompressibility * (facePa - pipe.leftPressurePa);
    if (total <= 0 && outgoingDensity < 0.1 * pipe.leftDensity) this.flooredCount++;
    // What leaves through a port takes the mean of what enters, or, when nothing does, the pipe's own stagnation enthalpy.
    const outgoing =
      total > 0
        ? enteringW / enteringKgPerS
        : (g / (g - 1)) * (facePa / Math.max(outgoingDensity, 0.1 * pipe.leftDensity)) + 0.5 * u * u;
    if (airAbout + this.airBefore > 0) {
      this.airBefore = airAbout;
      air.isEntering = total > 0;
      air.process();
    }
    const latent = this.gas.latentJPerKg + air.outgoingRatio * this.gas.airLatentRiseJPerKg;
    let energyW = leak * leakPipeEnthalpy;
    let latentW = leak * (this.leakEnthalpyJPerKg - leakPipeEnthalpy);
    for (let j = first; j < end; j++) {
      const flow = flows[j]!;
      if (flow > 0) {
        energyW += flow * pipeEnthalpy[j - first]!;
        latentW += flow * (enthalpyJPerKg[j]! - pipeEnthalpy[j - first]!);
        enthalpyFlowW[j] = flow * enthalpyJPerKg[j]!;
      } else {
        energyW += flow * outgoing;
        latentW += flow * latent;
        enthalpyFlowW[j] = flow * (outgoing + latent);
      }
    }
    this.latentFlowW = latentW;
    this.velocityMPerS = u;
    this.facePressurePa = this.rush.facePressurePa = facePa;
    this.risePaSPerKg = z / (densityAtFace * pipeAreaM2);
    pipe.closeLeft(total, u, facePa, energyW);
  }

  /** Bore area of the pipe, m2. */
  get pipeAreaM2(): number {
    return this.pipe.leftAreaM2;
  }
}
