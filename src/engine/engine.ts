import { ExhaustGas } from "../flow/exhaust-gas.js";
import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import { Vessel } from "../flow/vessel.js";
import { Motion } from "../gear/motion.js";
import type { FluidState } from "../steam/fluid-state.js";
import type { WorkingFluid } from "../steam/working-fluid.js";
import { CylinderEnds } from "./cylinder-ends.js";
import { CylinderMetal } from "./cylinder-metal.js";
import type { EngineDescription } from "./engine-description.js";
import { EngineLedger } from "./engine-ledger.js";
import { ExhaustNetwork } from "./exhaust-network.js";
import { makeExhaustGas, makeFluid, surroundingsOf, type FluidStates, fluidStates } from "./engine-fluid.js";
import { PulseRecord } from "./pulse-record.js";
import { planTicks, type TickPlan } from "./tick-plan.js";

/** Discharge coefficient of steam and exhaust ports and of the regulator. [source: EB11 "Hydraulics" art. 64, short tube .81-.84] */
export const portDischargeCoefficient = 0.8;

/**
 * A whole machine as gas and iron: boiler, regulator, chest, cylinder ends, exhaust pipes. The shaft is turned from
 * outside: each `process` carries the gas over one tick to a given shaft angle and fills `record`.
 *
 * @example
 * const engine = new Engine(description, 48_000, 4);
 * engine.setRegulator(1);
 * engine.setCutoff(0.75);
 * engine.reset(0);
 * engine.motion.shaftRad[0] = 0.001;
 * engine.process();
 * engine.record.endPressurePa[0];
 */
export class Engine {
  readonly plan: TickPlan;
  readonly motion: Motion;
  readonly record: PulseRecord;
  readonly ends: CylinderEnds;
  readonly chest: Vessel;
  readonly network: ExhaustNetwork;
  readonly metals: readonly CylinderMetal[];
  readonly ledger = new EngineLedger();
  /** While held, metal keeps its temperature. */
  isMetalHeld = false;

  private readonly fluid: WorkingFluid;
  private readonly states: FluidStates;
  private readonly stepS: number;
  private readonly steamAreaM2: Float64Array;
  private readonly exhaustAreaM2: Float64Array;
  private readonly ringAreaM2: Float64Array;
  private readonly endCylinder: Int32Array;
  private readonly flowFactor: number;
  private readonly opening: Opening;
  private readonly exponent: number;
  private readonly valveLeakM2: number;
  private readonly hasMetal: boolean;
  private regulatorRatio = 1;
  private heldCount = 0;
  private readonly leastChestM3: number;

  /** @throws RangeError for a description that cannot turn or breathe */
  constructor(
    readonly description: EngineDescription,
    sampleRateHz: number,
    fidelity: 1 | 2 | 4,
  ) {
    const { gear, idealised, leaks } = description;
    this.plan = planTicks(description, sampleRateHz, fidelity);
    this.stepS = this.plan.stepS;
    this.fluid = makeFluid(description.workingFluid);
    this.states = fluidStates(description, this.fluid);
    this.motion = new Motion(gear);
    const endCount = this.motion.ends.length;
    this.endCylinder = Int32Array.from(this.motion.ends, (end) => end.cylinder);
    this.ends = new CylinderEnds(endCount, this.fluid);
    this.exponent = this.fluid.isentropicExponent;
    this.leastChestM3 = this.leastChestVolumeM3();
    this.chest = new Vessel(Math.max(description.chestVolumeM3, this.leastChestM3), this.fluid, idealised);
    this.flowFactor = chokedFlowFactor(this.exponent);
    this.opening = new Opening(criticalPressureRatio(this.exponent));
    const gas: ExhaustGas = makeExhaustGas(description, this.fluid, this.states);
    const stubBoreM = Math.sqrt((4 / Math.PI) * Math.max(...this.motion.portAreaMaxM2));
    this.network = new ExhaustNetwork(
      description,
      gas,
      this.plan,
      this.stepS,
      Array.from(this.endCylinder),
      this.exponent,
      surroundingsOf(description, this.states),
      stubBoreM,
    );
    this.record = new PulseRecord(this.network.mouths.length, endCount);
    this.steamAreaM2 = new Float64Array(endCount);
    this.exhaustAreaM2 = new Float64Array(endCount);
    const cylinderCount = gear.crankAnglesRad.length;
    this.ringAreaM2 = new Float64Array(cylinderCount);
    this.valveLeakM2 = idealised ? 0 : leaks.valveM2;
    for (let k = 0; k < cylinderCount; k++) {
      const fault = gear.faults.reduce(
        (sum, f) => sum + (f.kind === "ringLeak" && f.cylinder === k + 1 ? f.areaM2 : 0),
        0,
      );
      this.ringAreaM2[k] = (idealised ? 0 : leaks.ringsM2) + fault;
    }
    this.metals = gear.crankAnglesRad.map(() => new CylinderMetal(gear.cylinder, description.ambient.temperatureK));
    this.hasMetal = !idealised;
    this.reset(0);
  }

