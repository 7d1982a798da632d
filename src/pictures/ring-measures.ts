/** Width of the page; its height follows from what stands on it. */
export const PAGE_WIDTH = 1240; // A4 upright at 150 dots an inch. [source: ISO 216, A4 is 210 mm wide]

/** Left and right margin of the page. [common practice] */
export const PAGE_MARGIN = 72;

/** Type sizes of the page. [common practice] */
export const typeSize = { title: 42, heading: 21, text: 17, label: 15, small: 14, caution: 13 } as const;

/** Radii of the turn ring, from the middle outward. */
export interface RingMeasures {
  /** The open middle, with the scale of degrees on its rim. */
  readonly holeRadius: number;
  /** Inner radius of each lane, first end outermost. */
  readonly laneRadii: readonly number[];
  /** What a band of full height takes of a lane. */
  readonly laneHeight: number;
  /** Outer rim of the lanes. */
  readonly rimRadius: number;
  /** Foot of the beats. */
  readonly beatRadius: number;
  /** Length of the loudest beat; 0 without beats. */
  readonly beatLength: number;
  /** Nearest that a label comes. */
  readonly labelRadius: number;
}

// Layout in this file, in units of the page. [common practice]
// A machine of few ends has its events labelled too, and their words are long: its ring leaves them room.
const RIM_RADIUS = 325;
const RIM_RADIUS_OF_FEW = 284;
const LEAST_HOLE_RADIUS = 160;
const GREATEST_LANE_PITCH = 54;
const LANE_GAP = 5;
const RIM_GAP = 12;
const BEAT_LENGTH = 84;
const LABEL_GAP = 24;
const ROOM_OF_NO_BEATS = 60;

/** With more ends than this, labels of every event would crowd the beats: the table has them. [common practice] */
export const MOST_ENDS_LABELLED = 2;

/** Radii for so many cylinder ends; without beats the ring takes most of their room. */
export function ringMeasures(endCount: number, hasBeats: boolean): RingMeasures {
  const beatLength = hasBeats ? BEAT_LENGTH : 0;
  const given = hasBeats ? 0 : ROOM_OF_NO_BEATS;
  const rimRadius = given + (endCount > MOST_ENDS_LABELLED ? RIM_RADIUS : RIM_RADIUS_OF_FEW);
  const pitch = Math.min(GREATEST_LANE_PITCH, (rimRadius - LEAST_HOLE_RADIUS) / Math.max(1, endCount));
  const laneRadii = Array.from({ length: endCount }, (_, i) => rimRadius - (i + 1) * pitch);
  const beatRadius = rimRadius + RIM_GAP;
  return {
    holeRadius: rimRadius - endCount * pitch - LANE_GAP,
    laneRadii,
    laneHeight: pitch - LANE_GAP,
    rimRadius,
    beatRadius,
    beatLength,
    labelRadius: beatRadius + beatLength + LABEL_GAP,
  };
}
