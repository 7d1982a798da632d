import { cos, sin } from "../quantities/portable-maths.js";
import type { MachinePoint, SourcePlaces } from "./source-places.js";
import { STANDING_EAR_M } from "./source-places.js";

/**
 * Where a machine is heard from. `dry`: straight from every source at the distance given, without travel, ground or air.
 * `lineside`: to the right of the machine's middle at the distance given, ear 1.5 m up, facing it. The others ride along and
 * face forward: `footplate` where the driver stands, `chimneyTop` beside the chimney's mouth, `motion` beside the rods. A
 * point of one's own stands still beside the road and faces `facingRad`, anticlockwise from the running direction.
 */
export type ListenerPlace =
  "dry" | "lineside" | "footplate" | "chimneyTop" | "motion" | (MachinePoint & { readonly facingRad: number });

/** How it is taken up: one microphone that hears all round; a pair of cardioids; first-order Ambisonics W, Y, Z, X. */
export type PickUpFormat = "mono" | "stereo" | "ambisonics";

/** A listener's point; whether it goes along with the machine; where it faces. */
export interface StandingPoint extends MachinePoint {
  readonly facingRad: number;
  readonly rides: boolean;
}

/** How far beside a part that rides along the microphone hangs. [common practice: clear of spark and oil] */
export const BESIDE_M = 1;

/** The point that a place comes to on a machine; `dry` has none. */
export function standingPoint(
  place: Exclude<ListenerPlace, "dry">,
  places: SourcePlaces,
  distanceM: number,
): StandingPoint {
  if (typeof place !== "string") return { ...place, rides: false };
  if (place === "lineside") {
    return { xM: 0, yM: -distanceM, zM: STANDING_EAR_M, facingRad: 0.5 * Math.PI, rides: false };
  }
  const rides = { facingRad: 0, rides: true };
  if (place === "footplate") return { ...places.footplate, ...rides };
  if (place === "chimneyTop") {
    const { xM, yM, zM } = places.chimney;
    return { xM: xM - BESIDE_M, yM, zM: zM + 0.5 * BESIDE_M, ...rides };
  }
  const { xM, yM, zM } = places.motion;
  return { xM, yM: yM - BESIDE_M, zM, ...rides };
}

// ORTF pair: two cardioids 17 cm apart whose axes stand 110 degrees from each other.
// [source: Sound on Sound, glossary, "ORTF"; mutual angle and spacing of Radio France]
const pairSpacingM = 0.17;
const pairHalfAngleRad = (55 * Math.PI) / 180;

/** One microphone: its offset from the listener's point, and what each of its channels takes up (see `PathSettings`). */
export interface Microphone {
  readonly xM: number;
  readonly yM: number;
  readonly firstChannel: number;
  readonly pickUp: Float64Array;
}

/** Channels of a format. Stereo: left, right. Ambisonics: ACN order W, Y, Z, X. */
export function channelCountOf(format: PickUpFormat): number {
  return format === "mono" ? 1 : format === "stereo" ? 2 : 4;
}

/**
 * The microphones of a format, turned to where the listener faces. Cardioid: half of pressure and half of the component
 * along its axis. Ambisonics: AmbiX, that is SN3D, W the pressure itself.
 * [source: Nachbar, Zotter, Deleflie & Sontacchi, AmbiX, Ambisonics Symposium 2011]
 */
export function microphonesOf(format: PickUpFormat, facingRad: number): readonly Microphone[] {
  const forward = [cos(facingRad), sin(facingRad)] as const;
  if (format === "mono") return [{ xM: 0, yM: 0, firstChannel: 0, pickUp: Float64Array.of(1, 0, 0, 0) }];
  if (format === "stereo") {
    return [1, -1].map((side, firstChannel) => {
      const axis = facingRad + side * pairHalfAngleRad;
      const half = 0.5 * side * pairSpacingM;
      return {
        xM: -half * forward[1],
        yM: half * forward[0],
        firstChannel,
        pickUp: Float64Array.of(0.5, 0.5 * cos(axis), 0.5 * sin(axis), 0),
      };
    });
  }
  const [x, y] = forward;
  const pickUp = Float64Array.of(1, 0, 0, 0, 0, -y, x, 0, 0, 0, 0, 1, 0, x, y, 0);
  return [{ xM: 0, yM: 0, firstChannel: 0, pickUp }];
}
