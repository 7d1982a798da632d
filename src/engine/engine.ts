import type { ExhaustGas } from "../flow/exhaust-gas.js";
import { Vessel } from "../flow/vessel.js";
import { Motion } from "../gear/motion.js";
import type { WorkingFluid } from "../steam/working-fluid.js";
import { Admission } from "./admission.js";
import { CylinderEnds } from "./cylinder-ends.js";
import type { CylinderMetal } from "./cylinder-metal.js";
import { restingControls } from "./engine-controls.js";
import { EndFittings } from "./end-fittings.js";
import type { EngineDescription } from "./engine-description.js";
import type { EngineParts } from "./engine-parts.js";
import { EngineLedger } from "./engine-ledger.js";
import { storedAirKg, storedEnergyJ, storedMassKg } from "./engine-stock.js";
import { makeExhaust } from "./exhaust-making.js";
import type { ExhaustNetwork } from "./exhaust-network.js";
import type { ExhaustPorts } from "./exhaust-ports.js";
import { boilerSoundSpeedMPerS, type FluidStates, fluidStates, makeFluid } from "./engine-fluid.js";
import { FlowNoiseRecord } from "./flow-noise-record.js";
import { MetalHeat } from "./metal-heat.js";
import { Leakage } from "./leakage.js";
import { leastVolumesM3, vesselNotes } from "./least-chest.js";
import { type PulseRecord, pulseRecordOf } from "./pulse-record.js";
import type { Plant } from "./plant.js";
import { makeReceivers, Receivers } from "./receivers.js";
import { makeMetals, resetMetals } from "./stage-metals.js";
import { makePlant, Supply } from "./supply.js";
import { planTicks, type TickPlan } from "./tick-plan.js";
import { VoiceRecord } from "./voice-record.js";

