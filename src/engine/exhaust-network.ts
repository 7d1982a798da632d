import { DraughtBox } from "../flow/draught-box.js";
import type { ExhaustGas } from "../flow/exhaust-gas.js";
import { FiniteVolumePipe } from "../flow/finite-volume-pipe.js";
import { Junction } from "../flow/junction.js";
import { Mouth, type MouthSurroundings } from "../flow/mouth.js";
import { PortEnd, type Ports } from "../flow/port-end.js";
import { lastStageOf } from "../gear/stages.js";
import { wallDragRatio } from "../flow/wall-drag.js";
import { FLANGED_END_CORRECTION_RATIO, UNFLANGED_END_CORRECTION_RATIO } from "../quantities/constants.js";
import type { EngineDescription, PipeDescription } from "./engine-description.js";
import { cellCountFor, designWaveSpeedMPerS, type TickPlan } from "./tick-plan.js";

/** Darcy friction factor of commercial iron pipe at the Reynolds numbers of exhausts. [common practice] */
export const pipeFrictionFactor = 0.02;
// Smokebox gas: products of combustion with steam, near air. [common practice]
const smokeboxGasConstant = 287;
const smokeboxExponent = 1.38;
/**
 * Volume that goes up the chimney for each volume of steam: about 1.7 kg of fire gas to a kilogram of steam, of nearly the
 * same specific volume. The chimney's flow loss and its noise use it. [common practice: 13 kg of gas from a kilogram of coal, 7.5 kg of steam]
 */
export const chimneyFlowRatio = 2.7;

/** All pipes from the cylinder ports to the open air or the condenser, wired as the machine file names them. */
export class ExhaustNetwork {
  readonly pipes: readonly FiniteVolumePipe[];
  readonly portEnds: readonly PortEnd[];
  readonly mouths: readonly Mouth[];
  /** Bore of one mouth, m. */
  readonly mouthBoreM: number;
  readonly box: DraughtBox | null;
  /** Mass in all pipes, kg, carried along with the flows. */
  massKg = 0.5;
  /** Latent energy in all pipes, J. */
  latentJ = 0.5;
  /** Air in all pipes of a steam machine, kg, carried along with the flows. */
  airKg = 0.5;
  /** Whether there was any, or any came, in the last tick. */
  holdsAir = true;

  /** True where the first pipes meet in a last one; otherwise every pipe has a mouth of its own. */
  readonly hasJunction: boolean;

  private readonly junction: Junction | null;

  constructor(
    private readonly description: EngineDescription,
    private readonly gas: ExhaustGas,
    plan: TickPlan,
    private readonly stepS: number,
    ports: Ports,
    fluidExponent: number,
    private readonly surroundings: MouthSurroundings,
    stubBoreM: number,
  ) {
    const { exhaust, idealised, gear } = description;
    const speed = designWaveSpeedMPerS(description);
    const makePipe = (lengthM: number, boreM: number, nozzle: { boreM: number; contractionM: number } | null) => {
      const length = Math.max(lengthM, plan.leastLengthM);
      return new FiniteVolumePipe(
        {
          lengthM: length,
          boreM,
          mouthBoreM: nozzle?.boreM ?? 0,
          contractionM: nozzle?.contractionM ?? 0,
          cellCount: cellCountFor(length, speed, stepS),
          stepS,
          frictionFactor: idealised ? 0 : pipeFrictionFactor,
          dragRatio: idealised ? 0 : wallDragRatio(length, boreM, gas.gas, description.ambient.pressurePa, stepS),
        },
        gas.gas,
      );
    };
    const { passage, blastPipe, nozzle } = exhaust;
    // With no pipe named at all the ports open through a stub as short as the pipe model resolves.
    const first = passage ?? (blastPipe === null ? { lengthM: plan.leastLengthM, boreM: stubBoreM } : null);
    const passages =
      first === null
        ? []
        : Array.from({ length: lastStageOf(gear).cylinderCount }, () =>
            makePipe(first.lengthM, first.boreM, blastPipe === null ? nozzle : null),
          );
    const blast = blastPipe === null ? null : makePipe(blastPipe.lengthM, blastPipe.boreM, nozzle);
    this.pipes = blast === null ? passages : [...passages, blast];
    const portCount = ports.areaM2.length;
    const portsEach = passages.length > 0 ? portCount / passages.length : portCount;
    this.portEnds = (passages.length > 0 ? passages : [blast!]).map(
      (pipe, k) => new PortEnd(pipe, gas, ports, k * portsEach, portsEach, fluidExponent, stepS),
    );
    this.junction = blast !== null && passages.length > 0 ? new Junction(passages, blast, gas.gas) : null;
    this.hasJunction = this.junction !== null;
    const open = blast === null ? passages : [blast];
    const mouthAreaM2 = open[0]!.rightAreaM2;
    this.mouthBoreM = Math.sqrt((4 * mouthAreaM2) / Math.PI);
    this.box = this.makeBox();
    const boxRise = this.box === null ? 0 : 0.5 * this.box.risePerFlowPaSPerM3 * mouthAreaM2;
    this.mouths = open.map((pipe) => new Mouth(pipe, gas, surroundings, stepS, boxRise));
    // Begun with halves, the fields hold doubles for good.
    this.massKg = this.latentJ = 0;
  }

