import type { EngineDescription } from "../engine/engine-description.js";
import { AbsorptionTable } from "../sound/air-absorption.js";
import type { Ground } from "../sound/ground-reflection.js";
import { NEAREST_M, SoundPath } from "../sound/propagation.js";
import { airSoundSpeedMPerS } from "./ambient-air.js";
import {
  channelCountOf,
  type ListenerPlace,
  microphonesOf,
  type PickUpFormat,
  type StandingPoint,
  standingPoint,
} from "./listener-place.js";
import { type MachinePoint, sourcePlaces, stemParts } from "./source-places.js";

/** Who listens, from where, and through what. */
export interface ListenerSettings {
  readonly sampleRateHz: number;
  /** In the order in which `process` is handed them. */
  readonly stemNames: readonly string[];
  /** For which the stems' pressures were made. */
  readonly distanceM: number;
  readonly place: ListenerPlace;
  readonly format: PickUpFormat;
  /** Null: none. */
  readonly ground: Ground | null;
  /** Whether the air takes its share. */
  readonly airAbsorbs: boolean;
  /** Samples between two places of the machine, 8 to 4096. */
  readonly rowSamples: number;
  /** Farthest that travelling times are kept for where the machine passes; 400 m is enough for a pass-by, and takes half a megabyte a path. */
  readonly farthestM: number;
}

interface PlacedPath {
  readonly path: SoundPath;
  readonly xM: number;
  readonly yM: number;
  readonly zM: number;
  readonly outputs: Float64Array[];
  readonly firstChannel: number;
}

/** Stems that sound from the same point, and the paths from there to every microphone. */
interface Source {
  readonly stems: readonly number[];
  readonly paths: readonly PlacedPath[];
}

/**
 * All stems of a machine as they are heard at one place, in pascals: every stem from its own point on the machine, along its
 * own path, into one, two or four channels. `dry` is the plain sum of the stems. Stems without a point (the background) are
 * heard as they are in mono and in W, and alike on both sides in stereo.
 *
 * The machine may go along the road: it stands with its middle at x = `roadM` at the end of each row of `rowSamples`. What
 * comes out lags the stems by the sound's travel and nothing else.
 *
 * @example
 * const listener = new Listener(description, settings);
 * listener.reset(0, 0);
 * listener.process(stems, roadM, roadMPerS, outputs, 128);
 */
export class Listener {
  readonly channelCount: number;
  /** Null for `dry`. */
  readonly point: StandingPoint | null;

  /** Whether the machine passes the listener. */
  private readonly goes: boolean;
  private readonly sources: readonly Source[] = [];
  private readonly surrounding: readonly number[];
  private readonly rowSamples: number;
  private readonly sum: Float64Array;
  private readonly road = new Float64Array(2);
  private written = 0;

  /** @throws RangeError for settings out of range, or a place within 0.25 m of a source */
  constructor(description: EngineDescription, settings: ListenerSettings) {
    const { sampleRateHz, stemNames, place, format, rowSamples, distanceM } = settings;
    this.rowSamples = rowSamples;
    this.sum = new Float64Array(rowSamples);
    const indices = stemNames.map((_, index) => index);
    if (place === "dry") {
      if (format !== "mono")
        throw new RangeError(
          `Listener: format must be mono where place is dry, got ${format}. Choose a place, such as lineside.`,
        );
      this.channelCount = 1;
      this.point = null;
      this.goes = false;
      this.surrounding = indices;
      return;
    }
    const places = sourcePlaces(description);
    const point = standingPoint(place, places, distanceM);
    this.point = point;
    this.goes = !point.rides && description.wheelDiameterM !== null;
    this.channelCount = channelCountOf(format);
    const partOf = (index: number) => {
      const name = stemNames[index]!;
      return name in stemParts ? stemParts[name]! : "motion";
    };
    this.surrounding = indices.filter((index) => partOf(index) === null);
    const parts = [...new Set(indices.map(partOf))].filter((part) => part !== null);
    const { ambient } = description;
    // What stays where it is needs no more room than its distance; the microphones of a pair stand beside the point.
    const ranges = parts.map((part) => distanceBetweenM(places[part], point));
    const farthestM = this.goes ? settings.farthestM : Math.max(...ranges, 1) + NEAREST_M;
    const soundSpeedMPerS = airSoundSpeedMPerS(ambient);
    const absorption = settings.airAbsorbs
      ? new AbsorptionTable(sampleRateHz, { ...ambient, soundSpeedMPerS }, farthestM)
      : null;
    const air = { soundSpeedMPerS, absorption, ground: settings.ground };
    const microphones = microphonesOf(format, point.facingRad);
    this.sources = parts.map((part) => {
      const source = places[part];
      requireClear(part, source, point, this.goes);
      const sideM = Math.abs(source.yM - point.yM);
      const nearestM = this.goes ? sideM : Math.sqrt(sideM * sideM + square(source.xM - point.xM));
      const paths = microphones.map(({ xM, yM, firstChannel, pickUp }) => ({
        path: new SoundPath(
          air,
          { sampleRateHz, rowSamples, farthestM, givenAtM: distanceM, pickUp },
          source.zM,
          point.zM,
          nearestM,
        ),
        xM: source.xM - point.xM - xM,
        yM: source.yM - point.yM - yM,
        zM: source.zM - point.zM,
        outputs: Array.from({ length: pickUp.length / 4 }, () => new Float64Array(0)),
        firstChannel,
      }));
      return { stems: indices.filter((index) => partOf(index) === part), paths };
    });
    this.reset(0, 0);
  }

