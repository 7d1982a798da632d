import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import { Rush } from "../flow/rush.js";
import { boilerSoundSpeedMPerS } from "./engine-fluid.js";
import type { Vessel } from "../flow/vessel.js";
import type { EngineParts } from "./engine-parts.js";

/** A leak that in the time it is held passes less than this share of the chest, and of the pipe's bore, may be held. [common practice] */
const slightRatio = 0.02;

/** Past the valves, from the chest into the exhaust passages: what it takes from the chest and leaves at the port ends. */
export class ValveLeak {
  /** Flows held to what makes the pressures equal. */
  heldCount = 0;
  /** Whether the leak hardly moves chest and pipes, so that it need not be measured at every tick. */
  readonly isSlight: boolean;

  private readonly opening: Opening;
  private readonly rush: Rush;
  private readonly flowFactor: number;
  // Past the ports of every pipe, never more than the pipe's bore.
  private readonly areaM2: Float64Array;
  private readonly isTight: boolean;
  // As last measured, past all valves.
  private valveKgPerS = 0.5;
  private valveW = 0.5;
  private valveAirKgPerS = 0.5;

  /** @param chest what feeds the valves @param holdTicks for how many ticks a slight leak is held */
  constructor(
    private readonly parts: EngineParts,
    private readonly chest: Vessel,
    leakM2: number,
    holdTicks: number,
  ) {
    const { exponent, network, states, stepS } = parts;
    this.opening = new Opening(criticalPressureRatio(exponent));
    this.rush = new Rush(exponent);
    this.flowFactor = chokedFlowFactor(exponent);
    this.areaM2 = Float64Array.from(network.portEnds, ({ pipeAreaM2, portCount }) =>
      valveLeakAreaM2(leakM2, portCount, pipeAreaM2),
    );
    this.isTight = leakM2 <= 0 || chest.isReservoir;
    const soundSpeed = boilerSoundSpeedMPerS(states, exponent);
    const area = this.areaM2.reduce((sum, each) => sum + each, 0);
    this.isSlight =
      area * soundSpeed * holdTicks * stepS <= slightRatio * chest.volumeM3 &&
      network.portEnds.every(({ pipeAreaM2 }, i) => this.areaM2[i]! <= slightRatio * pipeAreaM2);
  }

  /** State only. */
  reset(): void {
    this.heldCount = 0;
    this.valveKgPerS = this.valveW = this.valveAirKgPerS = 0;
    const { network, record } = this.parts;
    record.leakKgPerS.fill(0);
    record.leakMPerS.fill(0);
    for (const portEnd of network.portEnds) portEnd.leakKgPerS = 0;
  }

  /** Finds the leak from the state as it is, to be held for `holdTicks` ticks; it takes no more than makes the pressures equal. */
  measure(holdTicks: number): void {
    if (this.isTight) return;
    const { network, exponent, record, stepS } = this.parts;
    const { chest, opening, rush, flowFactor, areaM2 } = this;
    const portEnds = network.portEnds;
    const chestPa = chest.pressurePa;
    const enthalpy = chest.enthalpyJPerKg;
    const choked = flowFactor * Math.sqrt(chestPa * chest.densityKgPerM3);
    // By as much the chest falls, all pipes drawing alike.
    const chestFall =
      (portEnds.length * exponent * chestPa * holdTicks * stepS) / (chest.densityKgPerM3 * chest.volumeM3);
    opening.upstreamPa = chestPa;
    let total = 0;
    for (let i = 0; i < portEnds.length; i++) {
      const portEnd = portEnds[i]!;
      const area = areaM2[i]!;
      const pipeRise = portEnd.risePaSPerKg;
      // What stands there without the leak.
      const basePa = portEnd.facePressurePa - pipeRise * portEnd.leakKgPerS;
      opening.chokedKgPerS = choked * area;
      opening.downstreamPa = basePa;
      opening.impedancePaSPerKg = pipeRise + 0.5 * chestFall;
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (chestPa - basePa) / (pipeRise + chestFall);
      if (flow > 0 && flow > most) {
        flow = most;
        this.heldCount++;
      }
      portEnd.leakKgPerS = flow;
      portEnd.leakEnthalpyJPerKg = enthalpy;
      portEnd.air.leakTemperatureK = chest.temperatureK;
      portEnd.air.leakRatio = chest.airRatio;
      total += flow;
      rush.upstreamPa = chestPa;
      rush.downstreamPa = basePa + pipeRise * flow;
      rush.fluxKgPerSM2 = flow / area;
      rush.measure();
      record.leakKgPerS[i] = flow;
      record.leakMPerS[i] = rush.jetMPerS;
    }
    this.valveKgPerS = total;
    this.valveW = total * enthalpy;
    this.valveAirKgPerS = total * chest.airRatio;
  }

  /** Takes the leak last measured from the chest; the port ends hold their own shares. */
  process(): void {
    const { chest } = this;
    chest.massFlowKgPerS -= this.valveKgPerS;
    chest.energyFlowW -= this.valveW;
    chest.airFlowKgPerS -= this.valveAirKgPerS;
  }
}

/** Area past the valves into one pipe: that of every port's leak, or the pipe's bore where that is less, m2. */
export function valveLeakAreaM2(leakM2: number, portCount: number, pipeAreaM2: number): number {
  return Math.min(leakM2 * portCount, pipeAreaM2);
}
