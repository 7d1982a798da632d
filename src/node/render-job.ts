import type { BeatRow, RenderedBlock, RenderRequest, RenderSource, RenderSummary } from "../offline/render-request.js";
import { stemNames } from "../machine/machine.js";
import { oneLine } from "../preset/complaint.js";
import { CsvFile } from "./csv-file.js";
import { writeFault } from "./files.js";
import { optionFault, withRefusals } from "./input-fault.js";
import { JsonTable } from "./json-table.js";
import { LevelReading } from "./level-reading.js";
import { PartFiles, type DiskCalls } from "./part-file.js";
import type { LoopMark, SampleFormat } from "./wav-chunks.js";
import { WavStream } from "./wav-stream.js";

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
  /** What leaves the mouths, as a table: CSV, or JSON where the name says so. */
  readonly plume: { readonly path: string; readonly rateHz: number } | null;
  /** Keep the last seconds in memory as well, for a closer look; `null`: nothing. */
  readonly keepTail: { readonly seconds: number; readonly pulseStep: number } | null;
}

/** The end of a render, kept in memory: the mix from `firstFrame` on and its pulse record, row after row. */
export interface RenderTail {
  readonly firstFrame: number;
  readonly mix: Float64Array;
  readonly pulseNames: readonly string[];
  readonly pulses: Float64Array;
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
  /** Greatest sample of any stem file, before clipping; 1.0 is full scale. */
  readonly greatestStemSample: number;
  readonly beats: readonly BeatRow[];
  readonly summary: RenderSummary;
  readonly tail: RenderTail | null;
  /** Wall-clock time of running the machine in, level rule included. */
  readonly runInS: number;
  /** Wall-clock time of making and writing all frames after that. */
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

const alwaysWritten: readonly string[] = [...stemNames, "background"];

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
  // What the values asked for make impossible shows when the render is opened, and is the user's to change.
  const source = withRefusals(
    (message) => optionFault("render", message),
    () => open(job.request),
  );
  if (watch.isStopped()) throw new RenderStopped();
  watch.onFilesOpen();
  const files = new PartFiles(disk);
  try {
    return renderInto(files, source, job, watch, (performance.now() - startedMs) / 1000);
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
  runInS: number,
): RenderResult {
  const startedMs = performance.now();
  const openWav = (path: string, fileIndex: number, channelCount: number, file = files.open(path)): WavStream =>
    new WavStream(file, {
      sampleRateHz: job.request.rateHz,
      channelCount,
      format: job.format,
      ditherSeed: job.request.seed ?? 1,
      fileIndex,
    });
  const allStems = (job.stems ? source.stemNames : []).map((name, place) => {
    const file = stemPath(job.wavPath, name);
    return { name, place, file, part: files.open(file) };
  });
  const mixWav = openWav(job.wavPath, 0, source.channelCount);
  const stemWavs = allStems.map((stem, i) => openWav(stem.file, i + 1, 1, stem.part));
  const beatsCsv = job.beatsPath && new CsvFile(files.open(job.beatsPath), ["timeS", "shaftDeg", "cylinder", "end"]);
  const pulsesCsv = job.pulsesPath && new CsvFile(files.open(job.pulsesPath), source.pulseNames);
  const tail = job.keepTail && new TailKeeper(source, job.keepTail, job.request.rateHz);
  if (pulsesCsv || tail) {
    source.onPulse = (rowIndex, row) => {
      if (pulsesCsv && rowIndex % job.pulseStep === 0) pulsesCsv.writeRow(row);
      if (tail) tail.addPulses(rowIndex, row);
    };
  }

  const plume = job.plume === null ? null : openPlume(files, source, job.plume);
  const level = new LevelReading(job.request.rateHz, source.channelCount);
  for (let block = source.next(); block !== null; block = source.next()) {
    if (watch.isStopped()) throw new RenderStopped();
    mixWav.write(block.channels, block.frameCount);
    for (let i = 0; i < stemWavs.length; i++) stemWavs[i]!.write([block.stems[i]!], block.frameCount);
    level.add(block.channels, block.frameCount);
    if (tail) tail.addSound(mixWav.frameCount - block.frameCount, block);
    watch.onProgress(mixWav.frameCount, source.totalFrames);
  }

  const beats = source.beats();
  if (beatsCsv) {
    for (const beat of beats) beatsCsv.writeRow([beat.timeS, beat.shaftDeg, beat.cylinder, beat.end]);
    beatsCsv.close();
  }
  if (pulsesCsv) pulsesCsv.close();
  plume?.close();
  const loop: LoopMark | null = job.request.loop ? { firstFrame: 0, lastFrame: mixWav.frameCount - 1 } : null;
  const info = { INAM: oneLine(job.request.machine.name, 120), ISFT: "fourbeat" };
  for (const wav of [mixWav, ...stemWavs]) wav.close({ loop, cues: [], info });
  if (watch.isStopped()) throw new RenderStopped();
  // A voice that kept silent throughout leaves no file; the steam's own stems always do.
  const isKept = ({ name, place }: { name: string; place: number }) =>
    alwaysWritten.includes(name) || source.wasHeard(place);
  for (const stem of allStems) if (!isKept(stem)) files.drop(stem.part);
  const stems = allStems.filter(isKept).map(({ name, file }) => ({ name, file }));
  files.publishAll();
  return {
    stems,
    frameCount: mixWav.frameCount,
    fullScalePa: source.fullScalePa,
    ...level.reading(),
    clippedSamples: mixWav.clippedSamples,
    clippedStemSamples: stemWavs.reduce((sum, wav) => sum + wav.clippedSamples, 0),
    greatestStemSample: stemWavs.reduce((most, wav) => Math.max(most, wav.greatest), 0),
    beats,
    tail: tail && tail.kept(),
    summary: source.summary(),
    runInS,
    elapsedS: (performance.now() - startedMs) / 1000,
  };
}

interface Table {
  writeRow(cells: ArrayLike<number>): void;
  close(): void;
}

function openPlume(
  files: PartFiles,
  source: RenderSource,
  { path, rateHz }: { readonly path: string; readonly rateHz: number },
): Table {
  const file = files.open(path);
  let table: Table | null = null;
  const names = source.tapPlume(rateHz, (row) => table?.writeRow(row));
  table = /\.json$/i.test(path) ? new JsonTable(file, names) : new CsvFile(file, names);
  return table;
}

/** Keeps what comes after a certain frame. */
class TailKeeper {
  private readonly firstFrame: number;
  private readonly mix: Float64Array;
  private readonly pulses: Float64Array;
  private pulseCount = 0;