  /** Settings only: 0 shut, 1 full open. */
  setRegulator(regulatorRatio: number): void {
    this.regulatorRatio = regulatorRatio;
  }

  /** Settings only: nominal cut-off, negative in backward gear. */
  setCutoff(cutoffRatio: number): void {
    this.motion.setCutoff(cutoffRatio);
  }

  /** State only: at rest at a shaft angle, cylinders and pipes full of what surrounds them, chest as the regulator implies. */
  reset(shaftRad: number): void {
    const { states, motion, ends } = this;
    const still: FluidState = states.still;
    motion.process(shaftRad);
    for (let i = 0; i < ends.count; i++) {
      ends.reset(i, motion.volumeM3[i]!, still.densityKgPerM3, still.internalEnergyJPerKg);
      this.steamAreaM2[i] = motion.steamAreaM2[i]!;
      this.exhaustAreaM2[i] = motion.exhaustAreaM2[i]!;
    }
    const chest = this.chest.isReservoir || this.regulatorRatio > 0 ? states.boiler : still;
    this.chest.reset(chest.densityKgPerM3, chest.internalEnergyJPerKg);
    const metalK = 0.5 * (chest.temperatureK + still.temperatureK);
    for (const metal of this.metals) metal.reset(metalK);
    this.network.reset(this.states.outsidePa, still.enthalpyJPerKg);
    this.ledger.clear();
    this.heldCount = 0;
    this.fluid.outOfRangeCount = 0;
    this.record.shaftRad = shaftRad;
    this.record.chestPressurePa = this.chest.pressurePa;
    for (let i = 0; i < ends.count; i++) this.record.endPressurePa[i] = ends.pressurePa[i]!;
  }

  /** One tick of gas while the shaft goes to the angle in `motion.shaftRad[0]`, counted forward and not folded. */
  process(): void {
    const { motion, ends, chest, network, record, ledger } = this;
    motion.processShaft();
    ends.observe();
    chest.observe();
    this.admit();
    this.leak();
    if (this.hasMetal) this.exchangeHeat();
    this.exhaust();
    ends.integrate(this.stepS, motion.volumeM3);
    chest.integrate(this.stepS);
    ledger.integrate(this.stepS);
    record.shaftRad = motion.shaftRad[0]!;
    record.chestPressurePa = chest.pressurePa;
    const pressures = ends.middlePa;
    for (let i = 0; i < ends.count; i++) record.endPressurePa[i] = pressures[i]!;
    const mouths = network.mouths;
    for (let i = 0; i < mouths.length; i++) {
      const mouth = mouths[i]!;
      record.mouthMassKgPerS[i] = mouth.massFlowKgPerS;
      record.mouthVolumeM3PerS[i] = mouth.volumeFlowM3PerS;
      record.mouthVelocityMPerS[i] = mouth.velocityMPerS;
      record.mouthPressurePa[i] = mouth.pressurePa;
    }
  }

