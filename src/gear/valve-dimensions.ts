import { acos, cos, sin } from "../quantities/portable-maths.js";
import type { EccentricGear, EventsGear } from "./gear-description.js";

/** A harmonic valve and the eccentric that drives it in full gear. Metres. */
export interface ValveDimensions {
  readonly steamLapM: number;
  /** Negative is exhaust clearance. */
  readonly exhaustLapM: number;
  readonly leadM: number;
  /** Throw of the full-gear eccentric. */
  readonly halfTravelM: number;
  readonly portLengthM: number;
  readonly portWidthM: number;
}

/**
 * Dimensions of the valve: as given for an eccentric, worked out from its events otherwise.
 *
 * @throws RangeError naming the first dimension with which the valve cannot work
 */
export function valveDimensions(gear: EccentricGear | EventsGear): ValveDimensions {
  const dimensions = gear.kind === "eccentric" ? fromEccentric(gear) : fromEvents(gear);
  const { steamLapM, exhaustLapM, leadM, halfTravelM, portLengthM, portWidthM } = dimensions;
  requireAbove("portLength", portLengthM, 0);
  requireAbove("portWidth", portWidthM, 0);
  if (!(steamLapM >= 0)) refuse("steamLap", "0 or more", steamLapM, "A valve without lap has 0.");
  if (!(leadM >= 0)) refuse("lead", "0 or more", leadM, "A valve without lead has 0.");
  if (!(halfTravelM > steamLapM + leadM && halfTravelM < Infinity)) {
    const least = `more than lap and lead twice over, ${2 * (steamLapM + leadM)} m`;
    refuse("travel", least, 2 * halfTravelM, "Lengthen the travel or lessen the lap.");
  }
  if (!(Math.abs(exhaustLapM) < halfTravelM)) {
    const most = `less than half the travel, ${halfTravelM} m, either way`;
    refuse("exhaustLap", most, exhaustLapM, "Otherwise the exhaust never opens, or never closes.");
  }
  return dimensions;
}

function fromEccentric(gear: EccentricGear): ValveDimensions {
  const { steamLapM, exhaustLapM, leadM, travelM, portLengthM, portWidthM } = gear;
  return { steamLapM, exhaustLapM, leadM, halfTravelM: travelM / 2, portLengthM, portWidthM };
}

/*
 * Full gear moves the valve by y = A cos t + B sin t, with A = lap + lead, A^2 + B^2 = (lap + width)^2. Cut-off at tc
 * means y(tc) = lap. With m = 1 - cos tc, s = sin tc, k = width - lead:
 *   lap m - lead cos tc = s B,   B^2 = k (2 lap + width + lead)
 * whose square is a quadratic in the lap; its larger root is the one that leaves the left side positive.
 */
function fromEvents(gear: EventsGear): ValveDimensions {
  const { fullGearCutoffRatio, leadM, releaseRad, portLengthM, portWidthM } = gear;
  if (!(fullGearCutoffRatio > 0 && fullGearCutoffRatio < 1)) {
    refuse("fullGearCutoff", "between 0 and 1 of the stroke", fullGearCutoffRatio, "Most gears reach 0.7 to 0.85.");
  }
  if (!(leadM >= 0 && leadM < portWidthM)) {
    refuse("lead", `from 0 to less than the port width, ${portWidthM} m`, leadM, "It is the opening at dead centre.");
  }
  const cosine = 1 - 2 * fullGearCutoffRatio;
  const m = 1 - cosine;
  const s2 = m * (1 + cosine);
  const k = portWidthM - leadM;
  const half = m * leadM * cosine + s2 * k;
  const rest = leadM * leadM * cosine * cosine - s2 * k * (portWidthM + leadM);
  const steamLapM = (half + Math.sqrt(Math.max(0, half * half - m * m * rest))) / (m * m);
  if (!(steamLapM >= 0)) {
    const most = `at most ${portWidthM * Math.sqrt(s2)} m for that cut-off and port width`;
    refuse("lead", most, leadM, "Lessen the lead or cut off earlier.");
  }
  const halfTravelM = steamLapM + portWidthM;
  const deadCentreM = steamLapM + leadM;
  const quarterM = Math.sqrt((halfTravelM - deadCentreM) * (halfTravelM + deadCentreM));
  const cutoffRad = acos(cosine);
  const latestRad = acos(deadCentreM / halfTravelM) + Math.PI;
  if (!(releaseRad > cutoffRad && releaseRad < latestRad)) {
    const rule = `after cut-off, ${cutoffRad} rad, and before the valve turns back, ${latestRad} rad`;
    refuse("release", rule, releaseRad, "It is the crank angle from that end's own dead centre.");
  }
  const exhaustLapM = -(deadCentreM * cos(releaseRad) + quarterM * sin(releaseRad));
  return { steamLapM, exhaustLapM, leadM, halfTravelM, portLengthM, portWidthM };
}

function requireAbove(name: string, value: number, least: number): void {
  if (!(value > least && value < Infinity)) {
    refuse(name, `more than ${least} m`, value, "Give the size of the opening in the port face.");
  }
}

function refuse(name: string, rule: string, value: number, way: string): never {
  throw new RangeError(`valveGear: ${name} must be ${rule}, got ${value}. ${way}`);
}
