import * as fs from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import wavefile from "wavefile";
import { InputFault } from "../../src/node/input-fault.js";
import type { DiskCalls } from "../../src/node/part-file.js";
import { renderAnswer } from "../../src/node/render-answer.js";
import { RenderStopped, runRenderJob, stemPath, type RenderJob, type RenderWatch } from "../../src/node/render-job.js";
import type { RenderedBlock, RenderRequest, RenderSource } from "../../src/offline/render-request.js";

const folder = fs.mkdtempSync(join(tmpdir(), "fourbeat-job-"));
afterAll(() => fs.rmSync(folder, { recursive: true, force: true }));

const rateHz = 48000;

/** A tone of known level in place of a machine: half the amplitude in each stem, one beat each tenth of a second. */
class Tone implements RenderSource {
  readonly stemNames = ["exhaust-pulse", "exhaust-jet"];
  readonly channelCount = 1;
  readonly fullScalePa = 20;
  readonly pulseNames = ["timeS", "shaftDeg", "nozzlePressurePa"];
  onPulse: RenderSource["onPulse"] = null;
  private done = 0;
  constructor(
    readonly totalFrames: number,
    private readonly amplitude: number,
    private readonly frequencyHz = 997,
  ) {}

  tapPlume(): readonly string[] {
    return ["timeS"];
  }

  wasHeard(): boolean {
    return true;
  }

  next(): RenderedBlock | null {
    const frameCount = Math.min(1000, this.totalFrames - this.done);
    if (frameCount === 0) return null;
    const first = this.done;
    const mix = Float64Array.from({ length: frameCount }, (_, i) => this.sample(first + i));
    const stem = mix.map((sample) => sample / 2);
    for (let i = 0; i < frameCount; i++)
      this.onPulse?.(first + i, Float64Array.of((first + i) / rateHz, first + i, 1e5));
    this.done += frameCount;
    return { frameCount, mix, channels: [mix], stems: [stem, stem] };
  }
  private sample(frame: number): number {
    return this.amplitude * Math.sin((2 * Math.PI * this.frequencyHz * frame) / rateHz);
  }
  beats() {
    return Array.from({ length: Math.floor(this.done / 4800) }, (_, i) => {
      return { timeS: i / 10, shaftDeg: i * 90, cylinder: 1, end: "head" as const };
    });
  }
  summary() {
    const pressures = [1e5, 2e5];
    const assumed = [{ name: "chest.volume", value: "12 L", rule: "a fifth of a cylinder" }];
    return {
      ...{ turns: 1, speedRpm: 60, meanFlowKgPerS: 0.1, meanEffectivePressurePa: pressures, powerW: 1000 },
      ...{ beatsPerTurn: 4, warnings: ["odd \u001b[31m thing"], assumed },
    };
  }
}

let count = 0;
function jobOf(changes: Partial<RenderJob> = {}, request: Partial<RenderRequest> = {}): RenderJob {
  const machine = {
    name: "Tone \u001b[2J",
    kind: "stationary",
    assumed: [],
    warnings: [],
    description: { workingFluid: "air", gear: {} },
  };
  const whole = { machine, run: null, rateHz, seed: 1, loop: false, ...request };
  return {
    request: whole as unknown as RenderRequest,
    format: "24",
    wavPath: join(folder, `job${count++}.wav`),
    stems: false,
    beatsPath: null,
    pulsesPath: null,
    pulseStep: 16,
    plume: null,
    keepTail: null,
    ...changes,
  };
}

const filesOf = (job: RenderJob) =>
  fs.readdirSync(folder).filter((name) => join(folder, name).startsWith(job.wavPath.replace(".wav", "")));

function samplesOf(path: string): Float64Array {
  const wav = new wavefile.WaveFile();
  wav.fromBuffer(fs.readFileSync(path));
  return wav.getSamples(true, Float64Array as never) as unknown as Float64Array;
}

