import { join } from "node:path";
import { caution } from "../offline/caution.js";
import { eventsReport } from "../offline/events-report.js";
import type { BeatRow } from "../offline/render-request.js";
import { beatArrivals } from "./beat-arrivals.js";
import { printAnswer } from "./command-answer.js";
import { packageFolder, pathFromHere } from "./command-presets.js";
import { endWith } from "./endings.js";
import { defaultOutputFolder, requireOutputs } from "./files.js";
import { firstSoundTable } from "./first-sound-table.js";
import { readRenderInput, type RenderInput } from "./machine-input.js";
import { buildProgram } from "./program.js";
import { ProgressBar } from "./progress-bar.js";
import { renderAside } from "./render-aside.js";
import { renderAnswer } from "./render-answer.js";
import type { RenderJob } from "./render-job.js";

// Turns shown, and the stretch looked at to find the mean turn. [common practice]
const turnsShown = 3;
const tailSeconds = 12;

/** What `npm start` does: renders the run that ships and says, beat by beat, where each was expected and where it came. */
async function firstSound(): Promise<void> {
  const runPath = join(packageFolder, "render", "harrow-away.yaml");
  const input = readRenderInput(runPath);
  const wavPath = join(defaultOutputFolder(), "harrow-away.wav");
  requireOutputs([{ option: "-o", path: wavPath }], input.inputPaths);
  const job: RenderJob = {
    request: {
      machine: input.machine,
      run: input.run,
      ...{ seconds: null, turns: null, loop: false, speedRpm: null, cutoffRatio: null, regulatorRatio: null },
      ...{ rateHz: 48000, seed: input.run?.seed ?? 1, fullScalePa: null, fidelity: 4 },
    },
    ...{ format: "24", wavPath, stems: false, beatsPath: null, pulsesPath: null, pulseStep: 16, plume: null },
    keepTail: { seconds: tailSeconds, pulseStep: 4 },
  };
  process.stdout.write(`Rendering ${pathFromHere(runPath)} ...\n\n`);
  const bar = new ProgressBar();
  try {
    const result = await renderAside(job, (done, total) => bar.show(done, total, job.request.rateHz));
    bar.stop();
    const answer = renderAnswer(job, result);
    const lastDeg = result.tail!.pulses.at(-result.tail!.pulseNames.length + 1)!;
    // The last beat shown must have room to sound.
    const shown = result.beats.filter((beat) => {
      const turnsLeft = Math.abs(lastDeg - beat.shaftDeg) / 360;
      return turnsLeft > 1 && turnsLeft <= turnsShown + 1;
    });
    const arrivals = beatArrivals(result.tail!, job.request.rateHz, shown).map((arrival) => {
      return { ...arrival, expectedDeg: expectedDeg(input, arrival.beat) };
    });
    const text = `${firstSoundTable(arrivals, result.summary.speedRpm < 0)}\n\n${answer.text}`;
    printAnswer({ ...answer, text: `${text}\n\nOpen ${wavPath} in any audio editor.` }, false);
  } finally {
    bar.stop();
  }
}

/** The release nearest to a beat as the valve gear's geometry alone gives it, at the cut-off that the run ends with. */
function expectedDeg({ machine, run }: RenderInput, beat: BeatRow): number {
  const { gear, speedRpm } = machine.description;
  const cutoffs = (run?.controls ?? []).map((control) => control.cutoffRatio).filter((ratio) => ratio !== undefined);
  const { beats } = eventsReport({
    ...{ gear, cutoffRatio: cutoffs.at(-1) ?? null, exhaustsToAir: true, speedRpm },
    ...{ relativeLevelsDb: null, assumed: [], warnings: [], caution },
  });
  const release = beats.find(({ cylinder, end }) => cylinder === beat.cylinder && end === beat.end)!.shaftDeg;
  return release + 360 * Math.round((beat.shaftDeg - release) / 360);
}

try {
  await firstSound();
} catch (error) {
  process.exitCode = endWith(error, [], buildProgram());
}
