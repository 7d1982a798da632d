import * as z from "zod";
import { crankAnglesField, cylinderFields } from "./cylinder-schema.js";
import { engineUnitsField } from "./engine-units.js";
import { airPumpField, fittingsFields } from "./fittings-schema.js";
import { choice, either, flag, freeText, leaf, pressure, quantity, Refused, shownValue, whole } from "./fields.js";
import { orNone } from "./none-word.js";
import { blowerField, plantFields } from "./plant-schema.js";
import { pumpField, trippedGear } from "./pump-schema.js";
import { runningFields } from "./running-schema.js";
import { stageFields } from "./stage-schema.js";
import { eccentricGear, eventsGear, oscillatingGear } from "./valve-schema.js";

/** What the machine is; its defaults follow from it. */
export const MACHINE_KINDS = ["stationary", "locomotive", "road", "marine", "model", "pump"] as const;

/** One of `MACHINE_KINDS`. */
export type MachineKind = (typeof MACHINE_KINDS)[number];

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. Limits of steam and air are those of the working-fluid tables. [common practice]

const pipe = (what: string) =>
  orNone(
    z.strictObject({
      length: quantity("length", "2 mm", "60 m", `Length of the ${what}.`).optional(),
      bore: quantity("length", "0.5 mm", "3 m", `Inside diameter of the ${what}.`).optional(),
    }),
  );

/** Cylinders of a machine, those of all pressures together. [common practice: two engines of triple expansion with two low pressures] */
export const MOST_CYLINDERS = 8;

// Held against the number of cylinders by the loader, which knows it.
const cylinderIndex = leaf<number>(
  (raw) =>
    typeof raw === "number" && Number.isInteger(raw) && raw >= 1
      ? raw
      : new Refused(`must be a whole number, from 1, got ${shownValue(raw)}. Count the cylinders from 1.`),
  {
    type: "integer",
    minimum: 1,
    maximum: MOST_CYLINDERS,
    description: "Which cylinder, from 1; those of lower pressure count on.",
  },
).optional();
const shiftAngle = quantity("angle", "-60 deg", "60 deg", "By how much; late is positive for eccentricSlip.");

const faultSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("valveRodLength"),
    cylinder: cylinderIndex,
    by: quantity("length", "-100 mm", "100 mm", "Shift of the valve that uncovers the head-end steam port.").optional(),
  }),
  z.strictObject({ kind: z.literal("eccentricSlip"), cylinder: cylinderIndex, by: shiftAngle.optional() }),
  z.strictObject({ kind: z.literal("quartering"), cylinder: cylinderIndex, by: shiftAngle.optional() }),
  z.strictObject({
    kind: z.literal("ringLeak"),
    cylinder: cylinderIndex,
    area: quantity("area", "0 mm2", "0.01 m2", "Effective area of the leak past the piston.").optional(),
  }),
  z.strictObject({
    kind: z.literal("portChoke"),
    cylinder: cylinderIndex,
    end: choice(["head", "crank"], "Which end of the cylinder.").optional(),
    to: quantity("ratio", "1 %", "100 %", "What is left of the port's area.").optional(),
  }),
]);

/** Speed as written: rotation, or road speed for the wheels to turn into rotation. */
export type WrittenSpeed = { readonly rpm: number } | { readonly mPerS: number };

/** Field of a speed of the shaft, in rotation or along the road. */
export function speedField(description: string): z.ZodType<WrittenSpeed> {
  return either<WrittenSpeed, WrittenSpeed>(
    { dimension: "rotationSpeed", least: "-6000 rpm", most: "6000 rpm" },
    { dimension: "roadSpeed", least: "-1000 km/h", most: "1000 km/h" },
    description,
    { first: (rpm) => ({ rpm }), second: (mPerS) => ({ mPerS }) },
  );
}

/** Field of the sound pressure at which a sample reads 1.0. */
export function fullScaleField(): z.ZodType<number> {
  return quantity("soundPressure", "0.000001 Pa", "100 kPa", "Sound pressure of a sample of 1.0.");
}

