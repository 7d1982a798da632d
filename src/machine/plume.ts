import type { Engine } from "../engine/engine.js";
import { requireWithin } from "../sound/setting-range.js";
import { stateFromPressureEnthalpy } from "../steam/state-from.js";
import { steamPlumeState } from "./plume-state.js";

const columnsEach = 6;
const sumsEach = 7;

/** What is read of a mouth; one that knows no air among its steam has none. */
interface PlumeMouth {
  readonly massFlowKgPerS: number;
  readonly velocityMPerS: number;
  readonly jetPressurePa: number;
  readonly enthalpyFlowW: number;
  readonly airFlowKgPerS?: number;
}

/** A plume record and who takes its rows: from time 0 on, one for each interval. The row is reused. */
export interface PlumeTap {
  readonly record: PlumeRecord;
  readonly onRow: (row: Float64Array) => void;
}

/** After a tick: hands on the row that it filled, if it did. */
export function takePlume({ record, onRow }: PlumeTap): void {
  if (record.take()) onRow(record.fillRow());
}

/** A tap from time 0 to an end, at so many rows a second. */
export function plumeUntil(
  engine: Engine,
  rateHz: number,
  untilS: number,
  onRow: (row: Float64Array) => void,
): PlumeTap {
  const record = new PlumeRecord(engine, rateHz);
  record.reset(0);
  const lastS = untilS + 0.5 / rateHz;
  return { record, onRow: (row) => row[0]! <= lastS && onRow(row) };
}

// Of a tick. [common practice]
const rounding = 1e-6;

/**
 * What leaves every mouth, at a chosen rate, for whoever draws it. Flows are means over the interval that ends at `timeS`, so
 * that their sum times the interval is the mass that left; what flows back counts against what goes out. Speed, temperature
 * and pressure are means over the mass that went out, as it leaves the mouth; under a chimney the mouth is the blast
 * nozzle, before its steam mixes with the fire's gas. Where nothing went out they are those of what stands outside, at rest.
 *
 * Water is the share of droplets by the enthalpy that is carried: none where the exhaust is superheated. An engine on air
 * gives air and no vapour, and air among steam has a column of its own. A condensing engine has no mouth to the open and no columns but the time.
 *
 * @example
 * const plume = new PlumeRecord(machine.engine, 100);
 * // after every tick: if (plume.take()) write(plume.fillRow());
 */
export class PlumeRecord {
  /** `timeS`, then six of each mouth, counted from 1: `m1VapourKgPerS` and so on. */
  readonly columnNames: readonly string[];
  readonly mouthCount: number;

  private readonly row: Float64Array;
  /** Sums of the interval begun, for each mouth: mass, mass out, momentum, energy out, kinetic energy, pressure by mass, air. */
  private readonly sums: Float64Array;
  /** Those of the interval just closed. */
  private readonly closed: Float64Array;
  private readonly intervalS: number;
  private readonly stepS: number;
  private readonly stillK: number;
  private firstS = 0;
  private filledS = 0;
  private rows = 0;

  /** @param rateHz rows a second, 0.1 Hz to 1 kHz @throws RangeError outside */
  constructor(
    private readonly engine: Engine,
    rateHz: number,
  ) {
    requireWithin("PlumeRecord", "rateHz", rateHz, 0.1, 1000, " Hz");
    const { description } = engine;
    this.intervalS = 1 / rateHz;
    this.stepS = engine.plan.stepS;
    this.mouthCount = description.exhaust.condenser === null ? engine.network.mouths.length : 0;
    this.stillK = description.ambient.temperatureK;
    const names = ["VapourKgPerS", "WaterKgPerS", "AirKgPerS", "SpeedMPerS", "TemperatureK", "PressurePa"];
    this.columnNames = ["timeS"];
    for (let m = 1; m <= this.mouthCount; m++) {
      this.columnNames = [...this.columnNames, ...names.map((name) => `m${m}${name}`)];
    }
    this.row = new Float64Array(1 + columnsEach * this.mouthCount);
    this.sums = new Float64Array(sumsEach * this.mouthCount);
    this.closed = new Float64Array(sumsEach * this.mouthCount);
  }

