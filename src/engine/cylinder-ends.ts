import { LEAST_AIR_RATIO, SteamAir, UNCOUNTED_AIR_RATIO } from "../steam/steam-air.js";
import { AIR_FLOW_EXPONENT, type WorkingFluid } from "../steam/working-fluid.js";

// Exponents only steer the middle of a tick's expansion; pressures themselves come from the tables.
// [source: Zeuner's exponent for wet steam about 1.13; dry vapour 1.3; air 1.4]
const wetExponent = 1.13;

// Where the search for a mixture's temperature begins. [common practice]
const startK = 350;

/** The gas in every cylinder end: mass, internal energy and air are the state, one place an end in every array. */
export class CylinderEnds {
  readonly massKg: Float64Array;
  readonly energyJ: Float64Array;
  /** Part of `massKg` that is air in steam; 0 where air is the working fluid. */
  readonly airKg: Float64Array;
  readonly volumeM3: Float64Array;
  readonly pressurePa: Float64Array;
  /** Pressure carried half a tick on: what the openings see. */
  readonly middlePa: Float64Array;
  /** Pressure at the end of the tick last integrated, by the gas law of that tick: what the iron feels there. */
  readonly reachedPa: Float64Array;
  readonly densityKgPerM3: Float64Array;
  readonly enthalpyJPerKg: Float64Array;
  readonly temperatureK: Float64Array;
  /** Share of air, 0 to 1; every flow out carries it. */
  readonly airRatio: Float64Array;
  /** 1 where the gas is wet, else 0. */
  readonly wet: Float64Array;
  /** Energy short of dry saturated steam, J/kg. */
  readonly wetJPerKg: Float64Array;
  /** Work done on the pistons since the last `clearWork`, J. */
  readonly workJ: Float64Array;
  /** Positive into the end; summed over a tick, cleared by `integrate`. */
  readonly massFlowKgPerS: Float64Array;
  readonly energyFlowW: Float64Array;
  readonly airFlowKgPerS: Float64Array;

  /** How often `middlePa` was held near the pressure itself, since construction or the first end's reset. */
  heldCount = 0;
  /** Length of a tick for `advance`. */
  stepS = 0.5;

  private readonly nearStep: Int32Array;
  private readonly previousPa: Float64Array;
  private readonly dryExponent: number;
  private readonly mixture: SteamAir;

  constructor(
    readonly count: number,
    private readonly fluid: WorkingFluid,
  ) {
    const array = () => new Float64Array(count);
    this.massKg = array();
    this.energyJ = array();
    this.airKg = array();
    this.volumeM3 = array();
    this.pressurePa = array();
    this.middlePa = array();
    this.reachedPa = array();
    this.densityKgPerM3 = array();
    this.enthalpyJPerKg = array();
    this.temperatureK = array();
    this.airRatio = array();
    this.wet = array();
    this.wetJPerKg = array();
    this.workJ = array();
    this.massFlowKgPerS = array();
    this.energyFlowW = array();
    this.airFlowKgPerS = array();
    this.previousPa = array();
    this.nearStep = new Int32Array(count).fill(-1);
    this.dryExponent = fluid.isentropicExponent;
    this.mixture = new SteamAir(fluid);
  }

  /** State only: one end filled with gas of the given state. @param airRatio share of air in steam, counted as mixed air */
  reset(index: number, volumeM3: number, densityKgPerM3: number, internalEnergyJPerKg: number, airRatio = 0): void {
    if (index === 0) this.heldCount = 0;
    this.volumeM3[index] = volumeM3;
    this.massKg[index] = densityKgPerM3 * volumeM3;
    this.energyJ[index] = this.massKg[index] * internalEnergyJPerKg;
    this.airKg[index] = this.massKg[index] * airRatio;
    this.massFlowKgPerS[index] = 0;
    this.energyFlowW[index] = 0;
    this.airFlowKgPerS[index] = 0;
    this.workJ[index] = 0;
    const { fluid, mixture } = this;
    const { answer } = fluid;
    fluid.lookup(densityKgPerM3, internalEnergyJPerKg);
    if (airRatio > UNCOUNTED_AIR_RATIO) {
      mixture.query[0] = densityKgPerM3;
      mixture.query[1] = internalEnergyJPerKg;
      mixture.query[2] = airRatio;
      mixture.query[3] = startK;
      mixture.look();
    }
    this.nearStep[index] = -1;
    this.pressurePa[index] = this.previousPa[index] = this.reachedPa[index] = answer[0]!;
    this.temperatureK[index] = answer[1]!;
  }

