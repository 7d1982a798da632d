import type { WallGas } from "./acoustics.js";
import { FLANGED_END_CORRECTION_RATIO } from "../quantities/constants.js";
import { AIR_AT_WALL, wallLossNpPerM } from "./acoustics.js";
import { DelayLine, LEAST_DELAY_SAMPLES } from "./delay-line.js";
import { RadiationFilter } from "./radiation-filter.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";
import { WallLoss } from "./wall-loss.js";

/** Slowest sound that a chimney keeps room for, m/s: air at -150 °C and some to spare. [common practice] */
export const LEAST_CHIMNEY_SOUND_SPEED_M_PER_S = 150;

/** Fastest sound that a chimney is made for, m/s: steam at 550 °C. [common practice] */
export const GREATEST_CHIMNEY_SOUND_SPEED_M_PER_S = 700;

// Keeps a flow that dies away from crawling through denormal numbers.
const FLOOR = 1e-30;
const RUN_SAMPLES = 128;
// What walls take from a wave on its way up, at the lowest resonance, below which they are left out: 0.03 dB. [common practice]
const LEAST_LOSS_NP = 0.004;

/** A smokebox and the chimney on it. */
export interface ChimneyShape {
  /** 1 mm3 to 1000 m3. */
  readonly smokeboxVolumeM3: number;
  /** From the smokebox to the top, 1 mm to 100 m. */
  readonly lengthM: number;
  /** 1 mm to 5 m. */
  readonly boreM: number;
  /** Added length at the foot, per radius, 0 to 2. Default: an end in a flat wall. */
  readonly footEndCorrectionRatio?: number;
  /** 1: smooth walls (default); 0: no wall loss; above 1: rough. 0 to 100. */
  readonly wallLossRatio?: number;
  /**
   * Way for the smokebox's gas through the boiler's tubes to the fire: resistance in units of rho c / chimney area, 0.001 to
   * 1000, and the time in which flow through it follows the pressure. Default: none, the smokebox is shut.
   */
  readonly tubes?: { readonly resistanceRatio: number; readonly lagS: number };
  /** Viscosity, isentropic exponent and Prandtl number at the wall. Default: air at 20 °C. */
  readonly wallGas?: Pick<WallGas, "viscosityPaS" | "isentropicExponentRatio" | "prandtlRatio">;
}

/**
 * Smokebox as a compliance and the chimney above it as a linear waveguide: volume flow into the smokebox (the nozzle's)
 * to volume flow out of the chimney's mouth, both in m3/s, positive outwards. A steady flow passes unchanged, but for what tubes let back.
 *
 * Waves are flow waves (flow = up - down), so a change of the gas leaves the steady flow alone. Passive at every setting.
 * Gas that the blast draws in with it, and sound carried faster down the stream than up, are left out. A chimney whose
 * one-way delay could fall below two samples is a lump of gas with the same ends instead (`isLumped`).
 *
 * @example
 * const chimney = new Chimney(48000, { smokeboxVolumeM3: 3, lengthM: 1.2, boreM: 0.4 });
 * chimney.setGas(0.6, 480);
 * chimney.reset(steadyFlow);
 * chimney.process(nozzleFlow, mouthFlow, 128);
 */
export class Chimney {
  /** Travelling up the chimney is part of the sound, not a delay to take out. */
  readonly delaySamples = 0;
  /** True where the chimney is too short for a waveguide at this rate. */
  readonly isLumped: boolean;
  private readonly sampleRateHz: number;
  private readonly radiusM: number;
  private readonly lengthM: number;
  private readonly smokeboxVolumeM3: number;
  private readonly wallLossRatio: number;
  // Flow through the tubes takes this share of (pressure / resistance - flow) in a sample.
  private readonly tubeShare: number;
  private readonly tubeConductance: number;
  private readonly gas: { -readonly [K in keyof WallGas]: WallGas[K] };
  private readonly up: DelayLine;
  private readonly down: DelayLine;
  private readonly wallUp: WallLoss;
  private readonly wallDown: WallLoss;
  private readonly mouth: RadiationFilter;
  // Waves of one run.
  private readonly atFoot = new Float64Array(RUN_SAMPLES);
  private readonly atMouth = new Float64Array(RUN_SAMPLES);
  // Half a sample over the filling time of the smokebox, and over the transit time of the chimney.
  private fillShare = 0;
  private hasWallLoss = false;
  private transitShare = 0;
  private flowLossRatio = 0;
  // Pressures in units of rho c / area, so that they are m3/s too.
  private vesselPressure = 0;
  private lastDrive = 0;
  private lastFlow = 0;
  private lastMouthPressure = 0;
  private lastDirect = 0;
  private tubeFlow = 0;

