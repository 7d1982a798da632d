import type * as z from "zod";
import type { listenerSchema, GROUNDS, LISTENER_PLACES, SOUND_FORMATS } from "./listener-schema.js";
import type { MachineFile } from "./machine-file.js";
import type { Sheet } from "./sheet.js";

/** Where the listener is and how he hears. */
export interface ListenerSettings {
  /** From the mouth; of a listener `at` a point, that point's. */
  readonly distanceM: number;
  /** Whether sound takes its time to the listener. */
  readonly delay: boolean;
  /** dB SPL (A); `null`: none. */
  readonly backgroundDbA: number | null;
  /** `null` where `atM` says it. */
  readonly place: (typeof LISTENER_PLACES)[number] | null;
  /** Ahead of the chimney, to the left of it, above the rail or floor; `null` where `place` says it. */
  readonly atM: readonly [aheadM: number, leftM: number, upM: number] | null;
  /** The machine runs past on its road and is nearest at this distance; `null`: it stays where it is. */
  readonly passBy: { readonly abeamM: number } | null;
  readonly ground: (typeof GROUNDS)[number];
  /** Whether the air takes its share of the treble. */
  readonly air: boolean;
  readonly format: (typeof SOUND_FORMATS)[number];
}

/** Where a listener is when the file does not say. [common practice: a microphone 7.5 m from the machine] */
export const LISTENER_DEFAULTS = { distanceM: 7.5 } as const;

const AXES = 3;

type GivenListener = z.output<typeof listenerSchema>;

/** Fills in `listener` and holds its parts against each other and against the machine. */
export function readListener(sheet: Sheet, given: GivenListener | undefined, machine: MachineFile): ListenerSettings {
  const listener = given ?? {};
  const atM = readPoint(sheet, listener.at);
  const isAway = listener.place === "lineside" || (listener.place === undefined && listener.at === undefined);
  sheet.rule("listener.place", ["listener.at"], listener.place === undefined || listener.at === undefined, () => {
    return "must be left out beside at: a listener stands in one place. Keep one of them.";
  });
  sheet.rule("listener.distance", ["listener.at", "listener.place"], listener.distance === undefined || isAway, () => {
    return "must be left out where at or place says where the listener is. Keep one of them.";
  });
  const { passBy } = listener;
  sheet.rule("listener.passBy", ["listener.at", "listener.place"], passBy === undefined || isAway, () => {
    return "must be heard from the lineside: at and other places go with the machine. Leave one of them out.";
  });
  sheet.rule("listener.distance", ["listener.passBy"], passBy === undefined || listener.distance === undefined, () => {
    return "must be left out beside passBy, whose abeam says how near the machine comes. Keep one of them.";
  });
  if (passBy !== undefined && passBy.abeam === undefined && sheet.isSound("listener.passBy.abeam")) {
    sheet.complain("listener.passBy.abeam", "is missing. For example abeam: 7.5 m.");
  }
  sheet.rule("listener.passBy", [], passBy === undefined || machine.description.wheelDiameterM !== null, () => {
    return "must be left out for a machine without wheels, which runs past nobody. Add wheels to the machine file.";
  });
  const abeamM = passBy?.abeam;
  return {
    distanceM: abeamM ?? listener.distance ?? (atM === null ? LISTENER_DEFAULTS.distanceM : distanceOf(atM)),
    delay: listener.delay ?? false,
    backgroundDbA: listener.background?.levelDb ?? null,
    place: atM === null ? (listener.place ?? "lineside") : null,
    atM,
    passBy: abeamM === undefined ? null : { abeamM },
    ground: listener.ground ?? "none",
    air: listener.air ?? false,
    format: listener.format ?? "mono",
  };
}

function distanceOf([x, y, z]: readonly [number, number, number]): number {
  return Math.sqrt(x * x + y * y + z * z);
}

// Nearer than this a mouth is no point any more. [common practice]
const NEAREST_M = 0.1;

function readPoint(sheet: Sheet, given: GivenListener["at"]): readonly [number, number, number] | null {
  if (given === undefined) return null;
  sheet.rule("listener.at", [], given.length === AXES, () => {
    return `must list three lengths, got ${given.length}: ahead of the chimney, to the left of it, above the rail. For example [0 m, 7.5 m, 1.6 m].`;
  });
  const [x, y, z] = given;
  if (x === undefined || y === undefined || z === undefined) return null;
  const point = [x, y, z] as const;
  sheet.rule("listener.at", [], distanceOf(point) >= NEAREST_M, () => {
    return "must be at least 0.1 m from the mouth. Move the listener away.";
  });
  return point;
}