  /** Mass in chest (unless a reservoir), cylinders and pipes, kg. */
  storedMassKg(): number {
    let sum = (this.chest.isReservoir ? 0 : this.chest.massKg) + this.network.cellMassKg();
    for (let i = 0; i < this.ends.count; i++) sum += this.ends.massKg[i]!;
    return sum;
  }

  /** Energy in chest (unless a reservoir), cylinders and pipes, J. */
  storedEnergyJ(): number {
    let sum = (this.chest.isReservoir ? 0 : this.chest.energyJ) + this.network.energyJ();
    for (let i = 0; i < this.ends.count; i++) sum += this.ends.energyJ[i]!;
    return sum;
  }

  /** Speed of sound in the exhaust pipes as they are now, mean over their mass, m/s. */
  meanPipeSoundSpeedMPerS(): number {
    return this.network.meanSoundSpeedMPerS();
  }

  /** Puts every cylinder's metal where the turn just run would leave it in the long run; K of change, the greatest. */
  settleMetal(turnS: number): number {
    let greatest = 0;
    for (const metal of this.metals) greatest = Math.max(greatest, Math.abs(metal.settle(turnS)));
    return greatest;
  }

  /** Ticks of tables left, pipes rescued, outrun or flows held, since construction or reset. */
  troubleCounts(): { outOfRange: number; rescued: number; overrun: number; held: number } {
    const pipes = this.network.troubleCounts();
    return { outOfRange: this.fluid.outOfRangeCount, ...pipes, held: pipes.held + this.heldCount };
  }

  /** What this engine had to take otherwise than described, in words. */
  get notes(): readonly string[] {
    const { chestVolumeM3, idealised } = this.description;
    if (idealised || chestVolumeM3 >= this.leastChestM3) return this.plan.warnings;
    const litres = (m3: number) => `${Number((1000 * m3).toPrecision(3))} L`;
    return [
      ...this.plan.warnings,
      `chest.volume of ${litres(chestVolumeM3)} fills and empties within one tick; taken as ${litres(this.leastChestM3)}.`,
    ];
  }

  // A chest is stepped like any vessel: what its openings pass in a tick must stay a part of what it holds.
  private leastChestVolumeM3(): number {
    const { boiler } = this.states;
    const ports = this.motion.portAreaMaxM2.reduce((sum, area) => sum + area, 0);
    const area = portDischargeCoefficient * (0.5 * ports + this.description.regulatorAreaM2);
    const speed = Math.sqrt((this.exponent * boiler.pressurePa) / boiler.densityKgPerM3);
    return area * speed * this.stepS;
  }

