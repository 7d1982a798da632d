import { Boiler } from "../flow/boiler.js";
import { SafetyValve } from "../flow/safety-valve.js";
import { SteamOutlet } from "../flow/steam-outlet.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as airGas } from "../quantities/constants.js";
import { exp } from "../quantities/portable-maths.js";
import { makeAirEnergy, makeSaturationLine } from "../steam/saturation-line.js";
import { COLUMN_HEATED_ENTHALPY, COLUMN_HEATED_VOLUME, COLUMN_LIQUID_ENERGY } from "../steam/saturation-line.js";
import { COLUMN_LIQUID_VOLUME, COLUMN_PRESSURE } from "../steam/saturation-line.js";
import { saturationTemperatureK } from "../steam/if97.js";
import type { SmoothTable } from "../steam/smooth-table.js";
import { AIR_FLOW_EXPONENT, STEAM_FLOW_EXPONENT } from "../steam/working-fluid.js";
import { BlowdownCock } from "./blowdown-cock.js";
import { sideControlIndex } from "./engine-controls.js";
import { FeedWater } from "./feed-water.js";
import type { PlantDescription } from "./plant-description.js";
import { PlantLedger } from "./plant-ledger.js";
import { PlantReadings, READING } from "./plant-readings.js";
import type { VoiceRecord } from "./voice-record.js";

/** What a boiler is told of the machine it stands in. */
export interface PlantMaking {
  readonly ambient: { readonly pressurePa: number; readonly temperatureK: number };
  readonly superheatK: number;
  readonly workingFluid: "steam" | "air";
  /** Of one `process`. */
  readonly stepS: number;
  /** In steam, absolute. */
  readonly pressurePa: number;
  /** Of the air in a charged receiver; ambient where not given. */
  readonly airK?: number;
  readonly voice: VoiceRecord;
  /** In the order of `sideControls`; read, never written. */
  readonly side: Float64Array;
}

// The boiler is brought up to date once in this time, and what is seen of it led between. [common practice: water and plates answer in seconds]
const windowS = 0.005;
// With less water than this share of its volume the fire's heat no longer all finds water. [common practice]
const bareRatio = 0.005;
// The greatest share of what is in the boiler that the draw of one window may take. [common practice]
const greatestDrawRatio = 0.5;

/**
 * A boiler with fire, feed, safety valve, blower and blow-down, or an air receiver. Every tick the owner sets what the
 * regulator drew, and calls `process`; the outlet fields are what the regulator sees. The engine knows of no air among its
 * steam: the outlet is steam of the full pressure, and `outletAirRatio` says how much of it truly is air.
 */
export class Plant {
  /** Drawn by the regulator in this tick, mass in all, its energy, and the air in it; negative where the chest gives back. */
  drawnKgPerS = 0.5;
  drawnW = 0.5;
  drawnAirKgPerS = 0.5;
  /** Steam that the whistle blows. */
  whistleKgPerS = 0.5;

  outletPa = 0.5;
  outletKgPerM3 = 0.5;
  outletJPerKg = 0.5;
  outletAirRatio = 0.5;

  isLowWater = false;
  /** Since `reset`, s; -1 while the water stands high enough. */
  lowWaterSinceS = 0.5;
  timeS = 0.5;
  /** Draws beyond what there was, and surplus water thrown out. */
  heldCount = 0;
  readonly ledger = new PlantLedger();
  readonly boiler: Boiler;
  readonly safetyValve: SafetyValve | null;

  private readonly line: SmoothTable;
  private readonly readings: PlantReadings;
  private readonly feed: FeedWater | null;
  private readonly blower: SteamOutlet;
  private readonly blowdown: BlowdownCock;
  private readonly ticks: number;
  private readonly holdS: number;
  private readonly fireFollow: number;
  private fireRatio = 0.5;
  private drawnSumKg = 0.5;
  private drawnSumJ = 0.5;
  private drawnSumAirKg = 0.5;
  private whistleSumKg = 0.5;
  private onTheWaySumJ = 0.5;
  private onTheWayJPerKg = 0.5;
  private wantedOnTheWayJPerKg = 0.5;
  // Of the draw, what is not water carried over.
  private dryRatio = 0.5;
  private tick = 0;
  // Flows of one window on their way into the boiler and the ledger; numbers handed over would take room on the heap.
  private flowWaterKg = 0.5;
  private flowAirKg = 0.5;
  private flowJ = 0.5;
  private askedKg = 0.5;
  private gasKg = 0.5;

