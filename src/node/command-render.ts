import { basename, extname, join } from "node:path";
import type { Command } from "commander";
import { safeFileStem } from "../preset/file-stem.js";
import { stemNames } from "../machine/machine.js";
import { voiceStemNames } from "../machine/voices.js";
import { defaultOutputFolder, requireOutputs, type PlannedOutput } from "./files.js";
import { optionFault } from "./input-fault.js";
import { readRenderInput, type RenderInput } from "./machine-input.js";
import * as values from "./option-values.js";
import { ProgressBar } from "./progress-bar.js";
import { renderAside } from "./render-aside.js";
import { renderAnswer } from "./render-answer.js";
import { stemPath, type RenderJob } from "./render-job.js";
import type { Answerer } from "./command-answer.js";

interface RenderWords {
  readonly output?: string;
  readonly seconds?: string;
  readonly turns?: string;
  readonly loop?: boolean;
  readonly speed?: string;
  readonly cutoff?: string;
  readonly regulator?: string;
  readonly rate: string;
  readonly bits: string;
  readonly stems?: boolean;
  readonly seed?: string;
  readonly fullScale?: string;
  readonly fidelity: string;
  readonly pulses?: string;
  readonly pulseStep?: string;
  readonly beats?: string;
  readonly plume?: string;
  readonly plumeRate?: string;
  readonly json?: boolean;
}

/** `fourbeat render RUN|MACHINE`: offline WAV. */
export function addRenderCommand(program: Command, answer: Answerer): void {
  program
    .command("render")
    .summary("render a run, or a machine at its own speed, to a WAV file")
    .description(
      "Renders a run file, or a bare machine file at its own speed with regulator and gear full, to a WAV file.\n" +
        "Without -o the file goes to render/out/ under the current folder.",
    )
    .argument("<file>", "run file or machine file")
    .option("-o, --output <file>", "the WAV file to write")
    .option("--seconds <time>", "length: 0.1 s to 86400 s (default: the run's own, or 10 s)")
    .option("--turns <count>", "length in turns of the shaft, instead of --seconds")
    .option("--loop", "a seamless loop: whole turns in whole samples, marked in the file")
    .option("--speed <speed>", "of a bare machine: rpm or Hz, or mph or km/h with wheels; negative is backwards")
    .option("--cutoff <ratio>", "of a bare machine: cut-off in % of the stroke; negative is backward gear")
    .option("--regulator <ratio>", "of a bare machine: how far open, in %")
    .option("--rate <hertz>", "audio samples a second, 8000 to 192000", "48000")
    .option("--bits <format>", "16, 24 or 32f (floating point)", "24")
    .option("--stems", "write each part of the sound to a file of its own as well")
    .option("--seed <number>", "of all that is random, 0 to 4294967295 (default: the run's own, or 1)")
    .option("--full-scale <pressure>", "sound pressure of a sample of 1.0, such as '20 Pa'")
    .option("--fidelity <step>", "how finely the steam is followed: 4, 2 or 1, the finest", "4")
    .option("--pulses <file>", "write pressures and flows as CSV")
    .option("--pulse-step <count>", "every how many audio samples --pulses has a row (default: 16)")
    .option("--beats <file>", "write the moment of every release as CSV")
    .option("--plume <file>", "write what leaves the mouths as CSV, or as JSON for a name that ends in .json")
    .option("--plume-rate <hertz>", "rows a second of --plume, 0.1 to 1000 (default: 100)")
    .option("--json", "print one JSON object instead of words")
    .addHelpText(
      "after",
      "\nExample:\n  fourbeat render presets/harrow-tank.yaml --seconds 20 --speed '60 rpm' -o shunter.wav",
    )
    .action(async (file: string, words: RenderWords) => {
      const job = renderJob(readRenderInput(file), words);
      const bar = new ProgressBar();
      try {
        const result = await renderAside(job, (done, total) => bar.show(done, total, job.request.rateHz));
        bar.stop();
        answer(renderAnswer(job, result), words.json === true);
      } finally {
        bar.stop();
      }
    });
}

