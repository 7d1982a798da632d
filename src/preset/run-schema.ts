import * as z from "zod";
import { choice, freeText, quantity, whole } from "./fields.js";
import { listenerSchema } from "./listener-schema.js";
import { fullScaleField, speedField } from "./machine-schema.js";

const share = (what: string) => quantity("ratio", "0 %", "100 %", what).optional();
const moment = (what: string) => quantity("time", "0 s", "86400 s", what).optional();

const controlSchema = z.strictObject({
  at: moment("When the values are reached."),
  over: moment("How long before that they begin to move."),
  regulator: share("0 % shut, 100 % full open."),
  cutoff: quantity("ratio", "-100 %", "100 %", "Share of the stroke; negative runs backwards.").optional(),
  drains: share("Drain cocks, 0 % shut."),
  blower: share("Blower, 0 % shut."),
  whistle: share("Whistle, 0 % shut."),
  brake: share("Brake, 0 % off."),
  load: quantity("ratio", "0 %", "200 %", "Load on the shaft, or train; 100 % is that of the machine file.").optional(),
  fire: share("Fire, 0 % out."),
  feed: share("Feed water, 0 % shut."),
  blowdown: share("Blow-down cock, 0 % shut."),
  priming: share("Water carried over with the steam: 0 % none, 100 % as much as steam."),
  gradient: quantity("ratio", "-20 %", "20 %", "Rise over distance; positive is uphill.").optional(),
  grip: quantity(
    "ratio",
    "5 %",
    "200 %",
    "Grip of the rail or road against the machine file's; less is wet or greasy, more sanded.",
  ).optional(),
  barring: quantity(
    "rotationSpeed",
    "-300 rpm",
    "300 rpm",
    "Turned over by hand or barring gear while it would go slower; 0 rpm let go.",
  ).optional(),
  speed: speedField("Kinematic speed of the shaft.").optional(),
});

/** The run file: shape, units and legal ranges. `machine` and `seconds` are asked for by the loader.
 * Ranges are those of the run file contract, the others as wide as a run can be of use. [common practice] */
export const runSchema = z.strictObject({
  machine: freeText(1000, "Path of the machine file, from the run file's own folder.").optional(),
  seconds: quantity("time", "0.1 s", "86400 s", "Length of the run.").optional(),
  seed: whole(0, 4_294_967_295, "Chooses among runs that differ in their noise only.").optional(),
  fullScale: fullScaleField().optional(),
  start: choice(["cold", "steaming"], "How the machine is found when the run begins.").optional(),
  listener: listenerSchema.optional(),
  controls: z.array(controlSchema.optional()).max(10_000).optional(),
});

/** What the schema makes of a run file. */
export type GivenRun = z.output<typeof runSchema>;

/** One entry of `controls`, as the schema gives it. */
export type GivenControl = NonNullable<NonNullable<GivenRun["controls"]>[number]>;