  /**
   * State only: every pipe at rest at the outside pressure with the working fluid of a real enthalpy, or with air.
   * @param airK temperature of the air among a steam machine's pipes; 0 for the working fluid alone
   */
  reset(pressurePa: number, enthalpyJPerKg: number, airK = 0): void {
    const pipeEnthalpy = airK > 0 ? this.gas.airPipeEnthalpy(airK) : this.gas.pipeEnthalpyFor(enthalpyJPerKg);
    const temperatureK = pipeEnthalpy / this.gas.gas.specificHeatJPerKgK;
    this.massKg = 0;
    for (const pipe of this.pipes) {
      pipe.reset(pressurePa, temperatureK, 0);
      if (airK > 0) pipe.air.reset(1);
      this.massKg += pipe.massKg();
    }
    this.latentJ = this.massKg * (enthalpyJPerKg - pipeEnthalpy);
    this.airKg = airK > 0 ? this.massKg : 0;
    this.shareLatent();
    for (const end of this.portEnds) end.reset();
    this.junction?.reset();
    for (const mouth of this.mouths) mouth.reset(0);
    this.box?.reset();
  }

  /** One tick, once the port ends have been told the state behind their ports. */
  process(): void {
    const pipes = this.pipes;
    for (let i = 0; i < pipes.length; i++) pipes[i]!.process();
    let massFlow = 0;
    let latentFlow = 0;
    let airFlow = 0;
    for (let i = 0; i < this.portEnds.length; i++) {
      const end = this.portEnds[i]!;
      end.process();
      massFlow += end.totalFlowKgPerS;
      latentFlow += end.latentFlowW;
      airFlow += end.air.flowKgPerS;
    }
    if (this.junction !== null) this.junction.process();
    const rise = this.box === null ? 0 : this.box.risePa;
    let volumeFlow = 0;
    for (let i = 0; i < this.mouths.length; i++) {
      const mouth = this.mouths[i]!;
      mouth.outsideRisePa = rise;
      mouth.process();
      massFlow -= mouth.massFlowKgPerS;
      latentFlow -= mouth.latentFlowW;
      airFlow -= mouth.airFlowKgPerS;
      volumeFlow += mouth.volumeFlowM3PerS;
    }
    if (this.box !== null) {
      this.box.inflowM3PerS = volumeFlow;
      this.box.advance();
    }
    this.massKg += massFlow * this.stepS;
    this.latentJ += latentFlow * this.stepS;
    this.holdsAir = airFlow !== 0 || this.airKg !== 0;
    if (this.holdsAir) this.carryAir(airFlow);
    this.shareLatent();
  }

  /** Mass in the pipes by their cells, kg. */
  cellMassKg(): number {
    return this.pipes.reduce((sum, pipe) => sum + pipe.massKg(), 0);
  }

  /** Air in a steam machine's pipes by their cells, kg. */
  cellAirKg(): number {
    return this.pipes.reduce((sum, pipe) => sum + pipe.airKg(), 0);
  }