// Leaks and the heat of the metal are measured every fourth tick and held: beside the ports they hardly change.
// [tuned: mean pressures and flow unchanged within 1e-5, 2026-11-25]
const slowTicks = 4;

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
  /** What flow noise is made of; filled only when asked to `measure`. */
  readonly flowNoise: FlowNoiseRecord;
  /** What the voices beside the exhaust are made of. */
  readonly voiceRecord: VoiceRecord;
  readonly ends: CylinderEnds;
  readonly chest: Vessel;
  /** What a compound's stages exhaust into, but the last. */
  readonly receivers: readonly Vessel[];
  readonly network: ExhaustNetwork;
  readonly metals: readonly CylinderMetal[];
  /** Null without a boiler that is described; held until told to live. */
  readonly plant: Plant | null;
  readonly supply: Supply;
  /** Settings, before `reset`: whether the boiler is found cold. */
  startsCold = false;
  readonly ledger = new EngineLedger();
  /** One number, the regulator's opening as a running machine sets it. */
  readonly regulatorRatio: Float64Array;
  /** What else is set, in the order of `sideControls`. */
  readonly side = restingControls();
  /** Gas in the exhaust pipes of a machine at work: dry saturated steam, or air where that is the working fluid. */
  readonly exhausted: { readonly densityKgPerM3: number; readonly soundSpeedMPerS: number };

  private readonly fluid: WorkingFluid;
  /** What the machine starts from and is surrounded by. */
  readonly states: FluidStates;
  private readonly gas: ExhaustGas;
  private readonly stepS: number;
  private readonly admission: Admission;
  private readonly between: Receivers;
  private readonly leakage: Leakage;
  private readonly fittings: EndFittings | null;
  private readonly exhaustPorts: ExhaustPorts;
  private readonly exponent: number;
  private readonly hasMetal: boolean;
  private readonly metalHeat: MetalHeat;
  private slowTick = 0;
  private readonly leastM3: readonly number[];

  /** @throws RangeError for a description that cannot turn or breathe */
  constructor(
    readonly description: EngineDescription,
    sampleRateHz: number,
    fidelity: 1 | 2 | 4,
  ) {
    const { gear, idealised } = description;
    this.plan = planTicks(description, sampleRateHz, fidelity);
    this.stepS = this.plan.stepS;
    this.fluid = makeFluid(description.workingFluid);
    this.states = fluidStates(description, this.fluid);
    this.motion = new Motion(gear);
    const endCount = this.motion.ends.length;
    this.ends = new CylinderEnds(endCount, this.fluid);
    this.exponent = this.fluid.isentropicExponent;
    const { plan, states, stepS, exponent } = this;
    const exhaust = makeExhaust(description, this.motion, this.ends, this.fluid, states, plan);
    this.gas = exhaust.gas;
    this.exhaustPorts = exhaust.ports;
    this.network = exhaust.network;
    this.exhausted = exhaust.exhausted;
    this.leastM3 = leastVolumesM3(description, this.motion, this.network, states, exponent, stepS);
    this.chest = new Vessel(Math.max(description.chestVolumeM3, this.leastM3[0]!), this.fluid, idealised);
    this.receivers = makeReceivers(description.receiverVolumesM3 ?? [], this.leastM3.slice(1), this.fluid);
    this.record = pulseRecordOf(this.network, this.motion);
    this.voiceRecord = new VoiceRecord(endCount, gear.crankAnglesRad.length);
    this.flowNoise = new FlowNoiseRecord(this.network, this.stepS, description);
    const { motion, ends, chest, receivers, network, record, ledger } = this;
    this.plant = makePlant(description, stepS, this.voiceRecord, this.side);
    this.supply = new Supply(description, states, this.plant, this.voiceRecord, this.side);
    const { supply } = this;
    // Written out: numbers in an object made by spreading are kept where every reading takes room on the heap.
    const parts: EngineParts = {
      motion,
      ends,
      chest,
      receivers,
      network,
      record,
      ledger,
      states,
      supply,
      stepS,
      exponent,
    };
    this.admission = new Admission(parts, description.regulatorAreaM2, description.leaks.regulatorM2);
    this.regulatorRatio = this.admission.regulatorRatio;
    this.between = new Receivers(parts, description, this.fluid);
    this.leakage = new Leakage(parts, description, slowTicks);
    const { fittings } = description;
    this.fittings =
      fittings === undefined || fittings === null || idealised
        ? null
        : new EndFittings(parts, fittings, this.voiceRecord, this.side, gear.valveGear.kind);
    this.ends.stepS = this.chest.stepS = this.ledger.stepS = this.stepS;
    this.metals = makeMetals(motion, description.ambient.temperatureK);
    this.metalHeat = new MetalHeat(parts, this.metals);
    this.hasMetal = !idealised;
    this.reset(0);
  }

  /** Settings only: 0 shut, 1 full open. */
  setRegulator(regulatorRatio: number): void {
    this.regulatorRatio[0] = regulatorRatio;
  }

  /** Settings only: nominal cut-off, negative in backward gear. */
  setCutoff(cutoffRatio: number): void {
    this.motion.setCutoff(cutoffRatio);
  }

  /** State only: at rest at a shaft angle, cylinders and pipes full of what surrounds them (air, or a condenser's vapour), chest as the regulator implies. */
  reset(shaftRad: number): void {
    const { states, motion, ends } = this;
    const { still, stillAirRatio } = states;
    motion.process(shaftRad);
    for (let i = 0; i < ends.count; i++) {
      ends.reset(i, motion.volumeM3[i]!, still.densityKgPerM3, still.internalEnergyJPerKg, stillAirRatio);
    }
    this.exhaustPorts.reset();
    const { plant } = this;
    plant?.reset(this.startsCold ? "cold" : "steaming");
    this.supply.reset(this.startsCold);
    const isCharged = this.chest.isReservoir || (this.regulatorRatio[0]! > 0 && !this.startsCold);
    const chest = isCharged ? states.boiler : still;
    this.chest.reset(chest.densityKgPerM3, chest.internalEnergyJPerKg, isCharged ? 0 : stillAirRatio);
    this.between.reset(still, stillAirRatio, isCharged ? motion.cutoffRatio[0]! : null);
    resetMetals(this.metals, this, isCharged ? chest.temperatureK : null);
    this.network.reset(states.outsidePa, still.enthalpyJPerKg, stillAirRatio * still.temperatureK);
    this.ledger.clear();
    this.admission.reset();
    this.leakage.reset();
    this.fittings?.reset();
    this.metalHeat.reset();
    this.slowTick = 0;
    this.fluid.outOfRangeCount = this.gas.outOfRangeCount = 0;
    this.record.reset(shaftRad);
    this.record.chestPressurePa = this.chest.pressurePa;
    for (let i = 0; i < ends.count; i++) this.record.endPressurePa[i] = ends.pressurePa[i]!;
  }

  /** Settings, energies and masses stay; leaks and the metal's heat are measured anew at the next tick. */
  restartSlowExchanges(): void {
    this.slowTick = 0;
  }

  /** One tick of gas while the shaft goes to the angle in `motion.shaftRad[0]`, counted forward and not folded. */
  process(): void {
    const { motion, ends, chest, network, record, ledger } = this;
    motion.processShaft();
    ends.observe();
    chest.observe();
    this.between.observe();
    this.supply.observe();
    this.admission.process();
    this.supply.take(ledger);
    this.between.process();
    if (this.slowTick === 0) {
      this.leakage.measure(slowTicks);
      if (this.hasMetal) this.metalHeat.measure(slowTicks);
      if (this.fittings !== null) this.fittings.measure(slowTicks);
      this.tellVoices();
    }
    this.slowTick = (this.slowTick + 1) % slowTicks;
    this.leakage.process();
    if (this.hasMetal) this.metalHeat.process();
    if (this.fittings !== null) this.fittings.process();
    this.exhaustPorts.process(network, record, ledger);
    ends.advance(motion.volumeM3);
    chest.advance();
    this.between.advance();
    ledger.advance();
    record.take(motion, ends, chest, network.mouths);
  }

  /** Mass in chest (unless a reservoir), receivers, cylinders and pipes, kg. */
  storedMassKg(): number {
    return storedMassKg(this);
  }

  /** Air among the steam in the same, kg; 0 where air is the working fluid. */
  storedAirKg(): number {
    return storedAirKg(this);
  }

  /** Energy in the same, J. */
  storedEnergyJ(): number {
    return storedEnergyJ(this);
  }

  /** Speed of sound in the exhaust pipes as they are now, mean over their mass, m/s. */
  meanPipeSoundSpeedMPerS(): number {
    return this.network.meanSoundSpeedMPerS();
  }

  /** Speed of sound of the steam or air that comes from the boiler, m/s. */
  steamSoundSpeedMPerS(): number {
    return boilerSoundSpeedMPerS(this.states, this.exponent);
  }

  /** Density of the gas outside the mouths over that in the exhaust pipes as they are now. */
  outsideDensityRatio(): number {
    return this.network.outsideDensityRatio();
  }

  /** Settings only: while held, metal keeps its temperature. */
  set isMetalHeld(isHeld: boolean) {
    this.metalHeat.isHeld = isHeld;
  }

  /** Puts every cylinder's metal where the turn just run would leave it in the long run; K of change, the greatest. */
  settleMetal(turnS: number): number {
    let greatest = 0;
    for (const metal of this.metals) greatest = Math.max(greatest, Math.abs(metal.settle(turnS)));
    return greatest;
  }

  /** Ticks of tables left, pipes rescued, outrun or held at their ends, flows and pressures held, since construction or reset. */
  troubleCounts(): { outOfRange: number; rescued: number; overrun: number; held: number; floored: number } {
    const pipes = this.network.troubleCounts();
    return {
      ...pipes,
      outOfRange: this.fluid.outOfRangeCount + this.gas.outOfRangeCount,
      held:
        pipes.held +
        this.admission.heldCount +
        this.leakage.heldCount +
        this.between.heldCount +
        this.ends.heldCount +
        this.chest.heldCount +
        (this.fittings?.heldCount ?? 0),
    };
  }

  /** What this engine had to take otherwise than described, in words. */
  get notes(): readonly string[] {
    return [...this.plan.warnings, ...vesselNotes(this.description, this.leastM3)];
  }

  private tellVoices(): void {
    const { voiceRecord, metals, record } = this;
    for (let k = 0; k < metals.length; k++) voiceRecord.metalK[k] = metals[k]!.temperatureK;
    voiceRecord.chestPa = this.chest.pressurePa;
    let flow = 0;
    for (let m = 0; m < record.mouthMassKgPerS.length; m++) flow += record.mouthMassKgPerS[m]!;
    voiceRecord.exhaustKgPerS = flow;
  }
}