  /** Allocates all it ever will. */
  constructor(
    private readonly description: PlantDescription,
    private readonly making: PlantMaking,
  ) {
    const { ambient, stepS, workingFluid, superheatK, pressurePa } = making;
    const exponent = workingFluid === "steam" ? STEAM_FLOW_EXPONENT : AIR_FLOW_EXPONENT;
    this.ticks = Math.max(1, Math.round(windowS / stepS));
    this.holdS = this.ticks * stepS;
    this.line = makeSaturationLine(superheatK);
    this.boiler = new Boiler(description.volumeM3, this.line, makeAirEnergy());
    this.readings = new PlantReadings(this.ticks);
    const valve = description.safetyValve;
    this.safetyValve = valve === null ? null : new SafetyValve(valve, exponent, ambient.pressurePa, this.holdS);
    this.blower = new SteamOutlet(exponent, ambient.pressurePa);
    this.blowdown = new BlowdownCock(description.blowdownAreaM2, exponent, ambient, this.holdS);
    this.feed = description.feed === null ? null : new FeedWater(description.feed, ambient, pressurePa, this.holdS);
    this.fireFollow = description.fire === null ? 0 : 1 - exp(-this.holdS / Math.max(1e-3, description.fire.responseS));
    this.reset("steaming");
  }

  /** Cold: water and air at the ambient state, no fire. Steaming: at pressure, no air, the fire as its control has it. State only. */
  reset(from: "cold" | "steaming"): void {
    const { boiler, description, making } = this;
    const { ambient, pressurePa, workingFluid, side } = making;
    const isCold = from === "cold";
    if (workingFluid === "air") {
      if (isCold) boiler.resetToAir(ambient.pressurePa, ambient.temperatureK);
      else boiler.resetToAir(pressurePa, making.airK ?? ambient.temperatureK);
    } else if (isCold) {
      boiler.resetToWater(description.waterRatio, Math.max(this.line.first, ambient.temperatureK), ambient.pressurePa);
    } else boiler.resetToWater(description.waterRatio, saturationTemperatureK(pressurePa), 0);
    this.fireRatio = isCold || description.fire === null ? 0 : side[sideControlIndex.fire]!;
    this.safetyValve?.reset();
    this.feed?.reset();
    this.drawnKgPerS = this.drawnW = this.drawnAirKgPerS = this.whistleKgPerS = 0;
    this.drawnSumKg = this.drawnSumJ = this.drawnSumAirKg = this.whistleSumKg = this.onTheWaySumJ = 0;
    this.tick = this.heldCount = this.timeS = 0;
    this.isLowWater = false;
    this.lowWaterSinceS = -1;
    this.ledger.start(boiler);
    const { wanted } = this.readings;
    wanted.fill(0);
    if (description.fire !== null) {
      wanted[READING.fireW] = description.fire.powerW * this.fireRatio;
      wanted[READING.heatW] = wanted[READING.fireW]! * description.fire.efficiencyRatio;
    }
    this.observe();
    this.readings.stand();
    this.onTheWayJPerKg = this.wantedOnTheWayJPerKg;
    this.tell();
  }

  /** One tick. */
  process(): void {
    const { stepS } = this.making;
    const drawn = this.drawnKgPerS * stepS;
    this.drawnSumKg += drawn;
    this.drawnSumJ += this.drawnW * stepS;
    this.drawnSumAirKg += this.drawnAirKgPerS * stepS;
    this.whistleSumKg += this.whistleKgPerS * stepS;
    if (drawn > 0) this.onTheWaySumJ += drawn * this.onTheWayJPerKg;
    this.readings.lead();
    if (++this.tick >= this.ticks) {
      this.tick = 0;
      this.advance();
    }
    this.tell();
  }

