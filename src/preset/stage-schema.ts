import * as z from "zod";
import { crankAnglesField, cylinderFields } from "./cylinder-schema.js";
import { quantity } from "./fields.js";
import { orNone } from "./none-word.js";
import { eccentricGear, eventsGear } from "./valve-schema.js";

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. [common practice]

const stage = (description: string) =>
  orNone(
    z
      .strictObject({
        receiver: z
          .strictObject({
            volume: quantity("volume", "0.02 cm3", "200 m3", "What the cylinders before exhaust into.").optional(),
          })
          .optional(),
        cylinders: z
          .strictObject({
            ...cylinderFields,
            bore: quantity("length", "2 mm", "5 m", "Inside diameter.").optional(),
            crankAngles: crankAnglesField("One for each cylinder, counted from the first crank of the machine."),
          })
          .optional(),
        valveGear: z
          .discriminatedUnion("kind", [eccentricGear.omit({ lifts: true }), eventsGear.omit({ lifts: true })])
          .meta({
            description: "Write a link motion or a radial gear as kind: events; full gear is the working gear here.",
          })
          .optional(),
      })
      .meta({ description }),
  ).optional();

/** Blocks of the cylinders that work with what those before them have done with. */
export const stageFields = {
  intermediatePressure: stage("Of triple expansion: cylinders between those of high and of low pressure."),
  lowPressure: stage("Of a compound: the cylinders that exhaust to the air or the condenser."),
};
