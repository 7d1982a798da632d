import * as z from "zod";
import { choice, flag, leaf, quantity, readWritten, Refused } from "./fields.js";

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

/** Where a listener may stand. */
export const LISTENER_PLACES = ["lineside", "footplate", "chimneyTop", "motion"] as const;

/** What is said of the ground. */
export const GROUNDS = ["none", "hard", "grass"] as const;

/** How many channels, and what they are. */
export const SOUND_FORMATS = ["mono", "stereo", "ambisonic"] as const;

/** The listener of a run file. Ranges are as wide as a listener can be of use. [common practice] */
export const listenerSchema = z.strictObject({
  distance: quantity("length", "0.1 m", "10 km", "From the mouth.").optional(),
  delay: flag("Whether sound takes its time to the listener.").optional(),
  background: background.optional(),
  place: choice(LISTENER_PLACES, "Where the listener stands.").optional(),
  at: z
    .array(quantity("length", "-10 km", "10 km", "Of the chimney: ahead, to the left, above the rail.").optional())
    .optional(),
  passBy: z.strictObject({ abeam: quantity("length", "1 m", "1 km", "Nearest distance.").optional() }).optional(),
  ground: choice(GROUNDS, "What reflects below.").optional(),
  air: flag("Whether the air takes its share of the treble.").optional(),
  format: choice(SOUND_FORMATS, "Channels of the sound.").optional(),
});
