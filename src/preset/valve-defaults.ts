import type { CylinderGeometry, EccentricGear, EventsGear, ValveGear } from "../gear/gear-description.js";
import { valveDimensions, type ValveDimensions } from "../gear/valve-dimensions.js";
import { asin, cos, sin, acos } from "../quantities/portable-maths.js";
import { SMALL_BORE_M } from "./cylinder-defaults.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { fillOscillating } from "./oscillating-defaults.js";
import { fillTripped, isCrankless } from "./pump-defaults.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";

/** Proportions of valves and ports where the owner does not say. */
export const VALVE_DEFAULTS = {
  /** Mean speed of steam through the port, 4000 ft/min. [source: Bourne, A Catechism of the Steam Engine, Q318] */
  portSteamSpeedMPerS: 20.32,
  /** Smallest port over piston area, slow engines. [source: Bourne, A Catechism of the Steam Engine, Q319] */
  leastPortRatio: 1 / 25,
  /** Smallest port over piston area of locomotives, A/10 to A/8. [source: Bourne, A Catechism of the Steam Engine, Q320] */
  leastLocomotivePortRatio: 1 / 10,
  /** Smallest port over piston area of models, whose ports are drilled or milled large. [common practice] */
  leastModelPortRatio: 1 / 12,
  /** Largest port over piston area. [source: Bourne, A Catechism of the Steam Engine, Q320] */
  mostPortRatio: 1 / 6,
  /** Length of the port over the bore; 14 in on 17 in. [common practice] */
  portLengthBores: 0.8,
  /** Lead over stroke, 0.5 to 1 %. [common practice] */
  leadStrokes: 0.005,
  /** Most lead over port width that is assumed. [common practice] */
  mostLeadPortWidths: 0.1,
  /** Cut-off in full gear. [common practice: 70 to 80 %] */
  fullGearCutoffRatio: 0.75,
  /** Cut-off of cylinders that follow others, which is set once for all. [common practice: 50 to 65 %] */
  laterCutoffRatio: 0.6,
} as const;

type WrittenGear = NonNullable<GivenMachine["valveGear"]>;

/** Where a valve gear stands in the file, and what is usual there. */
export interface GearPlace {
  /** `valveGear`, or under the block of a later stage. */
  readonly name: string;
  /** Name of the bore of the cylinders that it works. */
  readonly boreName: string;
  readonly cutoffRatio: number;
}

/** The gear of the cylinders that take boiler steam. */
export const FIRST_GEAR: GearPlace = {
  name: "valveGear",
  boreName: "cylinders.bore",
  cutoffRatio: VALVE_DEFAULTS.fullGearCutoffRatio,
};

/** Lap with which a harmonic valve of this travel and lead cuts off at a nominal share of the stroke, the harmonic closed form solved for the lap. */
function lapForCutoffM(halfTravelM: number, leadM: number, cutoffRatio: number): number {
  // a² + b² + 2ab cos S = e² sin² S with a = lap, b = lap + lead, S = 180° - crank angle of cut-off
  const cosS = 2 * cutoffRatio - 1;
  const scale = 2 + 2 * cosS;
  const root = leadM * leadM - (4 * (leadM * leadM - halfTravelM * halfTravelM * (1 - cosS * cosS))) / scale;
  return Math.max(0, 0.5 * (Math.sqrt(Math.max(0, root)) - leadM));
}