  /** Rows in which the machine was farther than travelling times are kept for, all paths together. */
  get heldCount(): number {
    let count = 0;
    for (const { paths } of this.sources) for (const { path } of paths) count += path.heldCount;
    return count;
  }

  /** Longest travel that now stands between the machine and the listener, s; 0 for `dry`. */
  travelS(roadM: number, soundSpeedMPerS: number): number {
    let longest = 0;
    for (const { paths } of this.sources) {
      for (const { xM, yM, zM } of paths) {
        longest = Math.max(longest, Math.sqrt(square(xM + this.shift(roadM)) + yM * yM + zM * zM));
      }
    }
    return longest / soundSpeedMPerS;
  }

  /** State only: silence so far, the machine with its middle at `roadM`, going on as it came. */
  reset(roadM: number, roadMPerS: number): void {
    this.road[0] = roadM;
    this.road[1] = roadMPerS;
    this.place();
    for (const { paths } of this.sources) for (const { path } of paths) path.reset();
    this.written = 0;
  }

  /**
   * Fills one array a channel from one array a stem.
   *
   * @param roadM where the machine's middle stands at the end of each row that begins within this block, and
   * @param roadMPerS how fast it goes then; one number a row; a machine without wheels stays where it is, and one who rides along with it
   */
  process(
    stems: readonly Float64Array[],
    roadM: Float64Array,
    roadMPerS: Float64Array,
    outputs: readonly Float64Array[],
    frameCount: number,
  ): void {
    const { sources, surrounding, rowSamples, road, sum } = this;
    for (let c = 0; c < outputs.length; c++) {
      const output = outputs[c]!;
      // Pressure alone is what goes round the listener: in W, and alike in both of a pair.
      const has = c === 0 || outputs.length === 2;
      for (let k = 0; k < surrounding.length && has; k++) {
        const stem = stems[surrounding[k]!]!;
        if (k === 0) for (let i = 0; i < frameCount; i++) output[i] = stem[i]!;
        else for (let i = 0; i < frameCount; i++) output[i] = output[i]! + stem[i]!;
      }
      if (!has || surrounding.length === 0) for (let i = 0; i < frameCount; i++) output[i] = 0;
    }
    if (sources.length === 0) return;
    let row = 0;
    let done = 0;
    while (done < frameCount) {
      const within = this.written % rowSamples;
      if (within === 0) {
        road[0] = roadM[row]!;
        road[1] = roadMPerS[row]!;
        row++;
        this.place();
      }
      const count = Math.min(frameCount - done, rowSamples - within) | 0;
      for (let s = 0; s < sources.length; s++) {
        const source = sources[s]!;
        for (let k = 0; k < source.stems.length; k++) {
          const stem = stems[source.stems[k]!]!;
          if (k === 0) for (let i = 0; i < count; i++) sum[i] = stem[done + i]!;
          else for (let i = 0; i < count; i++) sum[i] = sum[i]! + stem[done + i]!;
        }
        for (let p = 0; p < source.paths.length; p++) {
          const placed = source.paths[p]!;
          for (let c = 0; c < placed.outputs.length; c++) placed.outputs[c] = outputs[placed.firstChannel + c]!;
          placed.path.process(sum, 0, placed.outputs, done, count);
        }
      }
      this.written += count;
      done += count;
    }
  }

  private shift(roadM: number): number {
    return this.goes ? roadM : 0;
  }

  private place(): void {
    const { sources, road } = this;
    const shiftM = this.goes ? road[0]! : 0;
    const speedMPerS = this.goes ? road[1]! : 0;
    for (let s = 0; s < sources.length; s++) {
      const { paths } = sources[s]!;
      for (let p = 0; p < paths.length; p++) {
        const placed = paths[p]!;
        const { place } = placed.path;
        place[0] = placed.xM + shiftM;
        place[1] = placed.yM;
        place[2] = placed.zM;
        place[3] = speedMPerS;
      }
    }
  }
}

function square(x: number): number {
  return x * x;
}

function distanceBetweenM(a: MachinePoint, b: MachinePoint): number {
  return Math.sqrt(square(a.xM - b.xM) + square(a.yM - b.yM) + square(a.zM - b.zM));
}

function requireClear(part: string, source: MachinePoint, point: StandingPoint, goes: boolean): void {
  const across = Math.sqrt(square(source.yM - point.yM) + square(source.zM - point.zM));
  const nearestM = goes ? across : Math.sqrt(across * across + square(source.xM - point.xM));
  // A microphone of a pair stands 85 mm beside the listener's point.
  if (nearestM >= 2 * NEAREST_M) return;
  throw new RangeError(
    `Listener: place must be at least ${2 * NEAREST_M} m from where the machine's ${part} passes, got ${nearestM.toFixed(3)} m. Move it aside or up.`,
  );
}