/** The machine file: shape, units and legal ranges of every field. All are optional here; `REQUIRED_FIELDS` are asked for by the loader. */
export const machineSchema = z.strictObject({
  formatVersion: whole(1, 1, "Version of this format.").optional(),
  name: freeText(120, "Free text.").optional(),
  kind: choice(MACHINE_KINDS, "What the machine is; sets how an absent block is assumed.").optional(),
  workingFluid: choice(["steam", "air"], "What drives it.").optional(),
  ambient: z
    .strictObject({
      pressure: pressure("0.3 bar abs", "1.2 bar abs", "Pressure of the air outside.", "barometer").optional(),
      temperature: quantity("temperature", "-60 degC", "60 degC", "Temperature of the air outside.").optional(),
      humidity: quantity("ratio", "0 %", "100 %", "Relative humidity of the air outside.").optional(),
    })
    .optional(),
  boiler: z
    .strictObject({
      pressure: pressure("0.5 kPa abs", "100 bar abs", "Pressure of the boiler or air receiver.").optional(),
      superheat: quantity("temperatureDifference", "0 K", "600 K", "Steam: above saturation.").optional(),
      temperature: quantity("temperature", "100 K", "1200 K", "Air: its temperature.").optional(),
      ...plantFields,
    })
    .optional(),
  cylinders: z
    .strictObject({
      ...cylinderFields,
      bore: quantity("length", "2 mm", "3 m", "Inside diameter.").optional(),
      stroke: quantity("length", "2 mm", "4 m", "Movement of the piston, twice the crank radius.").optional(),
      acting: choice(["double", "single"], "Steam on both ends, or on the head end only.").optional(),
      connectingRod: quantity("length", "2 mm", "20 m", "Centre to centre; longer than the crank.").optional(),
      crankAngles: crankAnglesField("One for each cylinder; the first is 0 deg."),
    })
    .optional(),
  valveGear: z
    .discriminatedUnion("kind", [eccentricGear, eventsGear, oscillatingGear, trippedGear])
    .meta({
      description:
        "Link motions and radial gears are not built yet: write one as kind: events, by its cut-off and release.",
    })
    .optional(),
  ...stageFields,
  exhaust: z
    .strictObject({
      passage: pipe("passage from a cylinder's ports to the junction").optional(),
      blastPipe: pipe("exhaust pipe that all cylinders share").optional(),
      nozzle: orNone(
        z.strictObject({
          bore: quantity("length", "0.3 mm", "2 m", "Diameter of the mouth.").optional(),
          contraction: quantity("length", "0.5 mm", "10 m", "Length over which the pipe narrows to it.").optional(),
        }),
      ).optional(),
      smokebox: orNone(
        z.strictObject({
          volume: quantity("volume", "1 cm3", "200 m3", "Gas space.").optional(),
          temperature: quantity("temperature", "0 degC", "900 degC", "Temperature of its gas.").optional(),
        }),
      ).optional(),
      chimney: pipe("chimney").optional(),
      condenser: orNone(
        z.strictObject({
          pressure: pressure(
            "1 kPa abs",
            "1.2 bar abs",
            "Pressure into which the machine exhausts.",
            "vacuum gauge",
          ).optional(),
          airPump: airPumpField,
        }),
      ).optional(),
    })
    .optional(),
  leaks: z
    .strictObject({
      valve: quantity("area", "0 mm2", "0.01 m2", "Effective area, chest to exhaust, each end.").optional(),
      rings: quantity("area", "0 mm2", "0.01 m2", "Effective area past each piston.").optional(),
      regulator: quantity("area", "0 mm2", "0.01 m2", "Effective area past the shut regulator.").optional(),
    })
    .optional(),
  chest: z.strictObject({ volume: quantity("volume", "0.02 cm3", "20 m3", "Steam chest.").optional() }).optional(),
  regulator: z
    .strictObject({ area: quantity("area", "0.01 mm2", "2 m2", "Flow area, full open.").optional() })
    .optional(),
  wheels: orNone(
    z.strictObject({ diameter: quantity("length", "10 mm", "10 m", "Diameter of the driving wheels.").optional() }),
  ).optional(),
  engineUnits: engineUnitsField,
  blower: blowerField,
  ...runningFields,
  ...fittingsFields,
  pump: pumpField,
  speed: speedField(
    "Kinematic speed when nothing else is said, 1 rpm or more either way; negative runs backwards.",
  ).optional(),
  fullScale: fullScaleField().optional(),
  idealised: flag("No leaks, no heat to metal, no losses in pipes, for comparing with theory.").optional(),
  faults: z.array(faultSchema.optional()).max(64).meta({ description: "What is out of true." }).optional(),
});

/** What the schema makes of a file: SI values of the fields that were given and are right. */
export type GivenMachine = z.output<typeof machineSchema>;

/** The four values without which there is no machine, and what to write for them; a pump without a crank needs no speed. */
export const REQUIRED_FIELDS = {
  "cylinders.bore": "bore: 17 in",
  "cylinders.stroke": "stroke: 24 in",
  "boiler.pressure": "pressure: 160 psi",
  speed: "speed: 90 rpm",
} as const;
