import type { FiniteVolumePipe } from "./finite-volume-pipe.js";
import { criticalPressureRatio } from "./orifice.js";
import type { Ports } from "./ports.js";
import { Rush } from "./rush.js";

/** What the noise of the ports at one pipe end is made of. */
export class PortRush {
  /** Pressure at the pipe's first face, given by the owner. */
  facePressurePa = 0.5;
  /** Push of the rush out of the ports, velocity head x area, over the pipe's area. */
  headPa = 0.5;
  /** Speed of that rush over the width of the opening it comes through, 1/s. */
  ratePerS = 0.5;
  /** The same where the jet has grown to fill the pipe, 1/s. */
  pipeRatePerS = 0.5;
  /** Reflection of a small wave at the ports as they stand: 1 where all are shut. */
  reflectionRatio = 1.5;

  private readonly rush: Rush;
  private readonly fluidCritical: number;
  private readonly gasCritical: number;

  constructor(
    private readonly pipe: FiniteVolumePipe,
    private readonly ports: Ports,
    private readonly firstPort: number,
    private readonly portCount: number,
    fluidExponent: number,
    gasExponent: number,
  ) {
    this.rush = new Rush(fluidExponent);
    this.fluidCritical = criticalPressureRatio(fluidExponent);
    this.gasCritical = criticalPressureRatio(gasExponent);
    this.headPa = this.ratePerS = this.pipeRatePerS = 0;
    this.reflectionRatio = 1;
  }

  /** Fills the results from the tick last run. */
  measure(): void {
    const { pipe, rush, facePressurePa } = this;
    const { areaM2, slitM, pressurePa, massFlowKgPerS } = this.ports;
    let push = 0;
    let hardest = 0;
    let rate = 0;
    let pipeRate = 0;
    const boreM = Math.sqrt((4 / Math.PI) * pipe.leftAreaM2);
    let portAdmittance = 0;
    const perSpeed = pipe.leftDensity / pipe.leftImpedance;
    for (let j = this.firstPort; j < this.firstPort + this.portCount; j++) {
      const area = areaM2[j]!;
      const flow = massFlowKgPerS[j]!;
      if (!(area > 0) || flow === 0) continue;
      const cylinderPa = pressurePa[j]!;
      rush.upstreamPa = flow > 0 ? cylinderPa : facePressurePa;
      rush.downstreamPa = flow > 0 ? facePressurePa : cylinderPa;
      rush.fluxKgPerSM2 = (flow > 0 ? flow : -flow) / area;
      rush.measure();
      const head = rush.headPa;
      // A rush into the cylinder has its eddies there, in a far wider room.
      if (flow > 0) push += head * area;
      if (flow > 0 && head * area > hardest) {
        hardest = head * area;
        const slit = slitM[j]!;
        const widthM = slit > 0 ? area / slit : Math.sqrt((4 / Math.PI) * area);
        rate = rush.throatMPerS / widthM;
        // A jet from a slit slows with the square root of its width. [source: plane turbulent jet, textbook form]
        pipeRate = (rush.throatMPerS / boreM) * (widthM < boreM ? Math.sqrt(widthM / boreM) : 1);
      }
      // How much less flows for a little more pressure beyond: the slope of the ellipse by which the flow is found.
      const critical = flow > 0 ? this.fluidCritical : this.gasCritical;
      const span = rush.upstreamPa * (1 - critical);
      const y = (rush.downstreamPa - critical * rush.upstreamPa) / span;
      if (y > 0 && y < 1) portAdmittance += ((flow > 0 ? flow : -flow) * y) / ((1 - y * y) * span);
    }
    const pipeAreaM2 = pipe.leftAreaM2;
    const pipeAdmittance = pipeAreaM2 * perSpeed;
    this.headPa = push / pipeAreaM2;
    this.ratePerS = rate;
    this.pipeRatePerS = pipeRate;
    this.reflectionRatio = (pipeAdmittance - portAdmittance) / (pipeAdmittance + portAdmittance);
  }
}