  /** Reads every end's pressure, temperature and enthalpy from its mass and energy. */
  observe(): void {
    const fluid = this.fluid;
    const { query, answer } = fluid;
    const mixedQuery = this.mixture.query;
    const nearStep = this.nearStep;
    for (let i = 0; i < this.count; i++) {
      const mass = this.massKg[i]!;
      const density = mass / this.volumeM3[i]!;
      const internal = this.energyJ[i]! / mass;
      // Written so that what is no more than rounding is left behind, on either side of nothing.
      const airRatio = this.airKg[i]! > LEAST_AIR_RATIO * mass ? this.airKg[i]! / mass : 0;
      if (airRatio === 0) this.airKg[i] = 0;
      fluid.nearStep = nearStep[i]!;
      if (airRatio > UNCOUNTED_AIR_RATIO) {
        mixedQuery[0] = density;
        mixedQuery[1] = internal;
        mixedQuery[2] = airRatio;
        mixedQuery[3] = this.temperatureK[i]!;
        this.mixture.look();
      } else {
        query[0] = density;
        query[1] = internal;
        fluid.look();
      }
      nearStep[i] = fluid.nearStep;
      const p = answer[0]!;
      const last = this.pressurePa[i]!;
      this.previousPa[i] = last;
      this.pressurePa[i] = p;
      // The half-tick extrapolation is bounded so that a sudden opening cannot throw it past zero.
      const half = 0.5 * (p - last);
      const bound = 0.5 * p;
      if (half > bound || half < -bound) this.heldCount++;
      this.middlePa[i] = p + (half > bound ? bound : half < -bound ? -bound : half);
      this.densityKgPerM3[i] = density;
      this.enthalpyJPerKg[i] = internal + p / density;
      this.temperatureK[i] = answer[1]!;
      this.airRatio[i] = airRatio;
      this.wet[i] = fluid.isWet;
      this.wetJPerKg[i] = answer[2]!;
    }
  }

  /** Positive into the end. */
  addFlow(index: number, massFlowKgPerS: number, enthalpyFlowW: number, airFlowKgPerS = 0): void {
    this.massFlowKgPerS[index] = this.massFlowKgPerS[index]! + massFlowKgPerS;
    this.energyFlowW[index] = this.energyFlowW[index]! + enthalpyFlowW;
    this.airFlowKgPerS[index] = this.airFlowKgPerS[index]! + airFlowKgPerS;
  }

  /** Expands every end to its next volume with the flows added; work, mass and energy close exactly. */
  integrate(stepS: number, nextVolumeM3: Float64Array): void {
    this.stepS = stepS;
    this.advance(nextVolumeM3);
  }

  /** The same over `stepS` as it stands. */
  advance(nextVolumeM3: Float64Array): void {
    const { stepS } = this;
    for (let i = 0; i < this.count; i++) {
      const steamExponent = this.wet[i]! > 0 ? wetExponent : this.dryExponent;
      const exponent = steamExponent + this.airRatio[i]! * (AIR_FLOW_EXPONENT - steamExponent);
      const mass = this.massKg[i]!;
      const volume = this.volumeM3[i]!;
      const next = nextVolumeM3[i]!;
      const ratio = (next - volume) / (0.5 * (next + volume));
      const a = 0.5 * (exponent - 1) * ratio;
      // Near this state the gas behaves as p V = (exponent - 1)(U - m datum).
      const datum = (this.energyJ[i]! - (this.pressurePa[i]! * volume) / (exponent - 1)) / mass;
      const before = this.energyJ[i]! - mass * datum;
      const massFlow = this.massFlowKgPerS[i]!;
      const after = (before * (1 - a) + (this.energyFlowW[i]! - massFlow * datum) * stepS) / (1 + a);
      const nextMass = mass + massFlow * stepS;
      this.workJ[i] = this.workJ[i]! + a * (before + after);
      this.reachedPa[i] = ((exponent - 1) * after) / next;
      this.massKg[i] = nextMass;
      this.energyJ[i] = after + nextMass * datum;
      this.volumeM3[i] = next;
      this.massFlowKgPerS[i] = 0;
      this.energyFlowW[i] = 0;
      const airFlow = this.airFlowKgPerS[i]!;
      if (airFlow !== 0) {
        this.airKg[i] = this.airKg[i]! + airFlow * stepS;
        this.airFlowKgPerS[i] = 0;
      }
    }
  }
}