  // Regulator and steam ports: boiler to chest to cylinders, and back where a cylinder stands above the chest.
  private admit(): void {
    const { chest, ends, motion, stepS, exponent, flowFactor, opening, record, ledger, states } = this;
    const boiler = states.boiler;
    let chestYield = 0;
    if (!chest.isReservoir) {
      const boilerWork = boiler.pressurePa / boiler.densityKgPerM3;
      const perKg = (exponent * boilerWork * stepS) / chest.volumeM3;
      const area = portDischargeCoefficient * this.description.regulatorAreaM2 * this.regulatorRatio;
      const isOutward = chest.middlePa <= boiler.pressurePa;
      opening.upstreamPa = isOutward ? boiler.pressurePa : chest.middlePa;
      opening.downstreamPa = isOutward ? chest.middlePa : boiler.pressurePa;
      opening.impedancePaSPerKg = 0;
      opening.chokedKgPerS =
        area * flowFactor * Math.sqrt(opening.upstreamPa * (isOutward ? boiler.densityKgPerM3 : chest.densityKgPerM3));
      opening.solve();
      let flow = Math.min(opening.flowKgPerS, (opening.upstreamPa - opening.downstreamPa) / perKg);
      let enthalpy = boiler.enthalpyJPerKg;
      if (!isOutward) {
        // A chest above the boiler gives back through the open regulator.
        flow = -flow;
        enthalpy = chest.enthalpyJPerKg;
      }
      chest.addFlow(flow, flow * enthalpy);
      ledger.addIn(flow, flow * enthalpy);
      chestYield = (exponent * chest.pressurePa) / (chest.densityKgPerM3 * chest.volumeM3);
    }
    const chestPa = chest.middlePa;
    const chestDensity = chest.densityKgPerM3;
    for (let i = 0; i < ends.count; i++) {
      const area = 0.5 * portDischargeCoefficient * (this.steamAreaM2[i]! + motion.steamAreaM2[i]!);
      this.steamAreaM2[i] = motion.steamAreaM2[i]!;
      if (area <= 0) {
        record.endSteamKgPerS[i] = 0;
        continue;
      }
      // By the middle of the tick the piston has moved, and half of this flow has come.
      const volume = ends.volumeM3[i]!;
      const endPa = ends.pressurePa[i]! * (1 - (0.5 * exponent * (motion.volumeM3[i]! - volume)) / volume);
      const isForward = chestPa >= endPa;
      const upPa = isForward ? chestPa : endPa;
      const upDensity = isForward ? chestDensity : ends.densityKgPerM3[i]!;
      const downPa = isForward ? endPa : chestPa;
      const perKg = (exponent * upPa * stepS) / (upDensity * volume);
      opening.chokedKgPerS = area * flowFactor * Math.sqrt(upPa * upDensity);
      opening.upstreamPa = upPa;
      opening.downstreamPa = downPa;
      opening.impedancePaSPerKg = 0.5 * perKg;
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (upPa - downPa) / (perKg + chestYield * stepS);
      if (flow > most) {
        flow = most;
        this.heldCount++;
      }
      const enthalpy = isForward ? chest.enthalpyJPerKg : ends.enthalpyJPerKg[i]!;
      const signed = isForward ? flow : -flow;
      ends.addFlow(i, signed, signed * enthalpy);
      if (chest.isReservoir) ledger.addIn(signed, signed * enthalpy);
      else chest.addFlow(-signed, -signed * enthalpy);
      record.endSteamKgPerS[i] = signed;
    }
  }

