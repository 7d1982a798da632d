import type { EngineDescription } from "./engine-description.js";
import { chimneyFlowRatio, type ExhaustNetwork, smokeboxDensityKgPerM3 } from "./exhaust-network.js";

/**
 * What the noise of the exhaust's flow is made of and how the pipes carry it, one row a tick, overwritten by the next.
 * Branches are the pipes that start at ports, in order of cylinders; where they meet, the pipe they meet in comes last among
 * `pipes`. A mouth belongs to that last pipe, or to each branch.
 */
export class FlowNoiseRecord {
  readonly pipeCount: number;
  readonly branchCount: number;
  readonly mouthCount: number;
  readonly hasJunction: boolean;

  /** Travel from end to end of every pipe, with and against the flow, s. */
  readonly downstreamS: Float64Array;
  readonly upstreamS: Float64Array;
  /** Mass flow per pressure of a small wave at the junction's end of every pipe, kg/(s Pa). */
  readonly junctionAdmittance: Float64Array;
  /** At the ports of every branch: velocity head of the rush spread over the pipe, Pa, and its speed over width, 1/s. */
  readonly portHeadPa: Float64Array;
  readonly portRatePerS: Float64Array;
  /** Speed over bore where that jet has grown to fill the pipe, 1/s. */
  readonly portPipeRatePerS: Float64Array;
  /** Pressure reflected by the ports, 1 where shut. */
  readonly portReflectionRatio: Float64Array;
  /** Velocity head of the flow in every mouth, Pa, and its speed over the bore, 1/s. */
  readonly mouthHeadPa: Float64Array;
  readonly mouthRatePerS: Float64Array;
  /** Speed over bore in the pipe before the mouth, 1/s. */
  readonly mouthPipeRatePerS: Float64Array;
  /** Pressure reflected by a mouth at low frequency: -1 without flow, towards 1 with much of it through a narrow nozzle. */
  readonly mouthReflectionRatio: Float64Array;
  /** Volume flow per pressure of a small wave in the pipe before the mouth, m3/(s Pa). */
  readonly mouthAdmittanceM3PerPaS: Float64Array;

  /** Velocity head of the flow up the chimney, drawn gas included, Pa, and its speed over the bore, 1/s; 0 without one. */
  chimneyHeadPa = 0.5;
  chimneyRatePerS = 0.5;

  private readonly chimneyAreaM2: number;
  private readonly chimneyKgPerM3: number;

  constructor(
    private readonly network: ExhaustNetwork,
    private readonly stepS: number,
    description: EngineDescription,
  ) {
    this.chimneyHeadPa = this.chimneyRatePerS = 0;
    const { smokebox, chimney } = description.exhaust;
    const isHeard = !description.idealised && smokebox !== null && chimney !== null;
    this.chimneyAreaM2 = isHeard ? 0.25 * Math.PI * chimney.boreM * chimney.boreM : 0;
    this.chimneyKgPerM3 = isHeard ? smokeboxDensityKgPerM3(description.ambient.pressurePa, smokebox.temperatureK) : 0;
    this.pipeCount = network.pipes.length;
    this.branchCount = network.portEnds.length;
    this.mouthCount = network.mouths.length;
    this.hasJunction = network.hasJunction;
    const array = (count: number) => new Float64Array(count);
    this.downstreamS = array(this.pipeCount);
    this.upstreamS = array(this.pipeCount);
    this.junctionAdmittance = array(this.pipeCount);
    this.portHeadPa = array(this.branchCount);
    this.portRatePerS = array(this.branchCount);
    this.portPipeRatePerS = array(this.branchCount);
    this.portReflectionRatio = array(this.branchCount).fill(1);
    this.mouthHeadPa = array(this.mouthCount);
    this.mouthRatePerS = array(this.mouthCount);
    this.mouthPipeRatePerS = array(this.mouthCount);
    this.mouthReflectionRatio = array(this.mouthCount).fill(-1);
    this.mouthAdmittanceM3PerPaS = array(this.mouthCount);
  }

  /** Reads the network as the tick just run left it. */
  measure(): void {
    const { network, stepS } = this;
    const { pipes, portEnds, mouths } = network;
    const last = pipes.length - 1;
    for (let i = 0; i <= last; i++) {
      const pipe = pipes[i]!;
      const square = pipe.cellCount * pipe.cellCount * stepS;
      const { downstreamCourantSum, upstreamCourantSum } = pipe;
      // Before the first tick the gas is at rest.
      const stillS = (pipe.lengthM * pipe.leftDensity) / pipe.leftImpedance;
      this.downstreamS[i] = downstreamCourantSum > 0 ? square / downstreamCourantSum : stillS;
      this.upstreamS[i] = upstreamCourantSum > 0 ? square / upstreamCourantSum : stillS;
      const isTrunk = this.hasJunction && i === last;
      this.junctionAdmittance[i] = isTrunk
        ? (pipe.leftAreaM2 * pipe.leftDensity) / pipe.leftImpedance
        : (pipe.rightAreaM2 * pipe.rightDensity) / pipe.rightImpedance;
    }
    for (let i = 0; i < portEnds.length; i++) {
      const end = portEnds[i]!;
      const { rush } = end;
      rush.measure();
      this.portHeadPa[i] = rush.headPa;
      this.portRatePerS[i] = rush.ratePerS;
      this.portPipeRatePerS[i] = rush.pipeRatePerS;
      this.portReflectionRatio[i] = rush.reflectionRatio;
    }
    for (let m = 0; m < mouths.length; m++) {
      const mouth = mouths[m]!;
      const pipe = this.hasJunction ? pipes[last]! : pipes[m]!;
      const velocity = mouth.velocityMPerS;
      const speed = velocity < 0 ? -velocity : velocity;
      const flow = mouth.massFlowKgPerS < 0 ? -mouth.massFlowKgPerS : mouth.massFlowKgPerS;
      this.mouthHeadPa[m] = (0.5 * flow * speed) / mouth.areaM2;
      this.mouthRatePerS[m] = speed / network.mouthBoreM;
      const contraction = pipe.leftAreaM2 / mouth.areaM2;
      this.mouthPipeRatePerS[m] = this.mouthRatePerS[m]! / (contraction * Math.sqrt(contraction));
      // Resistance of a quasi-steady contraction to a small wave, in units of rho c / area of the pipe: what it takes of the
      // stagnation pressure. The same expression holds choked and not. [source: steady isentropic flow, textbook forms]
      const soundSpeed = pipe.leftImpedance / pipe.leftDensity;
      const resistance = (contraction * pipe.leftDensity * speed) / (mouth.densityKgPerM3 * soundSpeed);
      this.mouthReflectionRatio[m] = (resistance - 1) / (resistance + 1);
      this.mouthAdmittanceM3PerPaS[m] = pipe.leftAreaM2 / (mouth.densityKgPerM3 * soundSpeed);
    }
    const { box } = network;
    const { chimneyAreaM2 } = this;
    if (box === null || chimneyAreaM2 === 0) return;
    const flow = box.chimneyFlowM3PerS + (chimneyFlowRatio - 1) * box.meanInflowM3PerS;
    const speed = (flow < 0 ? -flow : flow) / chimneyAreaM2;
    this.chimneyHeadPa = 0.5 * this.chimneyKgPerM3 * speed * speed;
    this.chimneyRatePerS = speed / Math.sqrt((4 / Math.PI) * chimneyAreaM2);
  }
}