  /** Starts with air at 20 °C. @throws RangeError for a rate outside 8 to 768 kHz or a shape outside its ranges. */
  constructor(sampleRateHz: number, shape: ChimneyShape) {
    const where = "Chimney";
    this.sampleRateHz = requireSampleRateHz(where, sampleRateHz);
    const volume = shape.smokeboxVolumeM3;
    this.smokeboxVolumeM3 = requireWithin(where, "smokeboxVolumeM3", volume, 1e-9, 1000, " m3");
    requireWithin(where, "lengthM", shape.lengthM, 1e-3, 100, " m");
    this.radiusM = requireWithin(where, "boreM", shape.boreM, 1e-3, 5, " m") / 2;
    const footRatio = shape.footEndCorrectionRatio ?? FLANGED_END_CORRECTION_RATIO;
    requireWithin(where, "footEndCorrectionRatio", footRatio, 0, 2, "");
    this.wallLossRatio = requireWithin(where, "wallLossRatio", shape.wallLossRatio ?? 1, 0, 100, "");
    const { resistanceRatio, lagS } = shape.tubes ?? { resistanceRatio: 1, lagS: 1 };
    requireWithin(where, "tubes.resistanceRatio", resistanceRatio, 1e-3, 1e3, "");
    requireWithin(where, "tubes.lagS", lagS, 1e-6, 10, " s");
    this.tubeConductance = shape.tubes === undefined ? 0 : 1 / resistanceRatio;
    this.tubeShare = 1 / (1 + lagS * sampleRateHz);
    this.gas = { ...AIR_AT_WALL, ...shape.wallGas };
    this.lengthM = shape.lengthM + footRatio * this.radiusM;
    const perSpeed = this.lengthM * sampleRateHz;
    this.isLumped = perSpeed / GREATEST_CHIMNEY_SOUND_SPEED_M_PER_S < LEAST_DELAY_SAMPLES;
    const room = Math.max(LEAST_DELAY_SAMPLES, perSpeed / LEAST_CHIMNEY_SOUND_SPEED_M_PER_S);
    this.up = new DelayLine(room);
    this.down = new DelayLine(room);
    this.wallUp = new WallLoss(sampleRateHz);
    this.wallDown = new WallLoss(sampleRateHz);
    this.mouth = new RadiationFilter(sampleRateHz, this.radiusM, AIR_AT_WALL.soundSpeedMPerS);
    this.setGas(AIR_AT_WALL.densityKgPerM3, AIR_AT_WALL.soundSpeedMPerS);
    this.reset();
  }

  /**
   * Settings only: gas in smokebox and chimney. The delay slides to it.
   *
   * @throws RangeError for a density outside 0.01 to 100 kg/m3 or a sound speed outside 150 to 700 m/s.
   */
  setGas(densityKgPerM3: number, soundSpeedMPerS: number): void {
    const least = LEAST_CHIMNEY_SOUND_SPEED_M_PER_S;
    const greatest = GREATEST_CHIMNEY_SOUND_SPEED_M_PER_S;
    requireWithin("Chimney", "densityKgPerM3", densityKgPerM3, 0.01, 100, " kg/m3");
    requireWithin("Chimney", "soundSpeedMPerS", soundSpeedMPerS, least, greatest, " m/s");
    // Locals: a number that is handed to several calls is then allocated once.
    const radiusM = this.radiusM;
    const area = Math.PI * radiusM * radiusM;
    const perSample = soundSpeedMPerS / this.sampleRateHz;
    this.fillShare = (0.5 * area * perSample) / this.smokeboxVolumeM3;
    this.transitShare = (0.5 * perSample) / this.lengthM;
    this.mouth.setMouth(radiusM, soundSpeedMPerS);
    if (this.isLumped) return;
    const delaySamples = this.lengthM / perSample;
    this.up.setDelaySamples(delaySamples);
    this.down.setDelaySamples(delaySamples);
    // Right from the stopped pipe's first resonance up.
    const lowestHz = soundSpeedMPerS / (4 * this.lengthM);
    this.gas.densityKgPerM3 = densityKgPerM3;
    this.gas.soundSpeedMPerS = soundSpeedMPerS;
    const lossNp = Math.min(10, this.wallLossRatio * this.lengthM * wallLossNpPerM(lowestHz, radiusM, this.gas));
    this.hasWallLoss = lossNp > LEAST_LOSS_NP;
    this.wallUp.setLoss(lowestHz, lossNp);
    this.wallDown.setLoss(lowestHz, lossNp);
  }

  /**
   * Settings only. Head that the mean flow loses at the mouth, as a resistance in units of rho c / area: the Mach number of
   * the mean flow for one velocity head. It damps the smokebox's slow swing. 0 (default) to 10. @throws RangeError outside.
   */
  setFlowLossRatio(flowLossRatio: number): void {
    this.mouth.setFlowLossRatio(flowLossRatio);
    this.flowLossRatio = flowLossRatio;
  }

