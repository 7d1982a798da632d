import * as z from "zod";
import { quantity, whole } from "./fields.js";
import { orNone } from "./none-word.js";
import { eccentricGear, eventsGear } from "./valve-schema.js";

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. [common practice]

const stage = (what: string) =>
  orNone(
    z.strictObject({
      receiver: z
        .strictObject({
          volume: quantity("volume", "0.02 cm3", "200 m3", "What the cylinders before exhaust into.").optional(),
        })
        .optional(),
      cylinders: z
        .strictObject({
          count: whole(1, 4, "How many, all alike.").optional(),
          bore: quantity("length", "2 mm", "5 m", "Inside diameter.").optional(),
          pistonRod: quantity("length", "0 mm", "1 m", "Diameter of the piston rod.").optional(),
          clearance: quantity(
            "ratio",
            "0.5 %",
            "60 %",
            "Volume left at dead centre over swept volume, each end.",
          ).optional(),
          crankAngles: z
            .array(quantity("angle", "-360 deg", "360 deg", "By how much this crank leads the shaft.").optional())
            .meta({ description: "One for each cylinder, counted from the first crank of the machine." })
            .optional(),
        })
        .optional(),
      valveGear: z
        .discriminatedUnion("kind", [eccentricGear.omit({ lifts: true }), eventsGear.omit({ lifts: true })])
        .meta({
          description: "Write a link motion or a radial gear as kind: events; full gear is the working gear here.",
        })
        .optional(),
    }),
  )
    .meta({ description: what, "x-none": true })
    .optional();

/** Blocks of the cylinders that work with what those before them have done with. */
export const stageFields = {
  intermediatePressure: stage("Of triple expansion: cylinders between those of high and of low pressure."),
  lowPressure: stage("Of a compound: the cylinders that exhaust to the air or the condenser."),
};
