import type { BeatRow, RenderedBlock, RenderRequest, RenderSummary } from "../offline/render-request.js";
import { CsvFile } from "./csv-file.js";
import { writeFault } from "./files.js";
import { LevelReading } from "./level-reading.js";
import { PartFiles, type DiskCalls } from "./part-file.js";
import type { LoopMark, SampleFormat } from "./wav-chunks.js";
import { WavStream } from "./wav-stream.js";

/** A render in progress, block by block. */
export interface RenderSource {
  readonly stemNames: readonly string[];
  readonly totalFrames: number;
  readonly fullScalePa: number;
  /** One name per column of the pulse record. */
  readonly pulseNames: readonly string[];
  /** Called once per audio sample, in order, when set before the first block. */
  onPulse: ((rowIndex: number, row: Float64Array) => void) | null;
  next(): RenderedBlock | null;
  /** All so far. */
  beats(): readonly BeatRow[];
  summary(): RenderSummary;
}

/** Everything a render writes and where; plain values, so that it can be handed to a worker. */
export interface RenderJob {
  readonly request: RenderRequest;
  readonly format: SampleFormat;
  readonly wavPath: string;
  /** Write a file per stem beside the mix. */
  readonly stems: boolean;
  readonly beatsPath: string | null;
  readonly pulsesPath: string | null;
  /** Every how many audio samples a row of the pulse record is written. */
  readonly pulseStep: number;
}

export interface RenderResult {
  readonly stems: readonly { readonly name: string; readonly file: string }[];
  readonly frameCount: number;
  readonly fullScalePa: number;
  readonly peakDbfs: number;
  readonly rmsDbfs: number;
  readonly loudnessLufs: number;
  readonly truePeakDbtp: number;
  /** Of the mix. */
  readonly clippedSamples: number;
  /** Of all stem files together. */
  readonly clippedStemSamples: number;
  readonly beats: readonly BeatRow[];
  readonly summary: RenderSummary;
  /** Wall-clock time of the whole render, its run-up included. */
  readonly elapsedS: number;
}

/** How a render is watched and stopped from outside. */
export interface RenderWatch {
  /** Files are about to be opened; from here on stopping means removing them. */
  onFilesOpen(): void;
  onProgress(doneFrames: number, totalFrames: number): void;
  isStopped(): boolean;
}

/** Thrown when a watch stopped the render; its files are gone by then. */
export class RenderStopped extends Error {}

const unwatched: RenderWatch = { onFilesOpen: () => undefined, onProgress: () => undefined, isStopped: () => false };

/** `a/F.wav` and `exhaust-jet` -> `a/F-exhaust-jet.wav`. */
export function stemPath(wavPath: string, stemName: string): string {
  return `${wavPath.replace(/\.wav$/i, "")}-${stemName}.wav`;
}

/**
 * Renders into files that appear under their names together, when all are whole, or not at all.
 *
 * @param open starts the render: the run-up to the settled turn is done here
 * @throws InputFault when the disk refuses, `RenderStopped` when the watch says so
 */
export function runRenderJob(
  job: RenderJob,
  open: (request: RenderRequest) => RenderSource,
  watch: RenderWatch = unwatched,
  disk?: DiskCalls,
): RenderResult {
  const startedMs = performance.now();
  const source = open(job.request);
  if (watch.isStopped()) throw new RenderStopped();
  watch.onFilesOpen();
  const files = new PartFiles(disk);
  try {
    return renderInto(files, source, job, watch, startedMs);
  } catch (error) {
    files.abandonAll();
    throw writeFault(job.wavPath, error);
  }
}

function renderInto(
  files: PartFiles,
  source: RenderSource,
  job: RenderJob,
  watch: RenderWatch,
  startedMs: number,
): RenderResult {
  const openWav = (path: string, fileIndex: number): WavStream =>
    new WavStream(files.open(path), {
      sampleRateHz: job.request.rateHz,
      channelCount: 1,
      format: job.format,
      ditherSeed: job.request.seed ?? 1,
      fileIndex,
    });
  const stems = (job.stems ? source.stemNames : []).map((name) => ({ name, file: stemPath(job.wavPath, name) }));
  const mixWav = openWav(job.wavPath, 0);
  const stemWavs = stems.map((stem, i) => openWav(stem.file, i + 1));
  const beatsCsv = job.beatsPath && new CsvFile(files.open(job.beatsPath), ["timeS", "shaftDeg", "cylinder", "end"]);
  const pulsesCsv = job.pulsesPath && new CsvFile(files.open(job.pulsesPath), source.pulseNames);
  if (pulsesCsv) {
    source.onPulse = (rowIndex, row) => {
      if (rowIndex % job.pulseStep === 0) pulsesCsv.writeRow(row);
    };
  }

  const level = new LevelReading(job.request.rateHz);
  for (let block = source.next(); block !== null; block = source.next()) {
    if (watch.isStopped()) throw new RenderStopped();
    mixWav.write([block.mix], block.frameCount);
    for (let i = 0; i < stemWavs.length; i++) stemWavs[i]!.write([block.stems[i]!], block.frameCount);
    level.add(block.mix, block.frameCount);
    watch.onProgress(mixWav.frameCount, source.totalFrames);
  }

  const beats = source.beats();
  if (beatsCsv) {
    for (const beat of beats) beatsCsv.writeRow([beat.timeS, beat.shaftDeg, beat.cylinder, beat.end]);
    beatsCsv.close();
  }
  if (pulsesCsv) pulsesCsv.close();
  const loop: LoopMark | null = job.request.loop ? { firstFrame: 0, lastFrame: mixWav.frameCount - 1 } : null;
  const info = { INAM: job.request.machine.name, ISFT: "fourbeat" };
  for (const wav of [mixWav, ...stemWavs]) wav.close({ loop, cues: [], info });
  if (watch.isStopped()) throw new RenderStopped();
  files.publishAll();
  return {
    stems,
    frameCount: mixWav.frameCount,
    fullScalePa: source.fullScalePa,
    ...level.reading(),
    clippedSamples: mixWav.clippedSamples,
    clippedStemSamples: stemWavs.reduce((sum, wav) => sum + wav.clippedSamples, 0),
    beats,
    summary: source.summary(),
    elapsedS: (performance.now() - startedMs) / 1000,
  };
}
