import { type GearDescription, isCrankless, isSettable } from "./gear-description.js";
import { type ValveDimensions, valveDimensions } from "./valve-dimensions.js";

/**
 * A request this little above full gear is taken as full gear: settings are read off a notched quadrant.
 * [common practice]
 */
export const FULL_GEAR_MARGIN_RATIO = 0.01;

// Full gear is told to a tenth of a point: a reader who writes that down again is not corrected. [common practice]
const TOLD_GEAR_RATIO = 0.0005 + 1e-9;

/** 1 counts crank angles forward, -1 backward. */
export type RunningDirection = 1 | -1;

/** What a reverser setting comes to. */
export interface ResolvedCutoff {
  /** Nominal cut-off, signed, as `Motion.setCutoff` takes it; `null` for an oscillating cylinder. */
  readonly cutoffRatio: number | null;
  /** Valve displacement a quarter turn past dead centre: positive forward, 0 in mid gear; `null` as above. */
  readonly quarterM: number | null;
  /** The way the gear drives the shaft; mid gear and oscillating cylinders count as forward unless asked backward. */
  readonly direction: RunningDirection;
  /** What had to be changed, in words for the user. */
  readonly notes: readonly string[];
}

/** Valve displacement at dead centre, lap plus lead: the same in every gear, as in gears of constant lead. Metres. */
export function deadCentreThrowM(valve: ValveDimensions): number {
  return valve.steamLapM + valve.leadM;
}

/** Valve displacement a quarter turn past dead centre in full forward gear. Metres. */
export function fullGearQuarterThrowM(valve: ValveDimensions): number {
  const deadCentreM = deadCentreThrowM(valve);
  return Math.sqrt((valve.halfTravelM - deadCentreM) * (valve.halfTravelM + deadCentreM));
}

/** Greatest nominal cut-off, in full gear, 0 to 1. */
export function fullGearCutoffRatio(valve: ValveDimensions): number {
  // y(tc) = lap on the falling side: tc = (angle of the throw) + acos(lap / e); its cosine by the sum of angles.
  const e2 = valve.halfTravelM * valve.halfTravelM;
  const lapM = valve.steamLapM;
  const cosine =
    (deadCentreThrowM(valve) * lapM - fullGearQuarterThrowM(valve) * Math.sqrt(Math.max(0, e2 - lapM * lapM))) / e2;
  return 0.5 * (1 - cosine);
}

/**
 * Least nominal cut-off, that of mid gear, 0 to 1. A valve with neither lap nor lead cuts off only at the end of the
 * stroke: 1.
 */
export function midGearCutoffRatio(valve: ValveDimensions): number {
  const deadCentreM = deadCentreThrowM(valve);
  return deadCentreM > 0 ? 0.5 * (1 - valve.steamLapM / deadCentreM) : 1;
}

/**
 * Valve displacement a quarter turn past dead centre for a nominal cut-off, by the equivalent eccentric of constant
 * lead: y = A cos t + B sin t, A = lap + lead, and y = lap at t = acos(1 - 2 cutoff).
 *
 * @param cutoffRatio signed; negative is backward gear. At or beyond full gear: full gear. Nearer mid gear than the
 *   gear can cut off: mid gear, 0. So a ramp through zero moves the eccentric straight through mid gear.
 * @returns B in metres, negative in backward gear
 */
export function quarterThrowM(valve: ValveDimensions, cutoffRatio: number): number {
  const finder = new QuarterThrow(valve);
  finder.cutoffRatio[0] = cutoffRatio;
  finder.find();
  return finder.quarterM[0]!;
}

/** The same for a gear that is being moved: numbers go in and out in arrays, for handed over they would be allocated. */
export class QuarterThrow {
  /** One number: the nominal cut-off to find the throw for. */
  readonly cutoffRatio = new Float64Array(1);
  /** One number: the throw found. */
  readonly quarterM = new Float64Array(1);
  // Cut-off of full gear and of mid gear, throw of full gear, steam lap, throw at dead centre.
  private readonly figures: Float64Array;

