import * as z from "zod";
import { choice, leaf, quantity, readWritten, Refused, shownValue, whole } from "./fields.js";
import { orNone } from "./none-word.js";

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. [common practice]

/** How the torque of a load follows the speed. */
export const LOAD_LAWS = ["constant", "linear", "square", "pump", "hoist"] as const;

const FEWEST_TEETH = 5;
const MOST_TEETH = 2000;
const LEAST_PULLEY_M = 0.002;
const MOST_PULLEY_M = 15;

/** A wheel of a pair: its teeth, or the diameter of a pulley. */
export type WrittenWheel = { readonly teeth: number } | { readonly diameterM: number };

function gearWheel(which: string) {
  return leaf<WrittenWheel>(
    (raw) => {
      const teeth = typeof raw === "number" ? raw : NaN;
      if (Number.isInteger(teeth) && teeth >= FEWEST_TEETH && teeth <= MOST_TEETH) return { teeth };
      const parsed = typeof raw === "string" ? readWritten(raw, "length") : "";
      const isPulley = typeof parsed !== "string" && parsed.value >= LEAST_PULLEY_M && parsed.value <= MOST_PULLEY_M;
      if (isPulley) return { diameterM: parsed.value };
      const rule = `must be a count of teeth from ${FEWEST_TEETH} to ${MOST_TEETH}, or of a pulley a diameter from 2 mm to 15 m`;
      return new Refused(`${rule}, got ${shownValue(raw)}. For example 18, or 300 mm.`);
    },
    { type: ["integer", "string"], description: `Teeth of the ${which} wheel, or diameter of the ${which} pulley.` },
  ).optional();
}

const gearPair = z.strictObject({ driving: gearWheel("driving"), driven: gearWheel("driven") });

/** Blocks of the iron that moves and of what it is held against. */
export const runningFields = {
  brake: orNone(
    z.strictObject({ torque: quantity("torque", "0 N m", "100000 kN m", "Full on, at the crankshaft.").optional() }),
  ).optional(),
  load: orNone(
    z.strictObject({
      law: choice(LOAD_LAWS, "How its torque follows the speed.").optional(),
      torque: quantity(
        "torque",
        "0 N m",
        "100000 kN m",
        "At the crankshaft, with load 100 %, at its speed.",
      ).optional(),
      power: quantity("power", "0 W", "100 MW", "With load 100 % at its speed, instead of the torque.").optional(),
      speed: quantity("rotationSpeed", "1 rpm", "6000 rpm", "Speed at which it takes that torque.").optional(),
    }),
  ).optional(),
  motion: orNone(
    z.strictObject({
      reciprocatingMass: quantity("mass", "0.01 g", "50 t", "Piston to crosshead, each cylinder.").optional(),
      inertia: quantity("inertia", "0.001 g cm2", "100000000 kg m2", "All that turns, save the flywheel.").optional(),
      friction: quantity("pressureDifference", "0 Pa", "5 bar", "Of the engine, as a mean on its pistons.").optional(),
      slack: quantity("length", "0 mm", "10 mm", "Play between piston and crank, on the diameter.").optional(),
    }),
  ).optional(),
  flywheel: orNone(
    z.strictObject({
      diameter: quantity("length", "5 mm", "20 m", "To the middle of the rim.").optional(),
      mass: quantity("mass", "0.1 g", "1000 t", "Of the rim.").optional(),
    }),
  ).optional(),
  train: orNone(
    z.strictObject({
      mass: quantity("mass", "10 g", "50000 t", "All of it with load 100 %, the engine included.").optional(),
      engine: quantity("mass", "10 g", "2000 t", "The engine alone.").optional(),
      adhesion: quantity("mass", "5 g", "2000 t", "Carried by the driven wheels.").optional(),
      gradient: quantity("ratio", "-20 %", "20 %", "Rise over distance; positive is uphill.").optional(),
      grip: quantity("ratio", "1 %", "90 %", "Adhesion of a wheel that holds.").optional(),
      slipGrip: quantity("ratio", "1 %", "90 %", "Adhesion of a wheel that slips.").optional(),
      resistance: choice(["davis", "clark"], "Formula of the train's resistance.").optional(),
      frontal: quantity("area", "1 cm2", "60 m2", "Frontal area.").optional(),
      axles: whole(1, 5000, "Axles under the whole train.").optional(),
    }),
  ).optional(),
  governor: orNone(
    z.strictObject({
      acts: choice(["regulator", "cutoff"], "What it moves.").optional(),
      speed: quantity("rotationSpeed", "1 rpm", "6000 rpm", "Of the shaft, where it stands in the middle.").optional(),
      droop: quantity("ratio", "0.1 %", "60 %", "Change of speed from its one end to the other.").optional(),
      period: quantity("time", "10 ms", "60 s", "Of its own swing.").optional(),
      damping: quantity("ratio", "1 %", "1000 %", "100 % just keeps it from swinging past.").optional(),
    }),
  ).optional(),
  gearing: orNone(
    z.strictObject({
      kind: choice(["gear", "chain", "belt"], "What joins the wheels of a pair.").optional(),
      pairs: z.array(gearPair.optional()).max(6).meta({ description: "From the crankshaft on." }).optional(),
    }),
  ).optional(),
};
