import { acos, asin, atan2 } from "../quantities/portable-maths.js";

/** Crank angles of one end in the running direction, from that end's own dead centre. Radians. */
export interface HarmonicEvents {
  /** Negative: before dead centre. */
  readonly admissionRad: number;
  readonly cutoffRad: number;
  readonly releaseRad: number;
  readonly compressionRad: number;
}

/**
 * Closed form of the events of a valve moved by y = A cos t + B sin t over ports covered by these laps.
 *
 * @param deadCentreM A, displacement at this end's dead centre, towards uncovering its steam port
 * @param quarterM B, displacement a quarter turn later in the running direction
 * @param steamLapM lap as this end sees it: less the valve's shift towards it
 * @param exhaustLapM the same for the exhaust edge: plus that shift
 * @returns `null` where the steam port or the exhaust port never opens, or never closes
 * [source: the Zeuner diagram of a harmonic valve, textbook closed form: admission asin(lap/e) - advance,
 * cut-off pi - asin(lap/e) - advance, release pi + asin(exhaust lap/e) - advance, compression 2 pi - asin(..) - advance]
 */
export function harmonicEvents(
  deadCentreM: number,
  quarterM: number,
  steamLapM: number,
  exhaustLapM: number,
): HarmonicEvents | null {
  const throwM = Math.sqrt(deadCentreM * deadCentreM + quarterM * quarterM);
  if (!(Math.abs(steamLapM) < throwM && Math.abs(exhaustLapM) < throwM)) return null;
  // The valve is at its greatest displacement here, a quarter turn less the angular advance.
  const crestRad = atan2(quarterM, deadCentreM);
  const halfOpenRad = acos(steamLapM / throwM);
  const exhaustShareRad = asin(exhaustLapM / throwM);
  return {
    admissionRad: crestRad - halfOpenRad,
    cutoffRad: crestRad + halfOpenRad,
    releaseRad: crestRad + 0.5 * Math.PI + exhaustShareRad,
    compressionRad: crestRad + 1.5 * Math.PI - exhaustShareRad,
  };
}
