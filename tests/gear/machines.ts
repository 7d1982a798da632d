import type {
  CylinderGeometry,
  EccentricGear,
  Fault,
  GearDescription,
  ValveGear,
} from "../../src/gear/gear-description.js";

export const INCH_M = 0.0254;
export const DEG = Math.PI / 180;

/** A gear in inches; whatever is not given is that of case A, the fast passenger engine of Sinclair 1888. */
export function eccentric(
  changes: Partial<Record<"travel" | "lap" | "exhaustLap" | "lead" | "width", number>> = {},
): EccentricGear {
  const inches = { travel: 5, lap: 1, exhaustLap: 0, lead: 1 / 16, width: 1.5, ...changes };
  return {
    kind: "eccentric",
    admission: "outside",
    travelM: inches.travel * INCH_M,
    steamLapM: inches.lap * INCH_M,
    exhaustLapM: inches.exhaustLap * INCH_M,
    leadM: inches.lead * INCH_M,
    portLengthM: 14 * INCH_M,
    portWidthM: inches.width * INCH_M,
  };
}

/** A machine with that gear; the rod in crank radii, cranks in degrees. 17 by 24 in unless told otherwise. */
export function machine(
  valveGear: ValveGear,
  changes: {
    rodRatio?: number;
    cranksDeg?: readonly number[];
    faults?: readonly Fault[];
    cylinder?: Partial<CylinderGeometry>;
  } = {},
): GearDescription {
  const cylinder: CylinderGeometry = {
    boreM: 17 * INCH_M,
    strokeM: 24 * INCH_M,
    acting: "double",
    connectingRodM: (changes.rodRatio ?? 85 / 12) * 12 * INCH_M,
    pistonRodM: 2.5 * INCH_M,
    clearanceRatio: 0.08,
    ...changes.cylinder,
  };
  return {
    cylinder,
    crankAnglesRad: (changes.cranksDeg ?? [0]).map((angle) => angle * DEG),
    valveGear,
    faults: changes.faults ?? [],
  };
}
