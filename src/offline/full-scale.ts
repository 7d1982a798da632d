import type { EngineDescription } from "../engine/engine-description.js";
import { Machine } from "../machine/machine.js";
import { settle } from "../machine/settle.js";
import { HighPass } from "../sound/high-pass.js";
import { driveOf, steadyPlan } from "./run-plan.js";
import { steadyDescription } from "./steady-pump.js";

/** Room above the loudest moment of four settled turns. [common practice: 6 dB] */
export const fullScaleHeadroomRatio = 1.9952623149688795;
const calibrationRateHz = 48_000;
const calibrationDistanceM = 7.5;
const calibrationTurns = 4;
/** Most sound by which a machine is judged, s: one that stands, or turns so slowly that four turns take longer. [common practice] */
export const fullScaleLongestS = 30;
// What silence is written against, Pa. [common practice]
const silentFullScalePa = 1;

/**
 * Sound pressure of a sample of 1.0 where no file says: a rule of the machine alone. 6 dB over the peak of four settled
 * turns (or of the first 30 s of them) at full regulator, full gear, its own speed, heard at 7.5 m. A machine that is silent
 * to the air is heard by its inlet, which then is the loudest stem and all of the mix. A pump without a crank: four double
 * strokes against its lift.
 */
export function ruledFullScalePa(file: EngineDescription): number {
  const description = steadyDescription(file);
  const plan = steadyPlan(description, description.speedRpm, 1, null, 1);
  const settings = {
    ...({ sampleRateHz: calibrationRateHz, fidelity: 4, seed: 1, distanceM: calibrationDistanceM } as const),
    strokesAlready: true,
  };
  const machine = new Machine(description, settings, driveOf(plan));
  const turnS = description.speedRpm === 0 ? fullScaleLongestS : 60 / Math.abs(description.speedRpm);
  const { strokeS } = settle(machine, description.speedRpm, Math.round(0.5 / machine.tickS));
  const block = 4096;
  const stems = machine.stemNames.map(() => new Float64Array(block));
  const filter = new HighPass(calibrationRateHz);
  const mix = new Float64Array(block);
  const leadFrames = Math.round(0.5 * calibrationRateHz);
  const frames =
    leadFrames + Math.round(Math.min(fullScaleLongestS, calibrationTurns * (strokeS ?? turnS)) * calibrationRateHz);
  let peak = 0;
  for (let done = 0; done < frames; done += block) {
    machine.process(stems, block);
    mix.fill(0);
    for (const stem of stems) for (let i = 0; i < block; i++) mix[i] = mix[i]! + stem[i]!;
    filter.process(mix, mix, block);
    for (let i = Math.max(0, leadFrames - done); i < block && done + i < frames; i++) {
      peak = Math.max(peak, Math.abs(mix[i]!));
    }
  }
  return peak > 0 ? peak * fullScaleHeadroomRatio : silentFullScalePa;
}
