import { UNFLANGED_END_CORRECTION_RATIO } from "../quantities/constants.js";
import { pow } from "../quantities/portable-maths.js";
import type { ExhaustGas } from "./exhaust-gas.js";
import type { FiniteVolumePipe } from "./finite-volume-pipe.js";

/** What lies outside a mouth. */
export interface MouthSurroundings {
  readonly pressurePa: number;
  /** Gas outside that pushes back on the jet: density and speed of sound. */
  readonly densityKgPerM3: number;
  readonly soundSpeedMPerS: number;
  /** What the pipe draws in when flow reverses: density and real enthalpy. */
  readonly inflowDensityKgPerM3: number;
  readonly inflowEnthalpyJPerKg: number;
  /** Share of air in what a steam machine draws in: 1 from the open, 0 from a condenser; 0 where air is the fluid. */
  readonly inflowAirRatio: number;
  /** False where the pipe ends in a condenser: no air to push. */
  readonly radiates: boolean;
}

// Radiation load of an unflanged opening as a mass and a resistance side by side, good to ka of about 1: low-frequency
// end correction, and the resistance that meets the plane-wave load above.
// [source: Levine & Schwinger, Phys. Rev. 73 (1948); resistance factor 1.5045 from memory]
const radiationResistanceRatio = 1.5045;

// Interpolated over 64 steps the expansion is right to 1e-5.
const expansionSteps = 64;

/** The open end of a pipe: outflow as a jet at the outside pressure or choked, inflow from rest, radiation load implicit. */
export class Mouth {
  readonly areaM2: number;
  /** Out of the pipe. */
  massFlowKgPerS = 0.5;
  /** Volume flow at the outside pressure (a choked jet expanded). */
  volumeFlowM3PerS = 0.5;
  velocityMPerS = 0.5;
  /** Pressure at which the jet leaves: that outside, and more where the mouth is choked. Waves outside are left out. */
  jetPressurePa = 0.5;
  pressurePa = 0.5;
  densityKgPerM3 = 0.5;
  /** Real enthalpy carried out, W, and the latent part of it. */
  enthalpyFlowW = 0.5;
  latentFlowW = 0.5;
  airFlowKgPerS = 0.5;
  /** Outside pressure above `surroundings.pressurePa` at the start of the tick (a smokebox's), set by the owner. */
  outsideRisePa = 0.5;
  /** Times that the pressure or density at the mouth would have fallen out of all reason and was held. */
  flooredCount = 0;
  /** What the mouth pushes outside, per unit of its velocity: a mass and, side by side with it, a resistance; 0 for none. */
  readonly loadMassKgPerM2: number;
  readonly loadResistancePaSPerM: number;

  private lagVelocity = 0.5;
  private readonly expansions: Float64Array;
  private readonly doublingExpansion: number;
  private readonly loadX: number;
  private readonly loadImpedance: number;
  private readonly inflowPipeEnthalpy: number;

  /** @param boxPaSPerM rise of the outside pressure over one tick per unit of mouth velocity (a smokebox's), else 0 */
  constructor(
    private readonly pipe: FiniteVolumePipe,
    private readonly gas: ExhaustGas,
    private readonly surroundings: MouthSurroundings,
    stepS: number,
    private readonly boxPaSPerM: number,
  ) {
    this.areaM2 = pipe.rightAreaM2;
    const radiusM = Math.sqrt(this.areaM2 / Math.PI);
    const { radiates, densityKgPerM3, soundSpeedMPerS } = surroundings;
    this.loadMassKgPerM2 = radiates ? UNFLANGED_END_CORRECTION_RATIO * densityKgPerM3 * radiusM : 0;
    this.loadResistancePaSPerM = radiates ? radiationResistanceRatio * densityKgPerM3 * soundSpeedMPerS : 0;
    const x = radiates ? (stepS * this.loadResistancePaSPerM) / this.loadMassKgPerM2 : 0;
    this.loadX = x / (1 + x);
    this.loadImpedance = this.loadResistancePaSPerM / (1 + x);
    const exponent = 1 / gas.gas.isentropicExponent;
    this.expansions = Float64Array.from({ length: expansionSteps + 1 }, (_, i) =>
      pow(1 + i / expansionSteps, exponent),
    );
    this.doublingExpansion = pow(2, exponent);
    // Air keeps its specific volume in the pipe, whatever gas stands for it there.
    const inflowWork = surroundings.pressurePa / surroundings.inflowDensityKgPerM3;
    this.inflowPipeEnthalpy =
      surroundings.inflowAirRatio > 0
        ? (inflowWork * gas.gas.isentropicExponent) / (gas.gas.isentropicExponent - 1)
        : gas.pipeEnthalpyFor(surroundings.inflowEnthalpyJPerKg);
    this.airFlowKgPerS = 0;
    // Begun with halves, the fields hold doubles for good.
    this.massFlowKgPerS =
      this.volumeFlowM3PerS =
      this.velocityMPerS =
      this.jetPressurePa =
      this.pressurePa =
      this.densityKgPerM3 =
      this.enthalpyFlowW =
      this.latentFlowW =
      this.outsideRisePa =
      this.lagVelocity =
        0;
  }