  /** Energy in the pipes, latent share included, J. */
  energyJ(): number {
    return this.pipes.reduce((sum, pipe) => sum + pipe.energyJ(), this.latentJ);
  }

  /** Isentropic exponent of the pipes' gas. */
  get isentropicExponent(): number {
    return this.gas.gas.isentropicExponent;
  }

  /** Pressure outside the mouths, Pa. */
  get outsidePa(): number {
    return this.surroundings.pressurePa;
  }

  /** Density outside the mouths over that of the pipes' gas, as sound meets it: at the outside pressure. */
  outsideDensityRatio(): number {
    const { densityKgPerM3, pressurePa } = this.surroundings;
    const c = this.meanSoundSpeedMPerS();
    return (densityKgPerM3 * c * c) / (this.gas.gas.isentropicExponent * pressurePa);
  }

  /** Speed of sound of the pipes' gas at its mean temperature, m/s. */
  meanSoundSpeedMPerS(): number {
    const k = this.gas.gas.isentropicExponent;
    // Thermal energy is p V / (k - 1); the pipes' own motion is a small part of it.
    const thermalJ = this.pipes.reduce((sum, pipe) => sum + pipe.energyJ(), 0);
    return Math.sqrt((k * (k - 1) * thermalJ) / this.cellMassKg());
  }

  /**
   * Ticks in which a pipe was held from a negative pressure, outran its cells, a port flow was held, an end's pressure or
   * density was held from falling out of all reason, or the junction choked.
   */
  troubleCounts(): { rescued: number; overrun: number; held: number; floored: number; choked: number } {
    return {
      rescued: this.pipes.reduce((sum, pipe) => sum + pipe.rescueCount, 0),
      overrun: this.pipes.reduce((sum, pipe) => sum + pipe.overrunCount, 0),
      held: this.portEnds.reduce((sum, end) => sum + end.heldCount, 0),
      floored:
        this.portEnds.reduce((sum, end) => sum + end.flooredCount, 0) +
        this.mouths.reduce((sum, mouth) => sum + mouth.flooredCount, this.junction?.flooredCount ?? 0),
      choked: this.junction?.chokedCount ?? 0,
    };
  }

  private carryAir(airFlowKgPerS: number): void {
    this.junction?.processAir();
    let isAbsent = true;
    for (let i = 0; i < this.pipes.length; i++) {
      const { air } = this.pipes[i]!;
      air.process();
      if (!air.isAbsent) isAbsent = false;
    }
    this.airKg = isAbsent ? 0 : this.airKg + airFlowKgPerS * this.stepS;
  }

  private shareLatent(): void {
    this.gas.latentJPerKg = (this.latentJ - this.airKg * this.gas.airLatentRiseJPerKg) / this.massKg;
  }

  private makeBox(): DraughtBox | null {
    const { smokebox, chimney } = this.description.exhaust;
    if (smokebox === null || chimney === null) return null;
    const pressurePa = this.description.ambient.pressurePa;
    const density = smokeboxDensityKgPerM3(pressurePa, smokebox.temperatureK);
    const radiusM = 0.5 * chimney.boreM;
    return new DraughtBox(
      this.stepS,
      smokebox.volumeM3,
      smokeboxExponent * pressurePa,
      Math.PI * radiusM * radiusM,
      effectiveChimneyLengthM(chimney),
      density,
      this.description.idealised ? 0 : chimneyFlowRatio,
    );
  }
}

/** Length of a chimney with both its end corrections: one end in the smokebox's wall, one free; m. */
export function effectiveChimneyLengthM({ lengthM, boreM }: PipeDescription): number {
  return lengthM + 0.5 * boreM * (FLANGED_END_CORRECTION_RATIO + UNFLANGED_END_CORRECTION_RATIO);
}

/** Density of smokebox gas, kg/m3. */
export function smokeboxDensityKgPerM3(pressurePa: number, temperatureK: number): number {
  return pressurePa / (smokeboxGasConstant * temperatureK);
}

/** Speed of sound of smokebox gas, m/s. */
export function smokeboxSoundSpeedMPerS(temperatureK: number): number {
  return Math.sqrt(smokeboxExponent * smokeboxGasConstant * temperatureK);
}
