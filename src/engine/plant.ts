import { Boiler } from "../flow/boiler.js";
import { SafetyValve } from "../flow/safety-valve.js";
import { SteamOutlet } from "../flow/steam-outlet.js";
import { makeAirEnergy, makeSaturationLine } from "../steam/saturation-line.js";
import type { SmoothTable } from "../steam/smooth-table.js";
import { AIR_FLOW_EXPONENT, STEAM_FLOW_EXPONENT } from "../steam/working-fluid.js";
import { BoilerOutlet } from "./boiler-outlet.js";
import { BlowdownCock } from "./blowdown-cock.js";
import { sideControlIndex } from "./engine-controls.js";
import { FireHeat } from "./fire-heat.js";
import { FeedWater } from "./feed-water.js";
import type { PlantDescription } from "./plant-description.js";
import { PlantFlows } from "./plant-flows.js";
import { PlantLedger } from "./plant-ledger.js";
import { fillBoiler, type PlantMaking } from "./plant-making.js";
import { PlantReadings, READING } from "./plant-readings.js";

// The boiler is brought up to date once in this time, and what is seen of it led between. [common practice: water and plates answer in seconds]
const windowS = 0.005;
// The greatest share of what is in the boiler that the draw of one window may take. [common practice]
const greatestDrawRatio = 0.5;

