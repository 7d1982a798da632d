import * as z from "zod";
import { flag, Refused, freeText, leaf, quantity, readWritten, whole } from "./fields.js";
import { fullScaleField, speedField } from "./machine-schema.js";

const share = (what: string) => quantity("ratio", "0 %", "100 %", what).optional();
const moment = (what: string) => quantity("time", "0 s", "86400 s", what).optional();

const background = leaf<{ readonly levelDb: number | null }>(
  (raw) => {
    if (raw === "none") return { levelDb: null };
    const parsed = readWritten(raw, "level");
    const wayOut = "Write 45 dB, or none.";
    if (typeof parsed === "string") return new Refused(`${parsed} Or write none.`);
    if (parsed.value >= 0 && parsed.value <= 120) return { levelDb: parsed.value };
    return new Refused(`must be none or between 0 dB and 120 dB, got ${String(raw)}. ${wayOut}`);
  },
  { type: ["string", "number"], description: "Level of a background stem, dB SPL (A), 0 dB to 120 dB; or none." },
);

const controlSchema = z.strictObject({
  at: moment("When the values are to begin to change."),
  over: moment("How long the change takes."),
  regulator: share("0 % shut, 100 % full open."),
  cutoff: quantity("ratio", "-100 %", "100 %", "Share of the stroke; negative runs backwards.").optional(),
  drains: share("Drain cocks, 0 % shut."),
  blower: share("Blower, 0 % shut."),
  whistle: share("Whistle, 0 % shut."),
  brake: share("Brake, 0 % off."),
  load: share("Load on the shaft."),
  fire: share("Fire."),
  feed: share("Feed water."),
  speed: speedField("Kinematic speed of the shaft.").optional(),
});

/** The run file: shape, units and legal ranges. `machine` and `seconds` are asked for by the loader.
 * Ranges are those of the run file contract, the others as wide as a run can be of use. [common practice] */
export const runSchema = z.strictObject({
  machine: freeText(1000, "Path of the machine file, from the run file's own folder.").optional(),
  seconds: quantity("time", "0.1 s", "86400 s", "Length of the run.").optional(),
  seed: whole(0, 4_294_967_295, "Chooses among runs that differ in their noise only.").optional(),
  fullScale: fullScaleField().optional(),
  listener: z
    .strictObject({
      distance: quantity("length", "0.1 m", "10 km", "From the mouth, free field.").optional(),
      delay: flag("Whether sound takes its time to the listener.").optional(),
      background: background.optional(),
    })
    .optional(),
  controls: z.array(controlSchema.optional()).max(10_000).optional(),
});

/** What the schema makes of a run file. */
export type GivenRun = z.output<typeof runSchema>;

/** One entry of `controls`, as the schema gives it. */
export type GivenControl = NonNullable<NonNullable<GivenRun["controls"]>[number]>;