  // Past the valve into the exhaust passages, past the rings from end to end or to the air.
  private leak(): void {
    const { ends, chest, network, motion, stepS, exponent, flowFactor, opening, ledger, states } = this;
    const portEnds = network.portEnds;
    for (let i = 0; i < portEnds.length; i++) portEnds[i]!.leakKgPerS = 0;
    if (this.valveLeakM2 > 0 && !chest.isReservoir) {
      opening.chokedKgPerS = this.valveLeakM2 * flowFactor * Math.sqrt(chest.pressurePa * chest.densityKgPerM3);
      opening.upstreamPa = chest.pressurePa;
      opening.impedancePaSPerKg = 0;
      for (let i = 0; i < ends.count; i++) {
        const portEnd = network.places[i]!.portEnd;
        opening.downstreamPa = portEnd.facePressurePa;
        opening.solve();
        const flow = opening.flowKgPerS;
        portEnd.leakKgPerS += flow;
        portEnd.leakEnthalpyJPerKg = chest.enthalpyJPerKg;
        chest.addFlow(-flow, -flow * chest.enthalpyJPerKg);
      }
    }
    const isDouble = motion.ends.length > this.ringAreaM2.length;
    for (let k = 0; k < this.ringAreaM2.length; k++) {
      const area = this.ringAreaM2[k]!;
      if (area <= 0) continue;
      const a = isDouble ? 2 * k : k;
      const b = isDouble ? a + 1 : -1;
      const aPa = ends.pressurePa[a]!;
      const bPa = b < 0 ? states.air.pressurePa : ends.pressurePa[b]!;
      const fromA = aPa >= bPa;
      const upPa = fromA ? aPa : bPa;
      const bDensity = b < 0 ? states.air.densityKgPerM3 : ends.densityKgPerM3[b]!;
      const upDensity = fromA ? ends.densityKgPerM3[a]! : bDensity;
      const yieldB = b < 0 ? 0 : 1 / ends.volumeM3[b]!;
      const perKg = ((exponent * upPa) / upDensity) * (1 / ends.volumeM3[a]! + yieldB) * stepS;
      opening.chokedKgPerS = area * flowFactor * Math.sqrt(upPa * upDensity);
      opening.upstreamPa = upPa;
      opening.downstreamPa = fromA ? bPa : aPa;
      opening.impedancePaSPerKg = 0.5 * perKg;
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (upPa - opening.downstreamPa) / perKg;
      if (flow > most) {
        flow = most;
        this.heldCount++;
      }
      const bEnthalpy = b < 0 ? states.air.enthalpyJPerKg : ends.enthalpyJPerKg[b]!;
      const enthalpyW = flow * (fromA ? ends.enthalpyJPerKg[a]! : bEnthalpy);
      ends.addFlow(a, fromA ? -flow : flow, fromA ? -enthalpyW : enthalpyW);
      if (b >= 0) ends.addFlow(b, fromA ? flow : -flow, fromA ? enthalpyW : -enthalpyW);
      else ledger.addOut(fromA ? flow : -flow, fromA ? enthalpyW : -enthalpyW);
    }
  }

  private exchangeHeat(): void {
    const { ends, motion, metals, stepS, ledger } = this;
    const clearance = this.description.gear.cylinder.clearanceRatio;
    const perCylinder = ends.count / metals.length;
    for (let k = 0; k < metals.length; k++) {
      const metal = metals[k]!;
      let heatW = 0;
      for (let j = 0; j < perCylinder; j++) {
        const i = k * perCylinder + j;
        const open = ends.volumeM3[i]! - clearance * motion.sweptM3[i]!;
        const toGasW = metal.heatToGasW(ends.temperatureK[i]!, ends.wet[i]! > 0, open, ends.massKg[i]!, stepS);
        ends.addFlow(i, 0, toGasW);
        heatW += toGasW;
      }
      ledger.addHeat(heatW);
      if (!this.isMetalHeld) metal.integrate(stepS, heatW);
    }
  }

  private exhaust(): void {
    const { ends, motion, network, record, ledger } = this;
    const places = network.places;
    for (let i = 0; i < ends.count; i++) {
      const place = places[i]!;
      const at = place.index;
      const portEnd = place.portEnd;
      portEnd.areaM2[at] = 0.5 * portDischargeCoefficient * (this.exhaustAreaM2[i]! + motion.exhaustAreaM2[i]!);
      this.exhaustAreaM2[i] = motion.exhaustAreaM2[i]!;
      portEnd.pressurePa[at] = ends.middlePa[i]!;
      portEnd.densityKgPerM3[at] = ends.densityKgPerM3[i]!;
      portEnd.enthalpyJPerKg[at] = ends.enthalpyJPerKg[i]!;
      portEnd.massKg[at] = ends.massKg[i]!;
    }
    network.process();
    for (let i = 0; i < ends.count; i++) {
      const place = places[i]!;
      const flow = place.portEnd.massFlowKgPerS[place.index]!;
      ends.addFlow(i, -flow, -place.portEnd.enthalpyFlowW[place.index]!);
      record.endExhaustKgPerS[i] = flow;
    }
    const mouths = network.mouths;
    for (let i = 0; i < mouths.length; i++) {
      const mouth = mouths[i]!;
      ledger.addOut(mouth.massFlowKgPerS, mouth.enthalpyFlowW);
    }
  }
}
