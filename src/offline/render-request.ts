import type { MachineFile } from "../preset/machine-file.js";
import type { RunFile } from "../preset/run-file.js";
import type { CylinderEnd } from "../gear/gear-description.js";

/** What a render is asked for. Overrides are `null` where the file decides. */
export interface RenderRequest {
  readonly machine: MachineFile;
  /** `null`: a bare machine, kinematic at its own speed. */
  readonly run: RunFile | null;
  /** Length in seconds; with `turns` also `null`, the run's own or 10 s. */
  readonly seconds: number | null;
  /** Length in turns of the shaft. Never together with `seconds`. */
  readonly turns: number | null;
  /** Whole turns in whole samples, so that the end joins the beginning. */
  readonly loop: boolean;
  /** Signed; for a bare machine only. */
  readonly speedRpm: number | null;
  /** Nominal cut-off as a share of the stroke, negative in backward gear; for a bare machine only. */
  readonly cutoffRatio: number | null;
  /** 0 shut, 1 full open; for a bare machine only. */
  readonly regulatorRatio: number | null;
  /** Audio samples a second. */
  readonly rateHz: number;
  readonly seed: number | null;
  /** Sound pressure of a sample of 1.0. */
  readonly fullScalePa: number | null;
  /** Surroundings of a bare machine's listener, dB(A); null or left out: none, or the run file's. */
  readonly backgroundDb?: number | null;
  /** The fluid ticks at 12 kHz (4), 24 kHz (2) or 48 kHz (1), about. */
  readonly fidelity: 1 | 2 | 4;
}

/** A stretch of rendered sound in units of full scale, high-passed, the common delay taken out. Arrays are reused. */
export interface RenderedBlock {
  readonly frameCount: number;
  /** The only channel, or the first: left, or W. */
  readonly mix: Float64Array;
  /** One, two (left, right) or four (Ambisonics W, Y, Z, X); the same sum of all stems as they are heard. */
  readonly channels: readonly Float64Array[];
  /** In the order of `stemNames`. */
  readonly stems: readonly Float64Array[];
}

/** One exhaust beat: the moment of release, not of arrival. */
export interface BeatRow {
  readonly timeS: number;
  /** Unwrapped; falls when running backwards. */
  readonly shaftDeg: number;
  /** Counted from 1. */
  readonly cylinder: number;
  readonly end: CylinderEnd;
}

/** What the model knows of a finished render. */
export interface RenderSummary {
  readonly turns: number;
  /** Mean over the render, signed. */
  readonly speedRpm: number;
  /** Steam or air out through the mouths, or into the condenser, and past rings that leak to the air: mean over the turns. */
  readonly meanFlowKgPerS: number;
  /** Per cylinder end: the work of a turn divided by that end's swept volume. Means over whole turns; null before the first is full. */
  readonly meanEffectivePressurePa: readonly number[] | null;
  /** The same: null before the first turn is full, 0 of a shaft that stands throughout. */
  readonly powerW: number | null;
  readonly beatsPerTurn: number;
  /** Of a boiler that lives, at the beginning and at the end, absolute; left out where it holds its pressure. */
  readonly boilerPressurePa?: readonly [number, number];
  readonly warnings: readonly string[];
  readonly assumed: readonly { readonly name: string; readonly value: string; readonly rule: string }[];
}

/** A render in progress, block by block. */
export interface RenderSource {
  readonly stemNames: readonly string[];
  /** Of the mix; stems have one. */
  readonly channelCount: number;
  wasHeard(stem: number): boolean;
  readonly totalFrames: number;
  readonly fullScalePa: number;
  /** One name per column of the pulse record. */
  readonly pulseNames: readonly string[];
  /** Called once per audio sample, in order, when set before the first block. */
  onPulse: ((rowIndex: number, row: Float64Array) => void) | null;
  /** Hands out the plume row by row, so many a second, and says what the columns are; before the first block. */
  tapPlume(rateHz: number, onRow: (row: Float64Array) => void): readonly string[];
  next(): RenderedBlock | null;
  /** All so far. */
  beats(): readonly BeatRow[];
  summary(): RenderSummary;
}

/** A request with everything not named left to the machine or run file: 48 kHz, fidelity 4. */
export function renderRequest(
  machine: MachineFile,
  wishes: Partial<Omit<RenderRequest, "machine">> = {},
): RenderRequest {
  return {
    machine,
    run: null,
    seconds: null,
    turns: null,
    loop: false,
    speedRpm: null,
    cutoffRatio: null,
    regulatorRatio: null,
    rateHz: 48_000,
    seed: null,
    fullScalePa: null,
    backgroundDb: null,
    fidelity: 4,
    ...wishes,
  };
}
