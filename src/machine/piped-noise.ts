import type { Engine } from "../engine/engine.js";
import { NoiseStream } from "../quantities/random.js";
import { AIR_AT_WALL, wallLossNpPerM, type WallGas } from "../sound/acoustics.js";
import { Monopole } from "../sound/monopole.js";
import { PipeNoise } from "../sound/pipe-noise.js";
import { WideMouth } from "../sound/wide-mouth.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import type { Blast } from "./blast.js";
import { leakBoreM } from "./leak-bore.js";
import { makeChimneyPath, type ChimneyPath } from "./chimney-path.js";
import type { FlowRows } from "./flow-rows.js";
import { noiseStreams } from "./noise-streams.js";
import { RowJet } from "./row-jet.js";
import { RowTurbulence } from "./row-turbulence.js";
import type { VoiceSettings } from "./voice-settings.js";

// Slowest sound for which the pipes' delays have room, the gas running against it included, m/s. [common practice]
const slowestMPerS = 120;
// Low-pressure steam at a pipe's wall. [source: IAPWS R12-08 at 100 °C and 1 atm, from memory: 1.23e-5 Pa s]
const steamAtWall = { viscosityPaS: 1.23e-5, isentropicExponentRatio: 1.33, prandtlRatio: 1 };

/**
 * Noise that is made in the exhaust and comes out through its pipes: turbulence at ports and nozzle, and the hiss of what
 * leaks past the valves. Two stems, through the same linear copy of the pipes.
 */
export class PipedNoise {
  /** Pressure at the listener for the chunk last filled, Pa; `leaks` stays silent where nothing leaks. */
  readonly noise: Float64Array;
  readonly leaks: Float64Array;
  /** Samples by which both lag the flows of the table. */
  readonly delaySamples: number;

  private readonly pipes: PipeNoise;
  private readonly portPa: readonly Float64Array[];
  private readonly mouthPa: readonly Float64Array[];
  private readonly leakPa: readonly Float64Array[];
  private readonly chimneyPa: Float64Array | null;
  private readonly turbulences: readonly RowTurbulence[];
  private readonly leakJets: readonly RowJet[];
  private readonly leakWavePerPa: number;
  private readonly noiseOutlet: Outlet;
  private readonly leakOutlet: Outlet;
  private readonly chunkFrames: number;
  private readonly ticksPerChunk: number;

  constructor(
    engine: Engine,
    private readonly table: FlowRows,
    private readonly blast: Blast,
    settings: VoiceSettings,
  ) {
    const { sampleRateHz, samplesPerTick, ticksPerChunk, seed } = settings;
    const { description, flowNoise, network } = engine;
    const frames = ticksPerChunk * samplesPerTick;
    this.chunkFrames = frames;
    this.ticksPerChunk = ticksPerChunk;
    const { densityKgPerM3, soundSpeedMPerS } = engine.exhausted;
    const mouth = network.mouths[0]!;
    const openPipe = network.pipes[network.pipes.length - 1]!;
    // Of the mouth's velocity to that of the pipe before it, over the pipe's rho c.
    const perImpedance = openPipe.leftAreaM2 / (mouth.areaM2 * densityKgPerM3 * soundSpeedMPerS);
    const atWall = description.workingFluid === "steam" ? steamAtWall : AIR_AT_WALL;
    const wallGas: WallGas = { ...atWall, densityKgPerM3, soundSpeedMPerS };
    this.pipes = new PipeNoise(sampleRateHz, samplesPerTick, {
      branchCount: flowNoise.branchCount,
      hasTrunk: flowNoise.hasJunction,
      longestDelayS: Math.min(10, Math.max(...network.pipes.map((pipe) => pipe.lengthM)) / slowestMPerS),
      mouthLoadRatio: perImpedance * mouth.loadResistancePaSPerM,
      mouthLoadS: perImpedance * mouth.loadMassKgPerM2,
      passRatios: network.pipes.map((pipe) => {
        if (description.idealised) return 1;
        const radiusM = Math.sqrt(pipe.leftAreaM2 / Math.PI);
        const firstHz = soundSpeedMPerS / (4 * pipe.lengthM);
        return Math.max(0, 1 - wallLossNpPerM(firstHz, radiusM, wallGas) * pipe.lengthM);
      }),
    });
    const { branchCount, mouthCount } = flowNoise;
    const turbulence = (stream: number, head: number, opening: number, pipe: number) =>
      new RowTurbulence(settings, new NoiseStream(seed, stream, settings.noisePeriod), head, opening, pipe);
    const atPorts = Array.from({ length: branchCount }, (_, i) =>
      turbulence(noiseStreams.port + i, table.portHead + i, table.portRate + i, table.portPipeRate + i),
    );
    const atMouths = Array.from({ length: mouthCount }, (_, m) =>
      turbulence(noiseStreams.mouth + m, table.mouthHead + m, table.mouthRate + m, table.mouthPipeRate + m),
    );
    const inChimney =
      !description.idealised && network.box !== null
        ? turbulence(noiseStreams.chimney, table.chimneyHead, table.mouthRate, table.chimneyRate)
        : null;
    this.turbulences = [...atPorts, ...atMouths, ...(inChimney === null ? [] : [inChimney])];
    this.portPa = atPorts.map(({ pressurePa }) => pressurePa);
    this.mouthPa = atMouths.map(({ pressurePa }) => pressurePa);
    this.chimneyPa = inChimney?.pressurePa ?? null;
    const leakM2 = description.idealised ? 0 : description.leaks.valveM2;
    // In a passage a leak's jet is as free as in the open.
    const inPipe = {
      boreM: leakBoreM(leakM2),
      airDensityKgPerM3: Math.max(0.1, densityKgPerM3),
      airSoundSpeedMPerS: soundSpeedMPerS,
      distanceM: 1,
    };
    this.leakJets = Array.from({ length: leakM2 > 0 ? branchCount : 0 }, (_, i) => {
      const stream = new NoiseStream(seed, noiseStreams.leak + i, settings.noisePeriod);
      return new RowJet(settings, stream, inPipe, table.leakMass + i, table.leakSpeed + i);
    });
    // Its power, 4 pi p1^2 / (rho c) for p1 at 1 m, all runs along the pipe: pressure p1 sqrt(4 pi / area).
    this.leakWavePerPa = Math.sqrt((4 * Math.PI) / network.pipes[0]!.leftAreaM2);
    this.leakPa = this.leakJets.map((jet) => jet.pressurePa);
    this.noise = new Float64Array(frames);
    this.leaks = new Float64Array(frames);
    this.noiseOutlet = new Outlet(engine, settings, false);
    this.leakOutlet = new Outlet(engine, settings, true);
    this.delaySamples = this.noiseOutlet.delaySamples;
  }