  constructor(
    private readonly source: RenderSource,
    private readonly settings: { readonly seconds: number; readonly pulseStep: number },
    rateHz: number,
  ) {
    const frames = Math.min(source.totalFrames, Math.ceil(settings.seconds * rateHz));
    this.firstFrame = source.totalFrames - frames;
    this.mix = new Float64Array(frames);
    this.pulses = new Float64Array(Math.ceil(frames / settings.pulseStep) * source.pulseNames.length);
  }

  addSound(firstFrame: number, block: RenderedBlock): void {
    for (let i = Math.max(0, this.firstFrame - firstFrame); i < block.frameCount; i++) {
      this.mix[firstFrame + i - this.firstFrame] = block.mix[i]!;
    }
  }

  addPulses(rowIndex: number, row: Float64Array): void {
    const fromFirst = rowIndex - this.firstFrame;
    if (fromFirst < 0 || fromFirst % this.settings.pulseStep !== 0) return;
    const place = this.pulseCount * row.length;
    if (place + row.length > this.pulses.length) return;
    this.pulses.set(row, place);
    this.pulseCount++;
  }

  kept(): RenderTail {
    const pulses = this.pulses.subarray(0, this.pulseCount * this.source.pulseNames.length);
    return { firstFrame: this.firstFrame, mix: this.mix, pulseNames: this.source.pulseNames, pulses };
  }
}
