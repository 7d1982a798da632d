import { ruledFullScalePa } from "../../src/offline/full-scale.js";
import { OfflineRender } from "../../src/offline/render.js";
import type { BeatRow } from "../../src/offline/render-request.js";
import { request, shippedRun } from "./renders.js";

/** How the machine stood when a stretch of a run ended. */
export interface Moment {
  readonly timeS: number;
  readonly shaftRad: number;
  readonly boilerPa: number;
  readonly roadMPerS: number;
  readonly slipMPerS: number;
  readonly safetyLiftRatio: number;
  /** Steam out of the drain cock of each end. */
  readonly drainKgPerS: readonly number[];
}

/** A shipped run as it was heard, stretch by stretch. */
export interface HeardRun {
  readonly peakPa: number;
  /** That of its own file, its machine's or the rule. */
  readonly ownFullScalePa: number;
  readonly beats: readonly BeatRow[];
  readonly warnings: readonly string[];
  readonly moments: readonly Moment[];
  readonly stemNames: readonly string[];
  /** Channel by channel. */
  readonly channels: readonly Float64Array[];
  readonly rateHz: number;
  /** RMS of a stem, or of the "mix", against the mix's peak, dB; -Infinity where it is silent. */
  levelDb(stem: string, fromS: number, toS: number): number;
  /** Mean speed of the shaft. */
  rpm(fromS: number, toS: number): number;
  at(timeS: number): Moment;
}

const stretchS = 0.1;
const kept = new Map<string, HeardRun>();

/** Renders a shipped run once, however often it is asked for. */
export function heardRun(name: string, rateHz = 48_000): HeardRun {
  const before = kept.get(name);
  if (before !== undefined) return before;
  const { machine, run } = shippedRun(name);
  const render = new OfflineRender(request(machine, { run, rateHz, fullScalePa: 1 }));
  const { engine, iron } = render["machine"];
  const names = ["mix", ...render.stemNames];
  const stretchFrames = Math.round(stretchS * rateHz);
  const stretchCount = Math.ceil(render.totalFrames / stretchFrames);
  const energies = names.map(() => new Float64Array(stretchCount));
  const channels = Array.from({ length: render.channelCount }, () => new Float64Array(render.totalFrames));
  const moments: Moment[] = [];
  let peakPa = 0;
  let at = 0;
  for (let block = render.next(); block !== null; block = render.next()) {
    channels.forEach((channel, c) => channel.set(block.channels[c].subarray(0, block.frameCount), at));
    names.forEach((_, n) => {
      const samples = n === 0 ? block.mix : block.stems[n - 1];
      const energy = energies[n];
      for (let i = 0; i < block.frameCount; i++)
        energy[Math.floor((at + i) / stretchFrames)] += samples[i] * samples[i];
    });
    for (let i = 0; i < block.frameCount; i++) peakPa = Math.max(peakPa, Math.abs(block.mix[i]));
    at += block.frameCount;
    const { voiceRecord: voice } = engine;
    moments.push({
      timeS: at / rateHz,
      shaftRad: iron.shaftRad[0],
      boilerPa: voice.boilerPa,
      roadMPerS: voice.roadMPerS,
      slipMPerS: voice.slipMPerS,
      safetyLiftRatio: voice.safetyLiftRatio,
      drainKgPerS: Array.from(voice.drainKgPerS),
    });
  }
  const momentAt = (timeS: number) => moments.find((moment) => moment.timeS >= timeS) ?? moments[moments.length - 1];
  const ownFullScalePa = run.fullScalePa ?? machine.fullScalePa ?? ruledFullScalePa(machine.description);
  const heard: HeardRun = {
    ...{
      peakPa,
      ownFullScalePa,
      channels,
      rateHz,
      moments,
      beats: render.beats(),
      warnings: render.summary().warnings,
    },
    stemNames: render.stemNames,
    levelDb(stem, fromS, toS) {
      const energy = energies[names.indexOf(stem)];
      if (energy === undefined) throw new Error(`${name} has no stem ${stem}`);
      const [from, to] = [Math.round(fromS / stretchS), Math.round(toS / stretchS)];
      const sum = energy.subarray(from, to).reduce((total, each) => total + each, 0);
      return 10 * Math.log10(sum / ((to - from) * stretchFrames) / (peakPa * peakPa));
    },
    rpm(fromS, toS) {
      const [a, b] = [momentAt(fromS), momentAt(toS)];
      return ((b.shaftRad - a.shaftRad) / (b.timeS - a.timeS)) * (30 / Math.PI);
    },
    at: momentAt,
  };
  kept.set(name, heard);
  return heard;
}
