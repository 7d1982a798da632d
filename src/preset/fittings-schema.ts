import * as z from "zod";
import { flag, pressure, quantity, whole } from "./fields.js";
import { orNone } from "./none-word.js";

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. [common practice]

function opening(what: string) {
  return orNone(z.strictObject({ area: quantity("area", "0 mm2", "0.1 m2", what).optional() })).optional();
}

/** Whether slide valves may lift, a field of the gears that have them. */
export const liftsField = flag("Whether slide valves may lift off their faces.").optional();

/** The pump that empties a condenser. */
export const airPumpField = orNone(
  z.strictObject({
    strokesPerTurn: whole(1, 4, "Delivering strokes in a turn of the shaft.").optional(),
    bore: quantity("length", "2 mm", "3 m", "Inside diameter.").optional(),
    stroke: quantity("length", "1 mm", "4 m", "Movement of its bucket.").optional(),
  }),
).optional();

const bell = z.strictObject({
  length: quantity("length", "5 mm", "3 m", "Inside, from the mouth to the stop.").optional(),
  bore: quantity("length", "2 mm", "1 m", "Inside diameter.").optional(),
});

/** Blocks of what hangs on a machine beside its cylinders. */
export const fittingsFields = {
  drains: opening("Effective area of each drain cock, one an end."),
  snifting: opening("Effective area of the snifting valve on the chest."),
  relief: orNone(
    z.strictObject({
      area: quantity("area", "0 mm2", "0.1 m2", "Effective area of each cylinder end's relief valve.").optional(),
      pressure: pressure("0.5 kPa abs", "200 bar abs", "Pressure at which it lifts.").optional(),
    }),
  ).optional(),
  glands: opening("Effective area of the gland and joint leaks of each cylinder."),
  whistle: orNone(
    z.strictObject({
      bells: z.array(bell.optional()).max(6).meta({ description: "One to six, sounding together." }).optional(),
      slit: quantity("length", "0.02 mm", "20 mm", "Width of the slit that blows them.").optional(),
      cutUp: quantity("ratio", "2 %", "400 %", "Height of the mouth over the bore of the bell.").optional(),
    }),
  ).optional(),
  track: orNone(
    z.strictObject({
      rail: quantity("length", "50 mm", "2 km", "Length of a rail, from joint to joint.").optional(),
      gap: quantity("length", "0 mm", "60 mm", "Gap at a joint.").optional(),
      dip: quantity("length", "0 mm", "60 mm", "Dip of the rail ends below the line.").optional(),
      axles: z
        .array(quantity("length", "0 m", "2 km", "Where an axle stands, from the first back.").optional())
        .max(400)
        .meta({ description: "Where the axles stand, from the first back." })
        .optional(),
      axleLoad: quantity("mass", "1 g", "100 t", "Mass carried by each axle.").optional(),
    }),
  ).optional(),
};