/**
 * A boiler with fire, feed, safety valve, blower and blow-down, or an air receiver. Every tick the owner sets what the
 * regulator drew, and calls `process`; the outlet fields are what the regulator sees, air among the steam counted as the engine counts it.
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

  /** Since the boiler was let go, s; -1 while the water stands high enough. */
  lowWaterSinceS = 0.5;
  timeS = 0.5;
  /** Settings: the boiler stays as it is, whatever is drawn from it or done to it. */
  isHeld = false;
  readonly ledger = new PlantLedger();
  readonly boiler: Boiler;
  readonly safetyValve: SafetyValve | null;

  private readonly line: SmoothTable;
  private readonly readings: PlantReadings;
  private readonly flows: PlantFlows;
  private readonly outlet: BoilerOutlet;
  private readonly feed: FeedWater | null;
  private readonly blower: SteamOutlet;
  private readonly blowdown: BlowdownCock;
  private readonly ticks: number;
  private readonly holdS: number;
  private readonly fire: FireHeat | null;
  private drawnSumKg = 0.5;
  private drawnSumJ = 0.5;
  private drawnSumAirKg = 0.5;
  private whistleSumKg = 0.5;
  private onTheWaySumJ = 0.5;
  private onTheWayJPerKg = 0.5;
  private tick = 0;

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
    this.boiler = new Boiler(description.volumeM3, this.line, makeAirEnergy(workingFluid === "steam"));
    this.readings = new PlantReadings(this.ticks);
    this.flows = new PlantFlows(this.boiler, this.ledger);
    this.outlet = new BoilerOutlet(this.boiler, this.line, workingFluid);
    const valve = description.safetyValve;
    this.safetyValve = valve === null ? null : new SafetyValve(valve, exponent, ambient.pressurePa, this.holdS);
    this.blower = new SteamOutlet(exponent, ambient.pressurePa, this.holdS);
    this.blowdown = new BlowdownCock(description.blowdownAreaM2, exponent, ambient, this.holdS);
    this.feed = description.feed === null ? null : new FeedWater(description.feed, ambient, pressurePa, this.holdS);
    this.fire = description.fire === null ? null : new FireHeat(description.fire, this.holdS);
    this.reset("steaming");
  }

  /** Cold: water and air at the ambient state, no fire. Steaming: at pressure, no air, the fire as its control has it. State only. */
  reset(from: "cold" | "steaming"): void {
    const { boiler, description, making } = this;
    const { side } = making;
    const isCold = from === "cold";
    fillBoiler(
      boiler,
      making,
      isCold ? Math.max(this.line.first, making.ambient.temperatureK) : null,
      description.waterRatio,
    );
    const { fire } = this;
    if (fire !== null) {
      fire.controlRatio = isCold ? 0 : side[sideControlIndex.fire]!;
      fire.waterRatio = boiler.waterRatio;
      fire.reset();
    }
    this.safetyValve?.reset();
    this.feed?.reset();
    this.drawnKgPerS = this.drawnW = this.drawnAirKgPerS = this.whistleKgPerS = 0;
    this.drawnSumKg = this.drawnSumJ = this.drawnSumAirKg = this.whistleSumKg = this.onTheWaySumJ = 0;
    this.tick = this.flows.heldCount = 0;
    this.timeS = 0;
    this.lowWaterSinceS = -1;
    this.ledger.start(boiler);
    const { wanted } = this.readings;
    wanted.fill(0);
    if (fire !== null) {
      wanted[READING.fireW] = fire.powerW;
      wanted[READING.heatW] = fire.heatW;
    }
    this.observe();
    this.readings.stand();
    this.onTheWayJPerKg = this.outlet.onTheWayJPerKg;
    this.tell();
  }

  /** States held: draws of more than there was, surplus water thrown out, plates without water, ends of the tables. */
  get heldCount(): number {
    return this.flows.heldCount + this.boiler.heldCount;
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
    const { blower, boiler, making, description, flows, holdS, readings } = this;
    const { wanted } = readings;
    if (!this.isHeld) this.timeS += holdS;
    this.onTheWayJPerKg = this.outlet.onTheWayJPerKg;
    const vapourBeforeKg = boiler.vapourKg;
    flows.clear();
    this.takeDrawn();
    this.flows.askedKg = this.whistleSumKg;
    this.flows.drawGas();
    this.whistleSumKg = 0;

    // A boiler that is held is one whose keeper lets it come near to lifting, but not to it.
    const valve = this.isHeld ? null : this.safetyValve;
    if (valve !== null) {
      valve.outlet.see(boiler);
      valve.advance();
      this.flows.askedKg = valve.outlet.flowKgPerS * holdS;
      this.flows.drawGas();
      wanted[READING.safetyKgPerS] = valve.outlet.flowKgPerS;
      wanted[READING.safetyMPerS] = valve.outlet.jetMPerS;
      wanted[READING.safetyLift] = valve.liftRatio;
    }
    blower.see(boiler);
    blower.areaM2 = description.blowerAreaM2 * making.side[sideControlIndex.blower]!;
    blower.measure();
    this.flows.askedKg = blower.flowKgPerS * holdS;
    this.flows.drawGas();
    wanted[READING.blowerKgPerS] = blower.flowKgPerS;
    wanted[READING.blowerMPerS] = blower.jetMPerS;

    this.takeBlowdown();
    this.takeFeed();
    this.takeHeat();
    if (boiler.surplusKg > 0) {
      flows.askedKg = boiler.surplusKg;
      flows.drawWater();
      this.flows.heldCount++;
    }
    boiler.settle(this.isHeld);
    if (making.workingFluid === "steam") {
      let raised = (boiler.vapourKg - vapourBeforeKg + flows.drawnGasKg * (1 - boiler.airRatio)) / holdS;
      if (this.isHeld) raised = wanted[READING.heatW]! / (boiler.gasJPerKg - boiler.liquidJPerKg);
      wanted[READING.steamRaised] = raised > 0 ? raised : 0;
    }
    this.observe();
    readings.aim();
    this.watchLevel();
  }

  /** What the regulator drew; the chest has it already, so what is not there is counted and made up. */
  private takeDrawn(): void {
    const { boiler } = this;
    const isAir = this.making.workingFluid === "air";
    const airKg = isAir ? this.drawnSumKg : this.drawnSumAirKg < boiler.airKg ? this.drawnSumAirKg : boiler.airKg;
    const waterKg = this.drawnSumKg - airKg;
    const energyJ = this.drawnSumJ;
    const onTheWayJ = this.onTheWaySumJ;
    this.drawnSumKg = this.drawnSumJ = this.drawnSumAirKg = this.onTheWaySumJ = 0;
    if (waterKg > greatestDrawRatio * boiler.waterKg || (isAir && airKg > greatestDrawRatio * boiler.airKg)) {
      this.flows.heldCount++;
      return;
    }
    this.flows.waterKg = -waterKg;
    this.flows.airKg = -airKg;
    this.flows.energyJ = onTheWayJ - energyJ;
    this.flows.gain();
    this.ledger.flowJ -= onTheWayJ;
    this.ledger.onTheWayJ += onTheWayJ;
    this.flows.drawnGasKg += (waterKg + airKg) * this.outlet.dryRatio;
  }

  private takeBlowdown(): void {
    const { boiler, blowdown, flows, holdS, readings } = this;
    blowdown.openRatio = this.making.side[sideControlIndex.blowdown]!;
    blowdown.measure(boiler);
    flows.askedKg = (blowdown.steamKgPerS + blowdown.waterKgPerS) * holdS;
    if (blowdown.isWater) flows.drawWater();
    else flows.drawGas();
    readings.wanted[READING.blowdownKgPerS] = blowdown.steamKgPerS;
    readings.wanted[READING.blowdownMPerS] = blowdown.jetMPerS;
    readings.wanted[READING.blowdownWaterKgPerS] = blowdown.waterKgPerS;
  }

  private takeFeed(): void {
    const { feed, boiler } = this;
    if (feed === null) return;
    feed.controlRatio = this.making.side[sideControlIndex.feed]!;
    feed.boilerPa = boiler.pressurePa;
    feed.waterRatio = boiler.waterRatio;
    feed.advance();
    this.flows.waterKg = feed.freshKgPerS * this.holdS;
    this.flows.airKg = 0;
    this.flows.energyJ = this.flows.waterKg * feed.freshJPerKg;
    this.flows.gain();
    this.readings.wanted[READING.feedKgPerS] = feed.enteringKgPerS;
  }

  private takeHeat(): void {
    const { boiler, description, fire, ledger, holdS, making, readings } = this;
    let heatJ = -description.lossWPerK * (boiler.temperatureK - making.ambient.temperatureK) * holdS;
    ledger.lossJ -= heatJ;
    if (fire !== null) {
      fire.controlRatio = making.side[sideControlIndex.fire]!;
      fire.waterRatio = boiler.waterRatio;
      fire.advance();
      if (fire.isBare) this.flows.heldCount++;
      readings.wanted[READING.fireW] = fire.powerW;
      readings.wanted[READING.heatW] = fire.heatW;
      ledger.fireJ += fire.heatW * holdS;
      heatJ += fire.heatW * holdS;
    }
    boiler.gainedJ += heatJ;
  }

  private watchLevel(): void {
    const isLow = this.making.workingFluid === "steam" && this.boiler.waterRatio < this.description.lowWaterRatio;
    if (!isLow) this.lowWaterSinceS = -1;
    else if (this.lowWaterSinceS < 0) this.lowWaterSinceS = this.timeS;
  }

  /** What is to be seen of the boiler as it stands now. */
  private observe(): void {
    const { boiler, outlet } = this;
    const { wanted } = this.readings;
    wanted[READING.pressurePa] = boiler.pressurePa;
    wanted[READING.temperatureK] = boiler.temperatureK;
    wanted[READING.waterRatio] = boiler.waterRatio;
    const short = boiler.boilingK - boiler.temperatureK;
    wanted[READING.subcoolingK] = short > 1e-6 && boiler.liquidKg > 0 ? short : 0;
    outlet.primingRatio = this.making.side[sideControlIndex.priming]!;
    outlet.observe();
    wanted[READING.outletKgPerM3] = outlet.densityKgPerM3;
    wanted[READING.outletJPerKg] = outlet.enthalpyJPerKg;
    wanted[READING.airRatio] = outlet.airRatio;
  }

  /** Hands the readings on as they are led. */
  private tell(): void {
    const { shown } = this.readings;
    this.outletPa = shown[READING.pressurePa]!;
    this.outletKgPerM3 = shown[READING.outletKgPerM3]!;
    this.outletJPerKg = shown[READING.outletJPerKg]!;
    this.outletAirRatio = shown[READING.airRatio]!;
    this.making.voice.whistleRatio = this.making.side[sideControlIndex.whistle]!;
    this.readings.tell(this.making.voice);
  }
}
