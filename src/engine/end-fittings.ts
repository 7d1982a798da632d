import type { ValveGear } from "../gear/gear-description.js";
import { sideControlIndex } from "./engine-controls.js";
import type { EngineParts } from "./engine-parts.js";
import type { FittingsDescription } from "./fittings-description.js";
import type { VoiceRecord } from "./voice-record.js";
import { LiftedValves } from "./lifted-valves.js";
import { WaterInEnds } from "./water-in-ends.js";
import { WayOut } from "./way-out.js";

// A relief valve is full open at this much above its set pressure. [common practice: a tenth]
const reliefSpanRatio = 0.1;
// Share of a cylinder's gland leaks that is at its valve's spindle, where that has a gland on the chest: a spindle is half as
// thick as a piston rod. [common practice]
const spindleRatio = 1 / 3;
// Share of a cylinder's water that stands at its gland. [common practice]
const glandCoveredRatio = 0.3;

/**
 * What opens from the cylinders and the chest to the air: drain cocks, relief valves, glands, snifting valve. Measured now and
 * then, given every tick; fills their places in the voice record.
 */
export class EndFittings {
  private readonly water: WaterInEnds;
  private readonly way: WayOut;
  private readonly lifted: LiftedValves | null;
  private readonly rodGlandM2: number;
  private readonly spindleM2: number;
  /** Per end, as last measured: mass, air and energy out. */
  private readonly massKgPerS: Float64Array;
  private readonly airKgPerS: Float64Array;
  private readonly energyW: Float64Array;
  /** At which each end's relief valve lifts. */
  private readonly reliefPa: Float64Array;
  private chestKgPerS = 0.5;
  private chestW = 0.5;
  private chestAirKgPerS = 0.5;
  private isOpen = false;

  constructor(
    private readonly parts: EngineParts,
    private readonly fittings: FittingsDescription,
    private readonly record: VoiceRecord,
    private readonly side: Float64Array,
    valveKind: ValveGear["kind"],
  ) {
    const { ends, exponent, states, motion } = parts;
    this.water = new WaterInEnds(ends, motion.clearanceM3);
    this.reliefPa = new Float64Array(ends.count).fill(fittings.reliefPa);
    motion.stages.slice(1).forEach(({ firstEnd }, s) => {
      this.reliefPa.fill(fittings.laterReliefsPa?.[s] ?? fittings.reliefPa, firstEnd);
    });
    this.way = new WayOut(exponent, states.air);
    const { chest } = parts;
    // Steam inside a piston valve leaves its spindles in the exhaust; a cylinder that swings has none.
    const onChest = motion.admission === "outside" && valveKind !== "oscillating" && !chest.isReservoir;
    const mayLift = fittings.valvesLift && valveKind !== "oscillating" && !chest.isReservoir;
    this.lifted = mayLift ? new LiftedValves(parts) : null;
    const { glandAreaM2 } = fittings;
    this.rodGlandM2 = onChest ? (1 - spindleRatio) * glandAreaM2 : glandAreaM2;
    // Those on receivers are left out.
    this.spindleM2 = onChest ? spindleRatio * glandAreaM2 * motion.stages[0]!.cylinderCount : 0;
    this.massKgPerS = new Float64Array(ends.count);
    this.airKgPerS = new Float64Array(ends.count);
    this.energyW = new Float64Array(ends.count);
    this.reset();
  }

  /** Flows held to what makes the pressures equal. */
  get heldCount(): number {
    return this.way.heldCount + (this.lifted?.heldCount ?? 0);
  }

  /** State only. */
  reset(): void {
    const { record } = this;
    this.way.reset();
    this.isOpen = false;
    this.lifted?.reset();
    this.clear();
    for (const array of [record.drainKgPerS, record.drainMPerS, record.drainWaterKgPerS]) array.fill(0);
    for (const array of [record.reliefKgPerS, record.reliefMPerS]) array.fill(0);
    for (const array of [record.glandKgPerS, record.glandMPerS, record.glandWaterKgPerS]) array.fill(0);
    record.sniftKgPerS = record.sniftMPerS = 0;
    record.spindleKgPerS = record.spindleMPerS = 0;
  }