  /** State only: no wave anywhere. */
  reset(): void {
    this.pipes.reset();
    for (const turbulence of this.turbulences) turbulence.reset();
    for (const jet of this.leakJets) jet.reset();
    this.noiseOutlet.reset();
    this.leakOutlet.reset();
    this.noise.fill(0);
    this.leaks.fill(0);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    for (const turbulence of this.turbulences) turbulence.setNextSampleIndex(index);
    for (const jet of this.leakJets) jet.setNextSampleIndex(index);
  }

  /** Makes the chunk that the table holds. */
  process(): void {
    const { table, ticksPerChunk, chunkFrames, leakWavePerPa, turbulences, leakJets } = this;
    for (let i = 0; i < turbulences.length; i++) turbulences[i]!.process(table);
    for (let i = 0; i < leakJets.length; i++) {
      const jet = leakJets[i]!;
      jet.process(table);
      const wave = jet.pressurePa;
      for (let n = 0; n < chunkFrames; n++) wave[n] = leakWavePerPa * wave[n]!;
    }
    const { noise, leaks, portPa, mouthPa, leakPa } = this;
    const { rows, rowLength, pipes } = table;
    this.pipes.process(rows, rowLength, pipes, ticksPerChunk, portPa, mouthPa, leakPa, noise, leaks);
    this.noiseOutlet.process(noise, this.blast, this.chimneyPa, chunkFrames);
    if (leakJets.length > 0) this.leakOutlet.process(leaks, this.blast, null, chunkFrames);
    else leaks.fill(0);
  }
}

/** From the flow out of the mouths to the listener, through the chimney where there is one. */
class Outlet {
  readonly delaySamples: number;
  private readonly chimney: ChimneyPath | null;
  private readonly mouth: WideMouth;
  private readonly monopole: Monopole;
  private readonly isMute: boolean;

  /** @param isHiss so high that a chimney's mouth sends nothing of it back */
  constructor(
    engine: Engine,
    settings: VoiceSettings,
    private readonly isHiss: boolean,
  ) {
    const { description, network } = engine;
    const { sampleRateHz, distanceM } = settings;
    const soundSpeed = airSoundSpeedMPerS(description.ambient);
    this.chimney = makeChimneyPath(engine, settings);
    this.mouth = new WideMouth(sampleRateHz, 0.5 * network.mouthBoreM, soundSpeed);
    this.monopole = new Monopole(sampleRateHz, {
      distanceM,
      airDensityKgPerM3: airDensityKgPerM3(description.ambient),
    });
    this.delaySamples = this.monopole.delaySamples;
    this.isMute = description.exhaust.condenser !== null;
  }

  reset(): void {
    this.chimney?.reset(0);
    this.mouth.reset(0);
    this.monopole.reset(0);
  }

  process(flow: Float64Array, blast: Blast, chimneyPa: Float64Array | null, frameCount: number): void {
    if (this.isMute) {
      flow.fill(0);
      return;
    }
    if (this.chimney === null) this.mouth.process(flow, flow, frameCount);
    else if (this.isHiss) this.chimney.processHiss(flow, frameCount);
    else this.chimney.processNoise(flow, blast, chimneyPa, frameCount);
    this.monopole.process(flow, flow, frameCount);
  }
}