function portSize(
  sheet: Sheet,
  { name, boreName }: GearPlace,
  gear: { readonly portLength?: number | undefined; readonly portWidth?: number | undefined },
  kind: MachineKind,
  cylinder: CylinderGeometry,
  pistonSpeedMPerS: number,
): { readonly portLengthM: number; readonly portWidthM: number } {
  const portLengthM = sheet.take(`${name}.portLength`, gear.portLength, () =>
    assumedQuantity(
      VALVE_DEFAULTS.portLengthBores * cylinder.boreM,
      "length",
      `${VALVE_DEFAULTS.portLengthBores} times the bore`,
      [boreName],
    ),
  );
  const portWidthM = sheet.take(`${name}.portWidth`, gear.portWidth, () => {
    const least =
      kind === "locomotive"
        ? VALVE_DEFAULTS.leastLocomotivePortRatio
        : kind === "model" || cylinder.boreM < SMALL_BORE_M
          ? VALVE_DEFAULTS.leastModelPortRatio
          : VALVE_DEFAULTS.leastPortRatio;
    const bySpeed = pistonSpeedMPerS / VALVE_DEFAULTS.portSteamSpeedMPerS;
    const ratio = Math.min(VALVE_DEFAULTS.mostPortRatio, Math.max(least, bySpeed));
    const areaM2 = ratio * (Math.PI / 4) * cylinder.boreM * cylinder.boreM;
    const rule = `port area 1/${Number((1 / ratio).toPrecision(3))} of the piston, for steam at about 20 m/s`;
    return assumedQuantity(areaM2 / portLengthM, "length", rule, [
      boreName,
      "cylinders.stroke",
      "speed",
      "kind",
      `${name}.portLength`,
    ]);
  });
  return { portLengthM, portWidthM };
}

/** Fills in `valveGear`. `pistonSpeedMPerS` is the mean at the machine's own speed. */
export function fillValveGear(
  sheet: Sheet,
  given: GivenMachine,
  kind: MachineKind,
  cylinder: CylinderGeometry,
  pistonSpeedMPerS: number,
): ValveGear {
  const gear = given.valveGear ?? {};
  if (gear.kind === "tripped" || isCrankless(given)) {
    sheet.take("valveGear.kind", gear.kind, () => assumedWord("tripped", "by the pistons, as pump says", ["pump"]));
    const tripped = gear.kind === "tripped" ? gear : {};
    const isSingle = (given.cylinders?.count ?? 1) === 1;
    return fillTripped(
      sheet,
      tripped,
      portSize(sheet, FIRST_GEAR, tripped, kind, cylinder, pistonSpeedMPerS),
      isSingle,
    );
  }
  if (gear.kind === "oscillating") return fillOscillating(sheet, gear, cylinder);
  return fillEccentricGear(sheet, FIRST_GEAR, gear, kind, cylinder, pistonSpeedMPerS);
}

/** Fills in a gear moved by an eccentric or known by its events, wherever it stands. */
export function fillEccentricGear(
  sheet: Sheet,
  place: GearPlace,
  gear: Exclude<WrittenGear, { kind: "oscillating" | "tripped" }>,
  kind: MachineKind,
  cylinder: CylinderGeometry,
  pistonSpeedMPerS: number,
): EccentricGear | EventsGear {
  const { name } = place;
  const cutoffWords = `${place.cutoffRatio * 100} %`;
  sheet.take(`${name}.kind`, gear.kind, () => assumedWord("eccentric", "a slide valve worked by one eccentric"));

  const admission = sheet.take(`${name}.admission`, gear.admission, () =>
    assumedWord<"outside" | "inside">("outside", "as slide valves have it"),
  );
  const { portLengthM, portWidthM } = portSize(sheet, place, gear, kind, cylinder, pistonSpeedMPerS);
  const leadFor = (roomM: number, from: readonly string[]): number =>
    sheet.take(`${name}.lead`, gear.lead, () =>
      assumedQuantity(
        Math.max(
          0,
          Math.min(
            VALVE_DEFAULTS.leadStrokes * cylinder.strokeM,
            VALVE_DEFAULTS.mostLeadPortWidths * portWidthM,
            VALVE_DEFAULTS.mostLeadPortWidths * roomM,
          ),
        ),
        "length",
        "half a per cent of the stroke, at most a tenth of the port's opening",
        ["cylinders.stroke", `${name}.portWidth`, ...from],
      ),
    );

  if (gear.kind === "events") {
    const leadM = leadFor(portWidthM, []);
    const fullGearCutoffRatio = sheet.take(`${name}.fullGearCutoff`, gear.fullGearCutoff, () =>
      assumedQuantity(place.cutoffRatio, "ratio", "usual in full gear"),
    );
    const releaseRad = sheet.take(`${name}.release`, gear.release, () => {
      const needs = [`${name}.fullGearCutoff`, `${name}.lead`, `${name}.portWidth`];
      const rule = "where a valve without exhaust lap releases";
      const valve = eventsValve(portLengthM, portWidthM, leadM, fullGearCutoffRatio);
      if (valve === null) return assumedQuantity(0.85 * Math.PI, "angle", rule, needs);
      const deadCentre = (valve.steamLapM + valve.leadM) / valve.halfTravelM;
      return assumedQuantity(Math.PI - asin(Math.min(1, deadCentre)), "angle", rule, needs);
    });
    return { kind: "events", admission, fullGearCutoffRatio, leadM, releaseRad, portLengthM, portWidthM };
  }

  const { travel, steamLap } = gear;
  let leadM: number;
  let travelM: number;
  let steamLapM: number;
  if (travel !== undefined) {
    const roomM = Math.max(0, travel / 2 - (steamLap ?? 0));
    leadM = leadFor(roomM, [`${name}.travel`, ...(steamLap === undefined ? [] : [`${name}.steamLap`])]);
    travelM = travel;
    steamLapM = sheet.take(`${name}.steamLap`, steamLap, () =>
      assumedQuantity(
        lapForCutoffM(travelM / 2, leadM, place.cutoffRatio),
        "length",
        `cuts off at ${cutoffWords} of the stroke in full gear`,
        [`${name}.travel`, `${name}.lead`],
      ),
    );
  } else {
    leadM = leadFor(portWidthM, []);
    const valve = eventsValve(portLengthM, portWidthM, leadM, place.cutoffRatio);
    steamLapM = sheet.take(`${name}.steamLap`, steamLap, () =>
      assumedQuantity(
        valve?.steamLapM ?? portWidthM,
        "length",
        `cuts off at ${cutoffWords} of the stroke in full gear, the port just full open`,
        [`${name}.portWidth`, `${name}.lead`],
      ),
    );
    travelM = sheet.take(`${name}.travel`, undefined, () =>
      assumedQuantity(
        2 * (steamLapM + Math.max(portWidthM, leadM * 1.25)),
        "length",
        "opens the port fully in full gear",
        [`${name}.steamLap`, `${name}.portWidth`, `${name}.lead`],
      ),
    );
  }
  const exhaustLapM = sheet.take(`${name}.exhaustLap`, gear.exhaustLap, () =>
    assumedQuantity(0, "length", "line and line on the exhaust side"),
  );
  return { kind: "eccentric", admission, travelM, steamLapM, exhaustLapM, leadM, portLengthM, portWidthM };
}