  /** State only: the next tick begins at `timeS`. */
  reset(timeS = 0): void {
    this.firstS = timeS;
    this.filledS = 0;
    this.rows = 0;
    this.sums.fill(0);
  }

  /**
   * Takes what the mouths did in the tick just run. A tick that spans the end of an interval is shared between both.
   *
   * @returns whether an interval is full: then `fillRow` before the next tick
   */
  take(): boolean {
    const { intervalS, stepS } = this;
    const restS = intervalS - this.filledS;
    // A tick that ends with the interval but for rounding closes it.
    if (restS - stepS > rounding * stepS) {
      this.add(stepS);
      this.filledS += stepS;
      return false;
    }
    const shareS = Math.min(restS, stepS);
    this.add(shareS);
    this.closed.set(this.sums);
    this.sums.fill(0);
    this.add(stepS - shareS);
    this.filledS = stepS - shareS;
    this.rows++;
    return true;
  }

  /** The interval just closed, in the order of `columnNames`. The array is reused. For the rate of rows: works out states by IF97. */
  fillRow(): Float64Array {
    const { row, closed, intervalS, engine } = this;
    row[0] = this.firstS + this.rows * intervalS;
    const isSteam = engine.description.workingFluid === "steam";
    const outsidePa = engine.network.outsidePa;
    for (let m = 0; m < this.mouthCount; m++) {
      const from = sumsEach * m;
      const to = 1 + columnsEach * m;
      const massKg = closed[from]!;
      const outKg = closed[from + 1]!;
      const airKg = closed[from + 6]!;
      let speedMPerS = 0;
      let temperatureK = this.stillK;
      let pressurePa = outsidePa;
      let waterRatio = 0;
      if (outKg > 0) {
        speedMPerS = closed[from + 2]! / outKg;
        pressurePa = closed[from + 5]! / outKg;
        // What is carried is the enthalpy at rest; in motion the stream has that much less of its own.
        const enthalpyJPerKg = (closed[from + 3]! - closed[from + 4]!) / outKg;
        if (isSteam) {
          const state = steamPlumeState(pressurePa, enthalpyJPerKg, Math.min(1, Math.max(0, airKg / outKg)));
          temperatureK = state.temperatureK;
          waterRatio = state.waterRatio;
        } else temperatureK = stateFromPressureEnthalpy({ name: "air" }, pressurePa, enthalpyJPerKg).temperatureK;
      }
      const airKgPerS = (isSteam ? airKg : massKg) / intervalS;
      const steamKgPerS = massKg / intervalS - airKgPerS;
      const waterKgPerS = Math.max(0, waterRatio * steamKgPerS);
      row[to] = steamKgPerS - waterKgPerS;
      row[to + 1] = waterKgPerS;
      row[to + 2] = airKgPerS;
      row[to + 3] = speedMPerS;
      row[to + 4] = temperatureK;
      row[to + 5] = pressurePa;
    }
    return row;
  }

  private add(shareS: number): void {
    const { sums, engine, mouthCount } = this;
    const mouths: readonly PlumeMouth[] = engine.network.mouths;
    for (let m = 0; m < mouthCount; m++) {
      const mouth = mouths[m]!;
      const at = sumsEach * m;
      const massKg = mouth.massFlowKgPerS * shareS;
      sums[at] = sums[at]! + massKg;
      sums[at + 6] = sums[at + 6]! + (mouth.airFlowKgPerS ?? 0) * shareS;
      if (massKg > 0) {
        const speed = mouth.velocityMPerS;
        sums[at + 1] = sums[at + 1]! + massKg;
        sums[at + 2] = sums[at + 2]! + massKg * speed;
        sums[at + 3] = sums[at + 3]! + mouth.enthalpyFlowW * shareS;
        sums[at + 4] = sums[at + 4]! + 0.5 * massKg * speed * speed;
        sums[at + 5] = sums[at + 5]! + massKg * mouth.jetPressurePa;
      }
    }
  }
}