describe("a render job", () => {
  it("writes the mix, a file per stem at the same scale, beats and pulses", () => {
    const job = jobOf({ stems: true, beatsPath: join(folder, "beats.csv"), pulsesPath: join(folder, "pulses.csv") });
    const result = runRenderJob(job, () => new Tone(48000, 0.5));
    const mix = samplesOf(job.wavPath);
    expect(mix.length).toBe(48000);
    expect(result.stems.map(({ file }) => file)).toEqual(
      ["exhaust-pulse", "exhaust-jet"].map((name) => stemPath(job.wavPath, name)),
    );
    const stems = result.stems.map(({ file }) => samplesOf(file));
    for (let i = 0; i < mix.length; i += 17)
      expect(Math.abs(stems[0]![i]! + stems[1]![i]! - mix[i]!)).toBeLessThanOrEqual(2);
    const beats = fs.readFileSync(job.beatsPath!, "utf8").trim().split("\n");
    expect(beats.slice(0, 3)).toEqual(["timeS,shaftDeg,cylinder,end", "0,0,1,head", "0.1,90,1,head"]);
    expect(beats.length).toBe(11);
    const pulses = fs.readFileSync(job.pulsesPath!, "utf8").trim().split("\n");
    expect(pulses[0]).toBe("timeS,shaftDeg,nozzlePressurePa");
    expect(pulses.length).toBe(1 + 3000);
    expect(pulses[2]).toBe(`${16 / 48000},16,100000`);
  });

  it("reads the level of a full-scale 997 Hz tone as published", () => {
    // A sine of 0 dBFS at 997 Hz: -3.01 LUFS in one channel [source: ITU-R BS.1770-4, Annex 1]; mean square 3.01 dB under its peak.
    const result = runRenderJob(jobOf({ format: "32f" }), () => new Tone(96000, 1));
    expect(result.loudnessLufs).toBeCloseTo(-3.01, 1);
    expect(result.peakDbfs).toBeCloseTo(0, 2);
    expect(result.rmsDbfs).toBeCloseTo(-3.0103, 3);
    expect(result.truePeakDbtp).toBeGreaterThan(-0.05);
    expect(result.truePeakDbtp).toBeLessThan(0.15);
  });

  it("says how many samples clipped and what to do, and gives null for a level of silence", () => {
    const loud = jobOf();
    const text = renderAnswer(
      loud,
      runRenderJob(loud, () => new Tone(9600, 1.2)),
    ).notes.at(-1)!;
    expect(text).toMatch(
      /^Warning: \d+ samples of 9600 clipped \(peak \+1\.6 dBFS\)\. Written anyway; use --full-scale '25 Pa' or --bits 32f\.$/,
    );
    const silent = jobOf();
    const { json } = renderAnswer(
      silent,
      runRenderJob(silent, () => new Tone(9600, 0)),
    );
    expect(JSON.parse(JSON.stringify(json))).toMatchObject({
      peakDbfs: null,
      rmsDbfs: null,
      loudnessLufs: null,
      truePeakDbtp: null,
    });
  });

  it("does not call a sound silent that is too short or too quiet for a loudness, and says that a machine takes power", () => {
    // A block of loudness lasts 400 ms, and the absolute gate is at -70 LUFS. [source: ITU-R BS.1770-4, Annex 1]
    const textOf = (frames: number, amplitude: number) => {
      const job = jobOf();
      return renderAnswer(
        job,
        runRenderJob(job, () => new Tone(frames, amplitude)),
      ).text;
    };
    expect(textOf(4800, 0.1)).toMatch(/mean square -\d.*, loudness not measured under 0\.4 s\n/);
    expect(textOf(48000, 1e-4)).toMatch(/mean square -\d.*, loudness under -70 LUFS\n/);
    expect(textOf(48000, 0)).toMatch(/mean square silent, loudness silent\n/);
    expect(textOf(48000, 0.1)).toMatch(/loudness -\d\d\.\d LUFS\n/);
    const job = jobOf();
    const result = runRenderJob(job, () => new Tone(4800, 0.1));
    const taking = renderAnswer(job, { ...result, summary: { ...result.summary, powerW: -1000 } });
    expect(taking.json.warnings).toContainEqual(expect.stringContaining("The machine takes 1 kW to turn"));
    expect(renderAnswer(job, result).json.warnings).not.toContainEqual(expect.stringContaining("to turn"));
  });

  it("gives the fields that the contract names, and no control characters to a terminal", () => {
    const job = jobOf();
    const answer = renderAnswer(
      job,
      runRenderJob(job, () => new Tone(9600, 0.1)),
    );
    const names =
      "file stems seconds turns rateHz peakDbfs rmsDbfs loudnessLufs truePeakDbtp clippedSamples fullScalePa speedRpm meanFlowKgPerS meanEffectivePressurePa powerW realtimeRatio seed beatsPerTurn beats warnings assumed";
    expect(Object.keys(answer.json)).toEqual(names.split(" "));

    // 0.1 kg/s
    expect(answer.text).toContain("  flow        360.0 kg/h of air out, leaks included");
    expect([answer.text, ...answer.notes].join("").replaceAll("\n", "")).not.toMatch(/[\u0000-\u001f]/);
  });

  it("marks a loop over the whole file, its last sample inside", () => {
    const job = jobOf({}, { loop: true });
    runRenderJob(job, () => new Tone(4800, 0.5));
    const wav = new wavefile.WaveFile();
    wav.fromBuffer(fs.readFileSync(job.wavPath));
    expect((wav.smpl as { loops: object[] }).loops[0]).toMatchObject({ dwStart: 0, dwEnd: 4799 });
  });

  it("keeps the end of the render when asked", () => {
    const tone = new Tone(12345, 0.5);
    const { tail } = runRenderJob(jobOf({ keepTail: { seconds: 0.1, pulseStep: 4 } }), () => tone);
    expect(tail!.firstFrame).toBe(12345 - 4800);
    expect(tail!.mix[4799]).toBe(0.5 * Math.sin((2 * Math.PI * 997 * 12344) / rateHz));
    expect(tail!.pulses.length).toBe(1200 * 3);
    expect(tail!.pulses[1]).toBe(12345 - 4800);
  });
});