  /** State only: settled at a steady velocity. */
  reset(velocityMPerS: number): void {
    this.lagVelocity = velocityMPerS;
    this.velocityMPerS = velocityMPerS;
    this.massFlowKgPerS = this.volumeFlowM3PerS = this.enthalpyFlowW = this.latentFlowW = this.airFlowKgPerS = 0;
    this.pressurePa = this.jetPressurePa = this.surroundings.pressurePa;
    this.densityKgPerM3 = this.pipe.rightDensity;
    this.outsideRisePa = 0;
    this.flooredCount = 0;
  }

  /** Solves the opening and closes the pipe's right end. */
  process(): void {
    const pipe = this.pipe;
    const g = this.gas.gas.isentropicExponent;
    const area = this.areaM2;
    const z = pipe.rightImpedance;
    const cellPa = pipe.rightPressurePa;
    const cellDensity = pipe.rightDensity;
    const arrival = pipe.rightArrivalPa;
    const load = this.loadImpedance;
    const outsidePa = this.surroundings.pressurePa + this.outsideRisePa - load * this.lagVelocity;
    const zLoaded = z + load + this.boxPaSPerM;
    let u = (arrival - outsidePa) / zLoaded;
    let facePa: number;
    let mass: number;
    let energyW: number;
    let latentW: number;
    let excessPa = 0;
    if (u >= 0) {
      const cellU = (arrival - cellPa) / z;
      const c = z / cellDensity;
      const sonic = ((g - 1) / (g + 1)) * (cellU + (2 * c) / (g - 1));
      facePa = arrival - z * u;
      let expansion = 1;
      if (u > sonic) {
        const least = this.surroundings.pressurePa + this.outsideRisePa;
        const own = pipe.rightVelocityMPerS;
        if (own <= c) {
          u = sonic;
          facePa = Math.max(cellPa - z * (u - cellU), least);
        } else {
          // Supersonic within: the outside is felt only by a normal shock strong enough to walk in.
          // [source: normal-shock relation, gas-dynamics textbook form]
          const machSquare = (own * own) / (c * c);
          const walksIn = cellPa * (1 + ((2 * g) / (g + 1)) * (machSquare - 1)) < least;
          u = walksIn ? Math.min(u, own) : own;
          facePa = walksIn ? least : cellPa;
        }
        // What the radiation load adds belongs to the outside, as it does below the speed of sound.
        const beyondPa = Math.max(least, outsidePa + (load + this.boxPaSPerM) * u);
        if (facePa > beyondPa) {
          expansion = this.expansionOf(facePa / beyondPa);
          excessPa = facePa - beyondPa;
        }
      }
      let density = cellDensity + pipe.rightCompressibility * (facePa - cellPa);
      if (density < 0.1 * cellDensity) {
        density = 0.1 * cellDensity;
        this.flooredCount++;
      }
      mass = area * density * u;
      energyW = u * ((area * g * facePa) / (g - 1) + 0.5 * mass * u);
      latentW = mass * (this.gas.latentJPerKg + pipe.air.rightRatio * this.gas.airLatentRiseJPerKg);
      this.airFlowKgPerS = mass * pipe.air.rightRatio;
      this.densityKgPerM3 = density;
      this.volumeFlowM3PerS = u * area * expansion;
    } else {
      const inflowDensity = this.surroundings.inflowDensityKgPerM3;
      const root = zLoaded * zLoaded - 2 * inflowDensity * (arrival - outsidePa);
      u = (zLoaded - Math.sqrt(Math.max(root, 0))) / inflowDensity;
      const soundSpeed = Math.sqrt((g * this.surroundings.pressurePa) / inflowDensity);
      if (u < -soundSpeed) u = -soundSpeed;
      facePa = arrival - z * u;
      if (facePa < 0.1 * this.surroundings.pressurePa) {
        facePa = 0.1 * this.surroundings.pressurePa;
        this.flooredCount++;
      }
      mass = area * inflowDensity * u;
      energyW = mass * this.inflowPipeEnthalpy;
      this.airFlowKgPerS = mass * this.surroundings.inflowAirRatio;
      latentW = mass * (this.surroundings.inflowEnthalpyJPerKg - this.inflowPipeEnthalpy);
      this.densityKgPerM3 = inflowDensity;
      this.volumeFlowM3PerS = u * area;
    }
    this.lagVelocity += this.loadX * (u - this.lagVelocity);
    this.massFlowKgPerS = mass;
    this.velocityMPerS = u;
    this.jetPressurePa = this.surroundings.pressurePa + excessPa;
    this.pressurePa = facePa;
    this.latentFlowW = latentW;
    this.enthalpyFlowW = energyW + latentW;
    pipe.air.rightKgPerS = this.airFlowKgPerS;
    pipe.closeRight(mass, u, facePa, energyW);
  }

  // Volume at the outside pressure over that at the mouth's, isentropic: ratio^(1/g), from a table over 1 to 2 and doublings.
  private expansionOf(pressureRatio: number): number {
    let ratio = Math.max(pressureRatio, 1e-3);
    let expansion = 1;
    for (; ratio > 2; ratio *= 0.5) expansion *= this.doublingExpansion;
    for (; ratio < 1; ratio *= 2) expansion /= this.doublingExpansion;
    const at = (ratio - 1) * expansionSteps;
    const i = at < expansionSteps - 1 ? at | 0 : expansionSteps - 1;
    const low = this.expansions[i]!;
    return expansion * (low + (at - i) * (this.expansions[i + 1]! - low));
  }
}