/** Lap and throw of a valve known by its cut-off, or null if there is no such valve. */
export function eventsValve(
  portLengthM: number,
  portWidthM: number,
  leadM: number,
  fullGearCutoffRatio: number,
): ValveDimensions | null {
  const cutoffRad = acos(1 - 2 * fullGearCutoffRatio);
  if (!(leadM >= 0 && leadM < portWidthM && leadM <= portWidthM * sin(cutoffRad) * (1 - 1e-9))) return null;
  // Any release between cut-off and the return of the valve gives the same lap and throw.
  const releaseRad = Math.max(0.99 * Math.PI, 0.5 * (cutoffRad + Math.PI));
  const valve = { portLengthM, portWidthM, leadM, fullGearCutoffRatio, releaseRad };
  return valveDimensions({ kind: "events", admission: "outside", ...valve });
}

/** Crank angle by which a valve known by its cut-off must have released: it turns back there. */
export function latestReleaseRad(valve: { steamLapM: number; leadM: number; halfTravelM: number }): number {
  return Math.PI + acos(Math.min(1, (valve.steamLapM + valve.leadM) / valve.halfTravelM));
}

/** Area of one port, full open. */
export function portAreaM2(gear: ValveGear): number {
  if (gear.kind === "oscillating") return (Math.PI / 4) * gear.portDiameterM * gear.portDiameterM;
  return gear.portLengthM * gear.portWidthM;
}

/** Crank angle of a nominal cut-off. */
export function nominalCutoffRad(cutoffRatio: number): number {
  return acos(1 - 2 * cutoffRatio);
}

/** Nominal cut-off of a harmonic valve in full gear, as a share of the stroke. */
export function fullGearCutoffRatio(halfTravelM: number, steamLapM: number, leadM: number): number {
  const cutoffRad =
    Math.PI - asin(Math.min(1, steamLapM / halfTravelM)) - asin(Math.min(1, (steamLapM + leadM) / halfTravelM));
  return 0.5 * (1 - cos(cutoffRad));
}