  /** Brings the boiler up to date with what flowed since the last time. */
  private advance(): void {
    const { boiler, making, description, holdS, readings } = this;
    const { wanted } = readings;
    const { side } = making;
    this.timeS += holdS;
    this.onTheWayJPerKg = this.wantedOnTheWayJPerKg;
    const vapourBeforeKg = boiler.vapourKg;
    this.gasKg = 0;
    this.takeDrawn();
    this.askedKg = this.whistleSumKg;
    this.drawGas();
    this.whistleSumKg = 0;

    const valve = this.safetyValve;
    if (valve !== null) {
      this.fillOutlet(valve.outlet);
      valve.advance();
      this.askedKg = valve.outlet.flowKgPerS * holdS;
      this.drawGas();
      wanted[READING.safetyKgPerS] = valve.outlet.flowKgPerS;
      wanted[READING.safetyMPerS] = valve.outlet.jetMPerS;
      wanted[READING.safetyLift] = valve.liftRatio;
    }
    const { blower } = this;
    this.fillOutlet(blower);
    blower.areaM2 = description.blowerAreaM2 * side[sideControlIndex.blower]!;
    blower.measure();
    this.askedKg = blower.flowKgPerS * holdS;
    this.drawGas();
    wanted[READING.blowerKgPerS] = blower.flowKgPerS;
    wanted[READING.blowerMPerS] = blower.jetMPerS;

    this.takeBlowdown();
    this.takeFeed();
    this.takeHeat();
    if (boiler.surplusKg > 0) {
      this.flowWaterKg = -boiler.surplusKg;
      this.flowAirKg = 0;
      this.flowJ = -boiler.surplusKg * boiler.liquidJPerKg;
      this.gain();
      this.heldCount++;
    }
    boiler.settle();
    if (making.workingFluid === "steam") {
      const raised = (boiler.vapourKg - vapourBeforeKg + this.gasKg * (1 - boiler.airRatio)) / holdS;
      wanted[READING.steamRaised] = raised > 0 ? raised : 0;
    }
    this.observe();
    readings.aim();
    this.watchLevel();
  }

  /** What the regulator drew, kg; the chest has it already, so what is not there is counted and made up. */
  private takeDrawn(): void {
    const { boiler } = this;
    const isAir = this.making.workingFluid === "air";
    const airKg = isAir ? this.drawnSumKg : this.drawnSumAirKg < boiler.airKg ? this.drawnSumAirKg : boiler.airKg;
    const waterKg = this.drawnSumKg - airKg;
    const energyJ = this.drawnSumJ;
    const onTheWayJ = this.onTheWaySumJ;
    this.drawnSumKg = this.drawnSumJ = this.drawnSumAirKg = this.onTheWaySumJ = 0;
    const mostRatio = greatestDrawRatio;
    if (waterKg > mostRatio * boiler.waterKg || (isAir && airKg > mostRatio * boiler.airKg)) {
      this.heldCount++;
      return;
    }
    this.flowWaterKg = -waterKg;
    this.flowAirKg = -airKg;
    this.flowJ = onTheWayJ - energyJ;
    this.gain();
    this.ledger.flowJ -= onTheWayJ;
    this.ledger.onTheWayJ += onTheWayJ;
    this.gasKg += (waterKg + airKg) * this.dryRatio;
  }

  /** Takes `askedKg` of steam and air as they are mixed out of the steam space, or what there is. */
  private drawGas(): void {
    const { boiler, askedKg } = this;
    const most = greatestDrawRatio * (boiler.vapourKg + boiler.airKg);
    const gives = askedKg < most ? askedKg : most;
    if (gives < askedKg) this.heldCount++;
    const airKg = gives * boiler.airRatio;
    this.gasKg += gives;
    this.flowWaterKg = boiler.waterKg > 0 ? airKg - gives : 0;
    this.flowAirKg = -airKg;
    this.flowJ = -gives * boiler.gasJPerKg;
    this.gain();
  }

  private takeBlowdown(): void {
    const { boiler, blowdown, holdS } = this;
    const { wanted } = this.readings;
    blowdown.openRatio = this.making.side[sideControlIndex.blowdown]!;
    blowdown.measure(boiler);
    if (blowdown.isWater) {
      const massKg = (blowdown.steamKgPerS + blowdown.waterKgPerS) * holdS;
      this.flowWaterKg = -massKg;
      this.flowAirKg = 0;
      this.flowJ = -massKg * boiler.liquidJPerKg;
      this.gain();
    } else {
      this.askedKg = blowdown.steamKgPerS * holdS;
      this.drawGas();
    }
    wanted[READING.blowdownKgPerS] = blowdown.steamKgPerS;
    wanted[READING.blowdownMPerS] = blowdown.jetMPerS;
    wanted[READING.blowdownWaterKgPerS] = blowdown.waterKgPerS;
  }

  private takeFeed(): void {
    const { feed, boiler } = this;
    if (feed === null) return;
    feed.controlRatio = this.making.side[sideControlIndex.feed]!;
    feed.boilerPa = boiler.pressurePa;
    feed.waterRatio = boiler.waterRatio;
    feed.advance();
    const massKg = feed.freshKgPerS * this.holdS;
    this.flowWaterKg = massKg;
    this.flowAirKg = 0;
    this.flowJ = massKg * feed.freshJPerKg;
    this.gain();
    this.readings.wanted[READING.feedKgPerS] = feed.enteringKgPerS;
  }

