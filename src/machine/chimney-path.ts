import type { Engine } from "../engine/engine.js";
import type { EngineDescription } from "../engine/engine-description.js";
import { smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import { Chimney } from "../sound/chimney.js";
import { Monopole } from "../sound/monopole.js";
import { WideMouth } from "../sound/wide-mouth.js";
import { airSoundSpeedMPerS } from "./ambient-air.js";
import type { Blast } from "./blast.js";
import type { VoiceSettings } from "./voice-settings.js";

// Head that the mean flow loses at the chimney's mouth, as its Mach number: steam and drawn-in gas go up at some 50 m/s
// under load. Held, because a loss that follows the load in steps can be heard in the quiet between beats.
// [common practice]
const workingMach = 0.1;

// Half of the power that a small source under the chimney sends out goes up it: its pressure at the foot is that at
// sqrt(chimney area / 2 pi), 0.354 bores. [common practice: the foot is a bell over the nozzle]
const captureBores = 0.354;

// Way of the smokebox's gas through the tubes: 2 kPa of draught draws some 8 m3/s, so 0.5 kPa s/m3 for changes, about a fifth
// of a locomotive chimney's rho c / area; its column, three times as long and two and a half times as wide as the
// chimney's, follows in 5.6 times the chimney's transit time. [common practice: proportions of locomotive boilers]
const tubeResistanceRatio = 0.2;
const tubeLagTransits = 5.6;

// Turbulence of the stream up the chimney beside that of a jet let into a pipe. [tuned: depth of a recorded locomotive's
// beats at 250 and 500 Hz, 2026-11-25]
const streamRatio = 2;

/**
 * Smokebox and chimney at the audio rate. The nozzle's flow fills the smokebox and lets it swing, sends a wave straight into
 * the foot of the chimney over it, and its jet pushes the gas in the chimney along. An idealised machine has the first only.
 * Gas that the blast draws in changes nothing here but the loss that a working engine's flow brings: chimney and smokebox
 * hold smokebox gas throughout.
 */
export class ChimneyPath {
  private readonly chimney: Chimney;
  private readonly nozzle: WideMouth;
  private readonly straight: Monopole;
  private readonly mouth: WideMouth;
  private readonly direct: Float64Array;
  private readonly drive: Float64Array;
  private readonly directPerPa: number;
  private readonly pushPerPa: number;
  private pushPa = 0.5;
  private firstPushPa = 0.5;
  private readonly hasDirect: boolean;

  constructor(
    sampleRateHz: number,
    smokebox: NonNullable<EngineDescription["exhaust"]["smokebox"]>,
    chimney: NonNullable<EngineDescription["exhaust"]["chimney"]>,
    ambientPa: number,
    idealised: boolean,
    nozzleBoreM: number,
    airSoundSpeedMPerS: number,
    chunkFrames: number,
  ) {
    const soundSpeed = smokeboxSoundSpeedMPerS(smokebox.temperatureK);
    const density = smokeboxDensityKgPerM3(ambientPa, smokebox.temperatureK);
    const area = 0.25 * Math.PI * chimney.boreM * chimney.boreM;
    const tubeLagS = (tubeLagTransits * chimney.lengthM) / soundSpeed;
    this.chimney = new Chimney(sampleRateHz, {
      smokeboxVolumeM3: smokebox.volumeM3,
      lengthM: chimney.lengthM,
      boreM: chimney.boreM,
      wallLossRatio: idealised ? 0 : 1,
      ...(idealised ? {} : { tubes: { resistanceRatio: tubeResistanceRatio, lagS: tubeLagS } }),
    });
    this.chimney.setGas(density, soundSpeed);
    this.chimney.setFlowLossRatio(idealised ? 0 : workingMach);
    this.nozzle = new WideMouth(sampleRateHz, 0.5 * nozzleBoreM, soundSpeed);
    // A simple source's pressure goes as 1 / distance: asked for at 1 m, for the foot can be nearer than it is made for.
    this.straight = new Monopole(sampleRateHz, { distanceM: 1, airDensityKgPerM3: density });
    this.pushPerPa = area / (density * soundSpeed);
    this.directPerPa = this.pushPerPa / (captureBores * chimney.boreM);
    this.mouth = new WideMouth(sampleRateHz, 0.5 * chimney.boreM, airSoundSpeedMPerS);
    this.direct = new Float64Array(chunkFrames);
    this.drive = new Float64Array(chunkFrames);
    this.hasDirect = !idealised;
    this.reset(0);
  }

  /** State only: this flow passing for long; the chimney itself is not yet drawn by the push, which begins with what it is. */
  reset(flowM3PerS: number, pushPa = 0): void {
    this.chimney.reset(flowM3PerS);
    this.nozzle.reset(flowM3PerS);
    this.straight.reset(flowM3PerS);
    this.mouth.reset(flowM3PerS);
    this.pushPa = this.firstPushPa = pushPa;
  }

  /** Nozzle flow to the flow out of the chimney's mouth, m3/s, in place; `blast` holds the push of the same flow. */
  process(flow: Float64Array, blast: Blast, frameCount: number): void {
    if (!this.hasDirect) {
      this.chimney.process(flow, flow, frameCount);
      return;
    }
    this.straighten(flow, frameCount);
    this.push(blast.pressurePa, blast.keepRatio, frameCount);
    this.chimney.process(flow, flow, frameCount, this.direct);
  }

  /**
   * The same for noise that comes out of the nozzle on top of that flow: what leaves the mouth, as the flow that a simple
   * source would need to send out the same power. `ownPa`: what the turbulence at the chimney's foot adds there.
   */
  processNoise(flow: Float64Array, blast: Blast, ownPa: Float64Array | null, frameCount: number): void {
    if (this.hasDirect) {
      this.straighten(flow, frameCount);
      const { direct, drive } = this;
      const { perFlowPaSPerM3 } = blast;
      for (let i = 0; i < frameCount; i++) drive[i] = perFlowPaSPerM3[i]! * flow[i]!;
      this.push(drive, blast.keepRatio, frameCount);
      const perPa = streamRatio * this.pushPerPa;
      if (ownPa !== null) for (let i = 0; i < frameCount; i++) direct[i] = direct[i]! + perPa * ownPa[i]!;
      this.chimney.process(flow, flow, frameCount, direct);
    } else this.chimney.process(flow, flow, frameCount);
    this.mouth.process(flow, flow, frameCount);
  }

  /**
   * What comes out of the nozzle so high that nothing of it comes back from the chimney's mouth: straight up and out, as the
   * flow of such a simple source.
   */
  processHiss(flow: Float64Array, frameCount: number): void {
    this.straighten(flow, frameCount);
    this.mouth.process(this.direct, flow, frameCount);
  }

  // The wave that goes straight from the nozzle to the foot.
  private straighten(flow: Float64Array, frameCount: number): void {
    const { direct, directPerPa } = this;
    this.nozzle.process(flow, direct, frameCount);
    this.straight.process(direct, direct, frameCount);
    for (let i = 0; i < frameCount; i++) direct[i] = directPerPa * direct[i]!;
  }

  // Adds what the blast pushes with, as it is handed over along the jet.
  private push(drivePa: Float64Array, keepRatio: Float64Array, frameCount: number): void {
    const { direct, pushPerPa } = this;
    let { pushPa: push, firstPushPa: first } = this;
    for (let i = 0; i < frameCount; i++) {
      const keep = keepRatio[i]!;
      first += keep * (drivePa[i]! - first);
      push += keep * (first - push);
      direct[i] = direct[i]! + pushPerPa * push;
    }
    this.pushPa = push;
    this.firstPushPa = first;
  }
}

/** The chimney of a machine, null where the exhaust has none. */
export function makeChimneyPath(engine: Engine, settings: VoiceSettings): ChimneyPath | null {
  const { ambient, idealised, exhaust } = engine.description;
  const { smokebox, chimney } = exhaust;
  if (smokebox === null || chimney === null) return null;
  return new ChimneyPath(
    settings.sampleRateHz,
    smokebox,
    chimney,
    ambient.pressurePa,
    idealised,
    engine.network.mouthBoreM,
    airSoundSpeedMPerS(ambient),
    settings.samplesPerTick * settings.ticksPerChunk,
  );
}
