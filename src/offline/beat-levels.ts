import { DISTINCT_BEAT_DEG } from "../gear/beats.js";
import { isSettable } from "../gear/gear-description.js";
import { butterworthBandPass } from "../listening/band-filter.js";
import { filterZeroPhase } from "../listening/zero-phase.js";
import { Machine } from "../machine/machine.js";
import { settle } from "../machine/settle.js";
import { log10 } from "../quantities/portable-maths.js";
import type { EngineDescription } from "../engine/engine-description.js";
import { requireEvents } from "./events-report.js";
import { driveOf, ownCutoffRatio, steadyPlan } from "./run-plan.js";

const rateHz = 48_000;
const turns = 4;
// The band in which a beat's strength is judged. [common practice: 100 to 800 Hz]
const bandHz = { low: 100, high: 800 };
const blockFrames = 4096;

/**
 * Strength of every end's beat in the running model against the loudest, dB, in the order of the ends: energy of the pulse
 * stem, 100-800 Hz, from one release to the next, mean of four settled turns at the machine's own speed.
 * Null for ends that make no beat, and for all while the shaft stands still. A speed of the other sign than the gear is
 * taken the gear's way round.
 *
 * @param cutoffRatio nominal, signed; null is full gear
 * @throws RangeError for a cut-off the gear lacks, or a pump without a crank
 */
export function relativeBeatLevelsDb(
  machineFile: { readonly description: EngineDescription },
  cutoffRatio: number | null,
): (number | null)[] {
  const { description } = machineFile;
  requireEvents(description.gear);
  const oscillates = !isSettable(description.gear.valveGear);
  const wanted = cutoffRatio ?? ownCutoffRatio(description.gear, description.speedRpm);
  const plan = (speedRpm: number) => steadyPlan(description, speedRpm, 1, wanted, turns * 60);
  const speed = Math.abs(description.speedRpm);
  const speedRpm = oscillates ? description.speedRpm : wanted !== null && wanted < 0 ? -speed : speed;
  const machine = new Machine(
    description,
    { sampleRateHz: rateHz, fidelity: 4, seed: 1, distanceM: 7.5, hasVoices: false },
    driveOf(plan(speedRpm)),
  );
  const endCount = machine.engine.ends.count;
  if (speed === 0) return new Array<null>(endCount).fill(null);
  const turnS = 60 / speed;
  // Half a turn before and after is made too, so that the filter's ends stay outside what is measured.
  const marginS = 0.5 * turnS;
  settle(machine, speedRpm, Math.ceil(marginS / machine.tickS));
  const firstS = (machine.nextSample - machine.delaySamples) / rateHz;
  const pulse = new Float64Array(Math.ceil((marginS - firstS + turns * turnS + marginS) * rateHz));
  const block = [new Float64Array(blockFrames)];
  for (let done = 0; done < pulse.length; done += blockFrames) {
    const count = Math.min(blockFrames, pulse.length - done);
    machine.process(block, count);
    pulse.set(block[0]!.subarray(0, count), done);
  }
  const band = filterZeroPhase(butterworthBandPass(4, bandHz.low, bandHz.high, rateHz), pulse);
  const energies = new Float64Array(endCount);
  const { beats } = machine;
  const togetherS = (DISTINCT_BEAT_DEG / 360) * turnS;
  for (let i = 0; i < beats.count; i++) {
    const fromS = beats.timeS(i);
    if (fromS < 0 || fromS >= turns * turnS) continue;
    // Beats that fall together share what follows them.
    let next = i + 1;
    while (next < beats.count && beats.timeS(next) - fromS < togetherS) next++;
    const untilS = next < beats.count ? beats.timeS(next) : fromS + turnS;
    const from = Math.round((fromS - firstS) * rateHz);
    const until = Math.min(pulse.length, Math.round((untilS - firstS) * rateHz));
    const end = beats.endOf(i);
    for (let n = from; n < until; n++) energies[end] = energies[end]! + band[n]! * band[n]!;
  }
  const greatest = Math.max(...energies);
  return Array.from(energies, (energy) => (energy > 0 ? 10 * log10(energy / greatest) : null));
}
