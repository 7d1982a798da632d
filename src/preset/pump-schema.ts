import * as z from "zod";
import { quantity } from "./fields.js";
import { orNone } from "./none-word.js";
import { portLength, portWidth } from "./valve-schema.js";

// Every range in this file spans the smallest working models to the largest pumps built, with room to spare; outside it a
// unit is wrong. [common practice]

/** Valves that the pistons of a pump trip: its strokes need no crank. */
export const trippedGear = z.strictObject({
  kind: z.literal("tripped"),
  portLength: portLength.optional(),
  portWidth: portWidth.optional(),
  lostMotion: quantity(
    "ratio",
    "5 %",
    "95 %",
    "Way of a piston to either side of its middle in which it moves no valve, of half its stroke.",
  ).optional(),
  steamLap: quantity("ratio", "0 %", "60 %", "Lap over the steam port, of half the valve's travel.").optional(),
  cushion: quantity("ratio", "1 %", "40 %", "Last part of the stroke, in which the exhaust port shuts.").optional(),
  cushionLeak: quantity("ratio", "0.1 %", "100 %", "What then stays open of that port.").optional(),
  throwOver: quantity("time", "2 ms", "5 s", "Time in which the valve of a single pump is thrown over.").optional(),
});

/** The water side of a pump without a crank. */
export const pumpField = z
  .strictObject({
    waterBore: quantity("length", "1 mm", "2 m", "Diameter of the plungers.").optional(),
    lift: quantity("pressureDifference", "0 Pa", "1000 bar", "Delivery less suction, with load 100 %.").optional(),
    airVessel: orNone(
      quantity("volume", "1 cm3", "100 m3", "Air shut in the delivery vessel: a run fills it from no lift."),
    ).optional(),
    movingMass: quantity("mass", "0.01 g", "50 t", "Piston, rod, plunger and the water that goes along.").optional(),
    valveLoss: quantity("pressureDifference", "0 Pa", "50 bar", "Lost in the water valves at 0.5 m/s.").optional(),
    friction: quantity("pressureDifference", "0 Pa", "20 bar", "Of the packings, as a mean on a piston.").optional(),
  })
  .meta({ description: "The water side of a pump without a crank, whose valve gear is tripped." })
  .optional();
