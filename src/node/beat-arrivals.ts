import { butterworthBandPass, butterworthLowPass } from "../listening/band-filter.js";
import { filterZeroPhase } from "../listening/zero-phase.js";
import type { BeatRow } from "../offline/render-request.js";
import { soundLobes, type FoldedTurn } from "./folded-turn.js";
import type { RenderTail } from "./render-job.js";

/** One beat: where the valve gear puts it, and where it came. Shaft angles, unwrapped, degrees. */
export interface BeatArrival {
  readonly beat: BeatRow;
  /** Where that end's exhaust flow passed 0.1 % of its peak; `null` when it never fell below that before. */
  readonly flowStartDeg: number | null;
  /** Centroid of its sound, 300 to 4000 Hz, up to where the next beat rises; `null` when the shaft does not run evenly. */
  readonly soundCentreDeg: number | null;
}

/** Flow counts as begun from this share of its peak. [common practice] (stated in the contract of the pulse record) */
export const flowStartRatio = 0.001;
/** The band in which beats are heard apart, Hz. [common practice] */
export const beatBandHz = [300, 4000] as const;
/** Corner of the envelope: above the beat rate, below the pitch of the sound, Hz. [common practice] */
const envelopeCornerHz = 60;
// Before its release an end's flow is looked at from here on, and its peak is sought up to here after it.
const lookBackDeg = 20;
const lookAheadDeg = 180;

/** The shaft's angle over the kept end of a render, and the flows beside it. */
export class PulseTable {
  private readonly width: number;
  readonly rowCount: number;

  constructor(private readonly tail: RenderTail) {
    this.width = tail.pulseNames.length;
    this.rowCount = tail.pulses.length / this.width;
  }

  column(name: string): Float64Array {
    const index = this.tail.pulseNames.indexOf(name);
    if (index < 0) throw new Error(`PulseTable: there is no column ${name}.`);
    return Float64Array.from({ length: this.rowCount }, (_, row) => this.tail.pulses[row * this.width + index]!);
  }
}

/** `c1HeadExhaustKgPerS` for cylinder 1, head end. */
export function exhaustColumnName({ cylinder, end }: Pick<BeatRow, "cylinder" | "end">): string {
  return `c${cylinder}${end === "head" ? "Head" : "Crank"}ExhaustKgPerS`;
}

/** For each of `beats`, all of them within the kept end of the render: where it came. */
export function beatArrivals(tail: RenderTail, rateHz: number, beats: readonly BeatRow[]): BeatArrival[] {
  const table = new PulseTable(tail);
  const timesS = table.column("timeS");
  const shaftDeg = table.column("shaftDeg");
  const flows = new Map<string, Float64Array>();
  for (const name of new Set(beats.map(exhaustColumnName))) flows.set(name, table.column(name));
  const centres = soundCentres(tail, rateHz, timesS, shaftDeg, beats);
  return beats.map((beat, i) => ({
    beat,
    flowStartDeg: flowStart(shaftDeg, flows.get(exhaustColumnName(beat))!, beat.shaftDeg),
    soundCentreDeg: centres?.[i] ?? null,
  }));
}

/**
 * The shaft angle at which `flow` first passes 0.1 % of its peak about a release.
 *
 * @param shaftDeg unwrapped, one per value of `flow`, rising or falling
 */
export function flowStart(shaftDeg: Float64Array, flow: Float64Array, releaseDeg: number): number | null {
  const direction = shaftDeg[shaftDeg.length - 1]! >= shaftDeg[0]! ? 1 : -1;
  const past = (row: number): number => direction * (shaftDeg[row]! - releaseDeg);
  let first = 0;
  while (first < flow.length && past(first) < -lookBackDeg) first++;
  let peak = 0;
  for (let row = first; row < flow.length && past(row) < lookAheadDeg; row++) peak = Math.max(peak, flow[row]!);
  const threshold = flowStartRatio * peak;
  if (peak === 0 || first >= flow.length || flow[first]! >= threshold) return null;
  for (let row = first + 1; row < flow.length && past(row) < lookAheadDeg; row++) {
    if (flow[row]! < threshold) continue;
    const share = (threshold - flow[row - 1]!) / (flow[row]! - flow[row - 1]!);
    return shaftDeg[row - 1]! + share * (shaftDeg[row]! - shaftDeg[row - 1]!);
  }
  return null;
}

/** Loudness against time in the band of the beats: the root of the smoothed power. */
export function beatEnvelope(samples: Float64Array, rateHz: number): Float64Array {
  const highHz = Math.min(beatBandHz[1], 0.45 * rateHz);
  const band = filterZeroPhase(butterworthBandPass(4, beatBandHz[0], highHz, rateHz), samples);
  for (let i = 0; i < band.length; i++) band[i] = band[i]! * band[i]!;
  const power = filterZeroPhase(butterworthLowPass(2, envelopeCornerHz, rateHz), band);
  for (let i = 0; i < power.length; i++) power[i] = Math.sqrt(Math.max(0, power[i]!));
  return power;
}

function soundCentres(
  tail: RenderTail,
  rateHz: number,
  timesS: Float64Array,
  shaftDeg: Float64Array,
  beats: readonly BeatRow[],
): (number | null)[] | null {
  if (tail.mix.length < rateHz / 10) return null;
  const turn: FoldedTurn = {
    envelope: beatEnvelope(tail.mix, rateHz),
    firstFrame: tail.firstFrame,
    rateHz,
    timesS,
    shaftDeg,
  };
  const lobes = soundLobes(turn, beats);
  return lobes && lobes.map((lobe) => lobe.centreDeg);
}
