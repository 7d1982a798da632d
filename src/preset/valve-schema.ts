import * as z from "zod";
import { acos } from "../quantities/portable-maths.js";
import { choice, either, quantity } from "./fields.js";
import { liftsField } from "./fittings-schema.js";

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. [common practice]

const lap = quantity("length", "0 mm", "300 mm", "Lap of the valve over the steam port in mid position.");
const exhaustLap = quantity("length", "-100 mm", "200 mm", "Lap over the exhaust side; negative is exhaust clearance.");
const lead = quantity("length", "0 mm", "60 mm", "Opening of the steam port at dead centre.");
/** Of every valve with straight-edged ports. */
export const portLength = quantity("length", "0.3 mm", "3 m", "Length of a port, across the movement of the valve.");
/** The same. */
export const portWidth = quantity(
  "length",
  "0.1 mm",
  "500 mm",
  "Width of a port, along the movement; caps the opening.",
);
const admission = choice(["outside", "inside"], "Steam outside the valve (slide valves) or between its heads.");

/** Valves moved by an eccentric, by their sizes. */
export const eccentricGear = z.strictObject({
  kind: z.literal("eccentric").optional(),
  admission: admission.optional(),
  travel: quantity("length", "0.2 mm", "1.5 m", "Full-gear travel of the valve, twice the throw.").optional(),
  steamLap: lap.optional(),
  exhaustLap: exhaustLap.optional(),
  lead: lead.optional(),
  portLength: portLength.optional(),
  portWidth: portWidth.optional(),
  lifts: liftsField,
});

/** Valves known by what they do. */
export const eventsGear = z.strictObject({
  kind: z.literal("events"),
  admission: admission.optional(),
  fullGearCutoff: quantity("ratio", "20 %", "95 %", "Cut-off in full gear, as a share of the stroke.").optional(),
  lead: lead.optional(),
  release: either(
    { dimension: "angle", least: "60 deg", most: "200 deg" },
    { dimension: "ratio", least: "25 %", most: "100 %" },
    "Release in full gear: crank angle from the dead centre, or share of the stroke (long rod).",
    { first: (angleRad) => angleRad, second: (strokeRatio) => acos(1 - 2 * Math.min(1, strokeRatio)) },
  ).optional(),
  portLength: portLength.optional(),
  portWidth: portWidth.optional(),
  lifts: liftsField,
});

/** Ports of an oscillating cylinder. */
export const oscillatingGear = z.strictObject({
  kind: z.literal("oscillating"),
  portDiameter: quantity("length", "0.2 mm", "300 mm", "Diameter of the round ports.").optional(),
  portRadius: quantity("length", "0.5 mm", "4 m", "From the trunnion to the middle of the cylinder's port.").optional(),
  pivotDistance: quantity("length", "1.5 mm", "12 m", "From the trunnion to the crank centre.").optional(),
});