  constructor(valve: ValveDimensions) {
    this.figures = Float64Array.of(
      fullGearCutoffRatio(valve),
      midGearCutoffRatio(valve),
      fullGearQuarterThrowM(valve),
      valve.steamLapM,
      deadCentreThrowM(valve),
    );
  }

  /** Fills `quarterM` from `cutoffRatio`. */
  find(): void {
    const { figures, quarterM } = this;
    const cutoffRatio = this.cutoffRatio[0]!;
    const size = cutoffRatio < 0 ? -cutoffRatio : cutoffRatio;
    if (size >= figures[0]!) quarterM[0] = figures[2]!;
    else if (size <= figures[1]!) quarterM[0] = 0;
    else {
      const opening = figures[3]! - figures[4]! * (1 - 2 * size);
      quarterM[0] = opening > 0 ? opening / (2 * Math.sqrt(size * (1 - size))) : 0;
    }
    if (cutoffRatio < 0) quarterM[0] = 0 - quarterM[0];
  }
}

/**
 * Why a gear cannot be set to a nominal cut-off, as `must be ..., got .... <way out>`; `null` when it can.
 *
 * @param requestedRatio nominal cut-off, signed, share of the stroke
 */
export function cutoffFault(gear: GearDescription, requestedRatio: number): string | null {
  if (!isSettable(gear.valveGear)) {
    const isPump = isCrankless(gear);
    return (
      `must be left out for ${isPump ? "a pump without a crank" : "an oscillating cylinder"}, which has none to choose, ` +
      `got ${percent(requestedRatio)}. ` +
      (isPump ? `Its pistons trip the valves at the ends of their strokes.` : `Its ports open and shut with the swing.`)
    );
  }
  const greatest = fullGearCutoffRatio(valveDimensions(gear.valveGear));
  if (Math.abs(requestedRatio) <= greatest + FULL_GEAR_MARGIN_RATIO) return null;
  const most = `${(100 * greatest).toFixed(1)} %`;
  return (
    `must be at most ${most} either way, full gear, got ${percent(requestedRatio)}. ` +
    `Ask for ${most} or less, or leave it out for full gear.`
  );
}

/**
 * What a reverser setting comes to on this gear.
 *
 * @param requestedRatio nominal cut-off, signed, share of the stroke; `null` is full forward gear
 * @throws RangeError for a setting that `cutoffFault` finds fault with
 */
export function resolveCutoff(gear: GearDescription, requestedRatio: number | null): ResolvedCutoff {
  const fault = requestedRatio === null ? null : cutoffFault(gear, requestedRatio);
  if (fault !== null) throw new RangeError(`cutoff ${fault}`);
  if (!isSettable(gear.valveGear)) return { cutoffRatio: null, quarterM: null, direction: 1, notes: [] };
  const valve = valveDimensions(gear.valveGear);
  const greatest = fullGearCutoffRatio(valve);
  const least = midGearCutoffRatio(valve);
  if (requestedRatio === null) {
    return { cutoffRatio: greatest, quarterM: fullGearQuarterThrowM(valve), direction: 1, notes: [] };
  }
  const size = Math.abs(requestedRatio);
  const direction = requestedRatio < 0 ? -1 : 1;
  const notes: string[] = [];
  if (size > greatest + TOLD_GEAR_RATIO) {
    notes.push(`cut-off ${percent(requestedRatio)} is above full gear: taken as full gear, ${percent(greatest)}.`);
  } else if (least === 1 && size < 1) {
    notes.push(
      `cut-off ${percent(requestedRatio)}: a valve with neither lap nor lead cuts off only at the end of the ` +
        `stroke: taken as mid gear, where its ports stay shut.`,
    );
  } else if (size < least - 1e-12) {
    notes.push(
      `cut-off ${percent(requestedRatio)} is nearer mid gear than this gear can cut off, ${percent(least)}: ` +
        `taken as mid gear.`,
    );
  }
  const quarterM = quarterThrowM(valve, requestedRatio);
  const reached = Math.min(greatest, least === 1 ? size : Math.max(least, size));
  return { cutoffRatio: direction * reached, quarterM, direction, notes };
}

function percent(ratio: number): string {
  return `${Number((100 * ratio).toFixed(1))} %`;
}