describe("a render that cannot end well leaves no file under any name", () => {
  const brokenDisk = (code: string, afterBytes: number): DiskCalls => {
    let written = 0;
    return {
      ...fs,
      writeSync: (d: number, bytes: Uint8Array, at: number, length: number, place: number) => {
        written += length;
        if (written > afterBytes) throw Object.assign(new Error(code), { code, syscall: "write" });
        return fs.writeSync(d, bytes, at, length, place);
      },
    } as unknown as DiskCalls;
  };

  for (const afterBytes of [0, 10_000, 280_000]) {
    it(`when the disk is full after ${afterBytes} bytes`, () => {
      const job = jobOf({ stems: true });
      const action = () => runRenderJob(job, () => new Tone(48000, 0.5), undefined, brokenDisk("ENOSPC", afterBytes));
      expect(action).toThrow(InputFault);
      expect(action).toThrow(/job\d+\.wav: the disk must have room for it, got a full disk\. .*-o\.$/);
      expect(filesOf(job)).toEqual([]);
    });
  }

  it("when it is stopped half way", () => {
    const job = jobOf({ stems: true });
    let blocks = 0;
    const watch: RenderWatch = {
      onFilesOpen: () => undefined,
      onProgress: () => void blocks++,
      isStopped: () => blocks > 5,
    };
    expect(() => runRenderJob(job, () => new Tone(48000, 0.5), watch)).toThrow(RenderStopped);
    expect(filesOf(job)).toEqual([]);
  });

  it("when a sample is not a number", () => {
    const job = jobOf();
    expect(() => runRenderJob(job, () => new Tone(4800, NaN))).toThrow("not a finite number");
    expect(filesOf(job)).toEqual([]);
  });
});
