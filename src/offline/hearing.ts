import { airSoundSpeedMPerS } from "../machine/ambient-air.js";
import { Listener } from "../machine/listener.js";
import type { ListenerPlace } from "../machine/listener-place.js";
import type { Machine } from "../machine/machine.js";
import { sourcePlaces } from "../machine/source-places.js";
import type { ListenerSettings } from "../preset/listener-rules.js";
import { atan2 } from "../quantities/portable-maths.js";
import { GRASS } from "../sound/ground-reflection.js";
import type { RunPlan } from "./run-plan.js";

// The machine's place on its road is told to the listener so often. [common practice: ten times a second and more]
const rowSamples = 512;
// Travelling times of a machine that passes are kept to this far. [common practice]
const farthestM = 400;
// A hard ground gives back nearly all. [common practice: asphalt, concrete]
const hardReflectionRatio = 0.95;

/** A place to listen from other than the plain one, in the course of a render. */
export class Hearing {
  readonly channelCount: number;
  readonly outputs: readonly Float64Array[];
  /** Frames by which the sound is under way when the render begins. */
  readonly travelFrames: number;
  /** The same from the machine's nearest, or only, place. */
  readonly nearestFrames: number;

  private readonly listener: Listener;
  private readonly views: Float64Array[];
  private readonly parts: Float64Array[];
  private readonly road = new Float64Array(1);
  private readonly roadMPerS = new Float64Array(1);
  private written = 0;

  /** @param fromM where on its road the machine stands when the render begins, its nearest being 0 */
  constructor(
    private readonly machine: Machine,
    settings: ListenerSettings,
    private readonly fromM: number,
    mostFrames: number,
  ) {
    const { description, sampleRateHz, stemNames } = machine;
    const { ground } = settings;
    this.listener = new Listener(description, {
      sampleRateHz,
      stemNames,
      distanceM: settings.distanceM,
      place: placeOf(machine, settings),
      format: settings.format === "ambisonic" ? "ambisonics" : settings.format,
      ground:
        ground === "grass" ? GRASS : ground === "hard" ? { kind: "hard", reflectionRatio: hardReflectionRatio } : null,
      airAbsorbs: settings.air,
      rowSamples,
      farthestM: Math.max(farthestM, 1.5 * Math.abs(fromM)),
    });
    this.channelCount = this.listener.channelCount;
    this.outputs = Array.from({ length: this.channelCount }, () => new Float64Array(mostFrames));
    this.views = stemNames.map(() => new Float64Array(0));
    this.parts = this.outputs.map(() => new Float64Array(0));
    const framesFrom = (roadM: number) =>
      Math.ceil(this.listener.travelS(roadM, airSoundSpeedMPerS(description.ambient)) * sampleRateHz);
    this.travelFrames = framesFrom(fromM);
    this.nearestFrames = framesFrom(0);
    this.listener.reset(fromM, 0);
  }

  /** Runs the machine on: fills `stems` as it makes them, and `outputs` as they are heard. */
  process(stems: readonly Float64Array[], frames: number): void {
    const { machine, views, parts, outputs, road, roadMPerS } = this;
    const { voiceRecord } = machine.engine;
    let done = 0;
    while (done < frames) {
      const run = Math.min(frames - done, rowSamples - (this.written % rowSamples));
      for (let s = 0; s < views.length; s++) views[s] = stems[s]!.subarray(done, done + run);
      for (let c = 0; c < parts.length; c++) parts[c] = outputs[c]!.subarray(done, done + run);
      machine.process(views, run);
      for (let s = 0; s < views.length; s++) if (machine.heard[s] === 1) this.heard[s] = 1;
      road[0] = this.fromM + voiceRecord.roadM + (voiceRecord.roadMPerS * (rowSamples - run)) / machine.sampleRateHz;
      roadMPerS[0] = voiceRecord.roadMPerS;
      this.listener.process(views, road, roadMPerS, parts, run);
      this.written += run;
      done += run;
    }
  }

  /** One place a stem: 1 where the stretch last made gave a sound; the reader clears it. */
  readonly heard = new Uint8Array(64);
}

/** Null for the plain listener. @throws RangeError in words for a machine that runs past by itself */
export function makeHearing(
  machine: Machine,
  listener: ListenerSettings | null,
  plan: RunPlan,
  mostFrames: number,
): Hearing | null {
  if (listener === null || isPlain(listener)) return null;
  return new Hearing(machine, listener, listener.passBy === null ? 0 : passByFromM(machine, plan), mostFrames);
}

// Where a machine that runs past begins: it is nearest in the middle of its way.
function passByFromM(machine: Machine, plan: RunPlan): number {
  if (plan.turnsItself) {
    throw new RangeError(
      "render: passBy needs a run that says how fast the machine goes. Give speed among its controls.",
    );
  }
  return -0.5 * (Math.PI / 30) * plan.speedRpm.integralAt(plan.seconds) * machine.iron.roadMPerRad;
}

/** Whether a listener is the plain one: dry, still, straight from every source. */
function isPlain({ place, atM, passBy, ground, air, format }: ListenerSettings): boolean {
  return place === "lineside" && atM === null && passBy === null && ground === "none" && !air && format === "mono";
}

function placeOf(machine: Machine, { place, atM }: ListenerSettings): ListenerPlace {
  if (atM === null) return place ?? "lineside";
  const { chimney } = sourcePlaces(machine.description);
  const [aheadM, leftM, upM] = atM;
  const [xM, yM] = [chimney.xM + aheadM, chimney.yM + leftM];
  // He faces the chimney.
  const facingRad = atan2(-leftM, -aheadM);
  return { xM, yM, zM: upM, facingRad };
}