  private takeHeat(): void {
    const { boiler, description, ledger, holdS, making } = this;
    const { fire, lossWPerK } = description;
    const { wanted } = this.readings;
    let heatJ = -lossWPerK * (boiler.temperatureK - making.ambient.temperatureK) * holdS;
    ledger.lossJ -= heatJ;
    if (fire !== null) {
      this.fireRatio += this.fireFollow * (making.side[sideControlIndex.fire]! - this.fireRatio);
      const covered = boiler.waterRatio < bareRatio ? boiler.waterRatio / bareRatio : 1;
      if (covered < 1) this.heldCount++;
      const fireW = fire.powerW * this.fireRatio;
      const heatW = fireW * fire.efficiencyRatio * covered;
      wanted[READING.fireW] = fireW;
      wanted[READING.heatW] = heatW;
      ledger.fireJ += heatW * holdS;
      heatJ += heatW * holdS;
    }
    boiler.gainedJ += heatJ;
  }

  private gain(): void {
    const { boiler, ledger, flowWaterKg, flowAirKg, flowJ } = this;
    boiler.gainedWaterKg += flowWaterKg;
    boiler.gainedAirKg += flowAirKg;
    boiler.gainedJ += flowJ;
    ledger.waterKg += flowWaterKg;
    ledger.airKg += flowAirKg;
    ledger.flowJ += flowJ;
  }

  private fillOutlet(outlet: SteamOutlet): void {
    const { boiler } = this;
    outlet.gasPa = boiler.pressurePa;
    outlet.gasKgPerM3 = boiler.gasKgPerM3;
    outlet.volumeM3 = boiler.steamSpaceM3;
    outlet.holdS = this.holdS;
  }

  private watchLevel(): void {
    const isLow = this.making.workingFluid === "steam" && this.boiler.waterRatio < this.description.lowWaterRatio;
    if (isLow && !this.isLowWater) this.lowWaterSinceS = this.timeS;
    if (!isLow) this.lowWaterSinceS = -1;
    this.isLowWater = isLow;
  }

  /** What is to be seen of the boiler as it stands now. */
  private observe(): void {
    const { boiler, line, making } = this;
    const { wanted } = this.readings;
    wanted[READING.pressurePa] = boiler.pressurePa;
    wanted[READING.temperatureK] = boiler.temperatureK;
    wanted[READING.waterRatio] = boiler.waterRatio;
    const short = boiler.boilingK - boiler.temperatureK;
    wanted[READING.subcoolingK] = short > 1e-6 && boiler.liquidKg > 0 ? short : 0;
    if (making.workingFluid === "air") {
      wanted[READING.outletKgPerM3] = boiler.pressurePa / (airGas * boiler.temperatureK);
      wanted[READING.outletJPerKg] = boiler.gasJPerKg;
      wanted[READING.airRatio] = 1;
      this.wantedOnTheWayJPerKg = 0;
      return;
    }
    // The line stands at the boiling point of the pressure.
    const v = line.values;
    const priming = making.side[sideControlIndex.priming]!;
    const wet = boiler.liquidKg > 0 && priming > 0 ? priming / (1 + priming) : 0;
    this.dryRatio = 1 - wet;
    const liquidJ = v[COLUMN_LIQUID_ENERGY]! + v[COLUMN_PRESSURE]! * v[COLUMN_LIQUID_VOLUME]!;
    const outlet = (1 - wet) * v[COLUMN_HEATED_ENTHALPY]! + wet * liquidJ;
    wanted[READING.outletKgPerM3] = 1 / ((1 - wet) * v[COLUMN_HEATED_VOLUME]! + wet * v[COLUMN_LIQUID_VOLUME]!);
    wanted[READING.outletJPerKg] = outlet;
    wanted[READING.airRatio] = (1 - wet) * boiler.airRatio;
    this.wantedOnTheWayJPerKg = outlet - (1 - wet) * boiler.gasJPerKg - wet * boiler.liquidJPerKg;
  }

  /** Hands the readings on as they are led. */
  private tell(): void {
    const { shown } = this.readings;
    this.outletPa = shown[READING.pressurePa]!;
    this.outletKgPerM3 = shown[READING.outletKgPerM3]!;
    this.outletJPerKg = shown[READING.outletJPerKg]!;
    this.outletAirRatio = shown[READING.airRatio]!;
    const { voice, side } = this.making;
    voice.whistleRatio = side[sideControlIndex.whistle]!;
    this.readings.tell(voice);
  }
}
