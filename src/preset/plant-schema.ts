import * as z from "zod";
import { choice, pressure, quantity } from "./fields.js";
import { orNone } from "./none-word.js";

// Every range in this file spans the smallest working models to the largest boilers built, with room to spare; outside
// it a unit is wrong. [common practice]

/** Fields of `boiler` by which it fills and empties. */
export const plantFields = {
  volume: orNone(
    quantity("volume", "1 cm3", "1000 m3", "Water and steam room; none holds the pressure, as a main does."),
  ).optional(),
  water: quantity("ratio", "0 %", "98 %", "Share of the volume under water at the beginning.").optional(),
  lowWater: quantity("ratio", "0 %", "98 %", "Share below which the plates over the fire are bare.").optional(),
  fire: orNone(
    z.strictObject({
      power: quantity("power", "1 W", "500 MW", "Heat let loose at fire 100 %.").optional(),
      efficiency: quantity("ratio", "1 %", "100 %", "Share of it that reaches the water.").optional(),
      response: quantity("time", "100 ms", "4 h", "Time in which it follows its control.").optional(),
    }),
  ).optional(),
  loss: quantity("power", "0 W", "10 MW", "Heat lost to the surroundings at working pressure.").optional(),
  safetyValve: orNone(
    z.strictObject({
      set: pressure("0.5 kPa abs", "120 bar abs", "Pressure at which it lifts.").optional(),
      fullLift: pressure("0.5 kPa abs", "150 bar abs", "Pressure at which it is full open.").optional(),
      reseat: pressure("0.5 kPa abs", "120 bar abs", "Pressure at which it shuts again.").optional(),
      area: quantity("area", "0.01 mm2", "1 m2", "Effective area full open.").optional(),
    }),
  ).optional(),
  feed: orNone(
    z.strictObject({
      kind: choice(["injector", "pump"], "What brings the water in.").optional(),
      flow: quantity("massFlow", "0.001 g/min", "1000000 kg/h", "At feed 100 %.").optional(),
      temperature: quantity("temperature", "0 degC", "340 degC", "Of the water as it enters the boiler.").optional(),
    }),
  ).optional(),
  blowdown: orNone(
    z.strictObject({ area: quantity("area", "0.01 mm2", "0.1 m2", "Effective area full open.").optional() }),
  ).optional(),
};

/** The blower, whose jets blow up the chimney. */
export const blowerField = orNone(
  z.strictObject({ area: quantity("area", "0.01 mm2", "0.1 m2", "Effective area of all its jets.").optional() }),
).optional();