/** The job that an input and the options ask for, every option checked. */
function renderJob(input: RenderInput, words: RenderWords): RenderJob {
  if (words.seconds !== undefined && words.turns !== undefined) {
    throw optionFault("--turns", "--turns must not be given together with --seconds. Leave one of them out.");
  }
  if (words.pulseStep !== undefined && words.pulses === undefined) {
    throw optionFault(
      "--pulse-step",
      "--pulse-step must come with --pulses, got it alone. Add --pulses and a file name.",
    );
  }
  if (words.plumeRate !== undefined && words.plume === undefined) {
    throw optionFault(
      "--plume-rate",
      "--plume-rate must come with --plume, got it alone. Add --plume and a file name.",
    );
  }
  for (const name of ["speed", "cutoff", "regulator"] as const) {
    if (input.run !== null && words[name] !== undefined) {
      const rule = `--${name} must come with a bare machine file, got a run file`;
      throw optionFault(`--${name}`, `${rule}. Change ${name} among the run's controls.`);
    }
  }
  const given = <Value>(text: string | undefined, read: (text: string) => Value): Value | null =>
    text === undefined ? null : read(text);
  const { wheelDiameterM, gear } = input.machine.description;
  const request = {
    machine: input.machine,
    run: input.run,
    seconds: given(words.seconds, values.secondsOption),
    turns: given(words.turns, values.turnsOption),
    loop: words.loop === true,
    speedRpm: given(words.speed, (text) => values.speedOption(text, wheelDiameterM, gear.cylinder.strokeM)),
    cutoffRatio: given(words.cutoff, values.cutoffOption),
    regulatorRatio: given(words.regulator, values.regulatorOption),
    rateHz: values.rateOption(words.rate),
    seed: given(words.seed, values.seedOption) ?? input.run?.seed ?? 1,
    fullScalePa: given(words.fullScale, values.fullScaleOption),
    fidelity: values.fidelityOption(words.fidelity),
  };
  values.requireCutoff(input.machine.description.gear, request.cutoffRatio);
  const format = values.bitsOption(words.bits);
  const pulseStep = given(words.pulseStep, values.pulseStepOption) ?? 16;
  const plumeRateHz = given(words.plumeRate, values.plumeRateOption) ?? 100;
  const plume = words.plume === undefined ? null : { path: words.plume, rateHz: plumeRateHz };
  return { request, format, stems: words.stems === true, pulseStep, plume, keepTail: null, ...outputs(input, words) };
}

function outputs(input: RenderInput, words: RenderWords): Pick<RenderJob, "wavPath" | "beatsPath" | "pulsesPath"> {
  for (const option of ["output", "beats", "pulses", "plume"] as const) requireFileName(option, words[option]);
  const wavPath =
    words.output ?? join(defaultOutputFolder(), `${safeFileStem(basename(input.path, extname(input.path)))}.wav`);
  const planned: PlannedOutput[] = [{ option: "-o", path: wavPath }];
  if (words.beats !== undefined) planned.push({ option: "--beats", path: words.beats });
  if (words.pulses !== undefined) planned.push({ option: "--pulses", path: words.pulses });
  if (words.plume !== undefined) planned.push({ option: "--plume", path: words.plume });
  if (words.stems)
    for (const name of [...stemNames, ...voiceStemNames, "background"])
      planned.push({ option: "--stems", path: stemPath(wavPath, name) });
  requireOutputs(planned, input.inputPaths);
  if (!/\.wav$/i.test(wavPath)) {
    const name = wavPath.replace(/\.[a-z0-9]{2,4}$/i, "");
    throw optionFault("-o", `-o must be a file name that ends in .wav, got ${wavPath}. For example ${name}.wav.`);
  }
  return { wavPath, beatsPath: words.beats ?? null, pulsesPath: words.pulses ?? null };
}

function requireFileName(option: string, name: string | undefined): void {
  if (name === undefined || !name.startsWith("-")) return;
  const shownOption = option === "output" ? "-o" : `--${option}`;
  throw optionFault(
    shownOption,
    `${shownOption} must be a file name, got ${name}. Write ./${name} if that is its name.`,
  );
}