  /** Finds what flows, to be held for `holdTicks` ticks. */
  measure(holdTicks: number): void {
    const { ends, chest, stepS, states } = this.parts;
    const { fittings, record, way, water } = this;
    const drainM2 = fittings.drainAreaM2 * this.side[sideControlIndex.drains]!;
    const { rodGlandM2, spindleM2 } = this;
    const { reliefAreaM2, sniftingAreaM2 } = fittings;
    this.clear();
    water.measure();
    way.holdS = holdTicks * stepS;
    const perCylinder = ends.count / record.glandKgPerS.length;
    for (let i = 0; i < ends.count; i++) {
      const pressurePa = ends.pressurePa[i]!;
      const reliefPa = this.reliefPa[i]!;
      const lift = (pressurePa - reliefPa) / (reliefSpanRatio * reliefPa);
      const reliefM2 = reliefAreaM2 > 0 && lift > 0 ? reliefAreaM2 * (lift < 1 ? lift : 1) : 0;
      const glandM2 = i % perCylinder === perCylinder - 1 ? rodGlandM2 : 0;
      way.gasPa = pressurePa;
      way.gasKgPerM3 = water.gasKgPerM3[i]!;
      way.gasJPerKg = water.gasJPerKg[i]!;
      way.waterKg = water.waterKg[i]!;
      way.waterJPerKg = water.waterJPerKg[i]!;
      way.volumeM3 = ends.volumeM3[i]!;
      const k = (i / perCylinder) | 0;
      if (drainM2 > 0) {
        way.areaM2 = drainM2;
        way.waterShareRatio = water.coveredRatio[i]!;
        way.measure();
        this.add(i);
        record.drainKgPerS[i] = way.gasKgPerS;
        record.drainMPerS[i] = way.jetMPerS;
        record.drainWaterKgPerS[i] = way.waterKgPerS;
      } else record.drainKgPerS[i] = record.drainMPerS[i] = record.drainWaterKgPerS[i] = 0;
      if (reliefM2 > 0) {
        way.areaM2 = reliefM2;
        way.waterShareRatio = 0;
        way.measure();
        this.add(i);
        record.reliefKgPerS[i] = way.gasKgPerS;
        record.reliefMPerS[i] = way.jetMPerS;
      } else record.reliefKgPerS[i] = record.reliefMPerS[i] = 0;
      if (glandM2 > 0) {
        way.areaM2 = glandM2;
        way.waterShareRatio = glandCoveredRatio * water.coveredRatio[i]!;
        way.measure();
        this.add(i);
        record.glandKgPerS[k] = way.gasKgPerS;
        record.glandMPerS[k] = way.jetMPerS;
        record.glandWaterKgPerS[k] = way.waterKgPerS;
      }
    }
    record.spindleKgPerS = record.spindleMPerS = 0;
    if (spindleM2 > 0) {
      this.standAtChest(spindleM2);
      way.measure();
      this.addOfChest();
      record.spindleKgPerS = way.gasKgPerS;
      record.spindleMPerS = way.jetMPerS;
    }
    record.sniftKgPerS = record.sniftMPerS = 0;
    if (sniftingAreaM2 > 0 && !chest.isReservoir && chest.pressurePa < states.air.pressurePa) {
      this.standAtChest(sniftingAreaM2);
      way.measure();
      this.addOfChest();
      record.sniftKgPerS = -way.gasKgPerS;
      record.sniftMPerS = way.jetMPerS;
    }
    this.lifted?.measure(holdTicks);
    this.isOpen = drainM2 > 0 || rodGlandM2 > 0 || reliefAreaM2 > 0 || sniftingAreaM2 > 0;
  }

  /** Takes what was last measured from ends and chest, one tick of it, into the ledger. */
  process(): void {
    this.lifted?.process();
    if (!this.isOpen) return;
    const { ends, chest, ledger } = this.parts;
    const { massKgPerS, energyW, airKgPerS } = this;
    for (let i = 0; i < massKgPerS.length; i++) {
      const flow = massKgPerS[i]!;
      const energy = energyW[i]!;
      ends.massFlowKgPerS[i] = ends.massFlowKgPerS[i]! - flow;
      ends.energyFlowW[i] = ends.energyFlowW[i]! - energy;
      ledger.outKgPerS += flow;
      ledger.outW += energy;
      const air = airKgPerS[i]!;
      ends.airFlowKgPerS[i] = ends.airFlowKgPerS[i]! - air;
      ledger.outAirKgPerS += air;
    }
    chest.massFlowKgPerS -= this.chestKgPerS;
    chest.energyFlowW -= this.chestW;
    chest.airFlowKgPerS -= this.chestAirKgPerS;
    ledger.outAirKgPerS += this.chestAirKgPerS;
    ledger.outKgPerS += this.chestKgPerS;
    ledger.outW += this.chestW;
  }

  private clear(): void {
    this.massKgPerS.fill(0);
    this.airKgPerS.fill(0);
    this.energyW.fill(0);
    this.chestKgPerS = this.chestW = this.chestAirKgPerS = 0;
  }

  private standAtChest(areaM2: number): void {
    const { way } = this;
    const { chest } = this.parts;
    way.areaM2 = areaM2;
    way.waterShareRatio = way.waterKg = way.waterJPerKg = 0;
    way.gasPa = chest.pressurePa;
    way.gasKgPerM3 = chest.densityKgPerM3;
    way.gasJPerKg = chest.enthalpyJPerKg;
    way.volumeM3 = chest.volumeM3;
  }

  private addOfChest(): void {
    const { way } = this;
    const airRatio = way.gasKgPerS > 0 ? this.parts.chest.airRatio : this.parts.states.airRatio;
    this.chestKgPerS += way.gasKgPerS;
    this.chestW += way.energyW;
    this.chestAirKgPerS += way.gasKgPerS * airRatio;
  }

  private add(end: number): void {
    const { way, massKgPerS, energyW, airKgPerS, water } = this;
    const isOut = way.gasKgPerS > 0;
    const share = isOut ? water.gasAirRatio[end]! : this.parts.states.airRatio;
    airKgPerS[end] = airKgPerS[end]! + way.gasKgPerS * share;
    massKgPerS[end] = massKgPerS[end]! + way.gasKgPerS + way.waterKgPerS;
    energyW[end] = energyW[end]! + way.energyW;
  }
}