  /** State only: settled, with this flow passing through. */
  reset(volumeFlowM3PerS = 0): void {
    // Flow out of the mouth: what the lost head does not send back through the tubes.
    const outflow = volumeFlowM3PerS / (1 + this.tubeConductance * this.flowLossRatio);
    const lost = this.flowLossRatio * outflow;
    const up = (outflow + lost) / 2;
    const down = up - outflow;
    this.up.reset(up);
    this.down.reset(down);
    this.wallUp.reset(up);
    this.wallDown.reset(down);
    this.mouth.reset(outflow);
    this.vesselPressure = lost;
    this.tubeFlow = this.tubeConductance * lost;
    this.lastDrive = outflow + (this.isLumped ? 0 : 2 * down);
    this.lastFlow = outflow;
    this.lastMouthPressure = lost;
    this.lastDirect = 0;
  }

  /**
   * Flow into the smokebox to flow out of the mouth, m3/s. `outflow` may be `inflow`. `direct`: pressure at the foot beside
   * the smokebox's own, as a wave straight from the nozzle brings it, in units of rho c / area.
   */
  process(inflow: Float64Array, outflow: Float64Array, frameCount: number, direct: Float64Array | null = null): void {
    if (this.isLumped) this.processLump(inflow, outflow, frameCount, direct);
    else this.processWaves(inflow, outflow, frameCount, direct);
  }

  private processWaves(
    inflow: Float64Array,
    outflow: Float64Array,
    frameCount: number,
    direct: Float64Array | null,
  ): void {
    const { up, down, atFoot, atMouth } = this;
    // Vessel: (filling time) dP/dt = inflow - flow into the foot = drive - P, with drive = inflow + 2 down; trapezoidal.
    const kept = (1 - this.fillShare) / (1 + this.fillShare);
    const taken = this.fillShare / (1 + this.fillShare);
    let pressure = this.vesselPressure;
    let lastDrive = this.lastDrive;
    const { tubeShare, tubeConductance } = this;
    let tubeFlow = this.tubeFlow;
    let start = 0;
    while (start < frameCount) {
      // A run ends before its own waves come back.
      const count = Math.min(RUN_SAMPLES, frameCount - start, up.samplesAhead(), down.samplesAhead());
      down.read(atFoot, 0, count);
      up.read(atMouth, 0, count);
      if (this.hasWallLoss) {
        this.wallDown.process(atFoot, atFoot, count);
        this.wallUp.process(atMouth, atMouth, count);
      }
      for (let i = 0; i < count; i++) {
        const arriving = atFoot[i]!;
        tubeFlow += tubeShare * (tubeConductance * pressure - tubeFlow);
        const drive = inflow[start + i]! - tubeFlow + 2 * arriving;
        pressure = kept * pressure + taken * (drive + lastDrive);
        lastDrive = drive;
        atFoot[i] = pressure - arriving;
        outflow[start + i] = atMouth[i]!;
      }
      if (direct !== null) for (let i = 0; i < count; i++) atFoot[i] = atFoot[i]! + direct[start + i]!;
      up.write(atFoot, 0, count);
      this.mouth.process(atMouth, atMouth, count);
      down.write(atMouth, 0, count);
      for (let i = 0; i < count; i++) outflow[start + i]! -= atMouth[i]!;
      start += count;
    }
    this.vesselPressure = pressure;
    this.lastDrive = lastDrive;
    this.tubeFlow = tubeFlow;
  }

  // (transit time) dQ/dt = vessel pressure - mouth pressure; vessel as above. Trapezoidal, both solved together.
  private processLump(
    inflow: Float64Array,
    outflow: Float64Array,
    frameCount: number,
    direct: Float64Array | null,
  ): void {
    const mouth = this.mouth;
    const fill = this.fillShare;
    const transit = this.transitShare;
    const resistance = mouth.presentResistance();
    const scale = 1 / (1 + transit * (resistance + fill));
    let pressure = this.vesselPressure;
    let lastInflow = this.lastDrive;
    let flow = this.lastFlow;
    let mouthPressure = this.lastMouthPressure;
    let lastDirect = this.lastDirect;
    const { tubeShare, tubeConductance } = this;
    let tubeFlow = this.tubeFlow;
    for (let i = 0; i < frameCount; i++) {
      tubeFlow += tubeShare * (tubeConductance * pressure - tubeFlow);
      const inflowNow = inflow[i]! - tubeFlow + FLOOR;
      const pending = mouth.pendingPressure();
      const filled = inflowNow + lastInflow - flow;
      const directNow = direct === null ? 0 : direct[i]!;
      const driven = 2 * pressure + fill * filled + directNow + lastDirect;
      flow = (flow + transit * (driven - mouthPressure - pending)) * scale;
      lastDirect = directNow;
      pressure += fill * (filled - flow);
      mouthPressure = resistance * flow + pending;
      mouth.advance(flow);
      lastInflow = inflowNow;
      outflow[i] = flow;
    }
    this.vesselPressure = pressure;
    this.lastDrive = lastInflow;
    this.lastFlow = flow;
    this.lastMouthPressure = mouthPressure;
    this.lastDirect = lastDirect;
    this.tubeFlow = tubeFlow;
  }
}
