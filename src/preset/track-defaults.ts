import type { TrackDescription } from "../engine/fittings-description.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import type { FittingsBasis } from "./fittings-defaults.js";
import type { GivenMachine } from "./machine-schema.js";
import { assumedQuantity, type Sheet } from "./sheet.js";
import { greatestPullN, TRAIN_DEFAULTS, WEIGHT_N_PER_KG } from "./train-defaults.js";

/** Proportions of a track where the owner does not say. */
export const TRACK_DEFAULTS = {
  /** 60 ft. [common practice: 30, 45 and 60 ft] */
  railLengthM: 18.288,
  /** Width of the gap between two rails, in mild weather. [common practice] */
  gapM: 0.006,
  /** Dip of a joint on a line in fair order. [common practice] */
  dipM: 0.003,
  /** Driven wheel below which the line is narrow or a model, and the track less in all. [common practice] */
  trackWheelM: 0.7,
  /** Distance of axles over the driven wheels' diameter. [common practice] */
  axleWheels: 1.35,
  /** Fewest axles of an engine. [common practice] */
  leastAxleCount: 3,
  /** Most that an axle is given to carry. [common practice: 15 to 22 t] */
  mostAxleKg: 18_000,
} as const;

/** Fills in `track`; null where the machine runs on none. */
export function fillTrack(sheet: Sheet, given: GivenMachine, basis: FittingsBasis): TrackDescription | null {
  const { kind, wheelDiameterM, train, trainBasis } = basis;
  const isUsual = kind === "locomotive" && wheelDiameterM !== null;
  const rule = kind === "locomotive" ? "no wheels are named" : "its kind runs on none";
  const part = sheet.block("track", given.track, isUsual, rule, ["kind", "wheels"]);
  if (part === null) return null;
  if (wheelDiameterM === null || trainBasis === null) {
    if (sheet.isSound("track", "wheels", "wheels.diameter", "train", "speed")) {
      sheet.complain("track", "must have wheels to run on it, got none. Add wheels: { diameter: 5 ft }.");
    }
    return null;
  }
  const scale = Math.min(1, wheelDiameterM / TRACK_DEFAULTS.trackWheelM);
  const less = scale < 1 ? ", less with wheels under 0.7 m" : "";
  const scaled = (name: "rail" | "gap" | "dip", full: number, words: string): number =>
    sheet.take(`track.${name}`, part[name], () =>
      assumedQuantity(scale * full, "length", `${words}${less}`, ["wheels"]),
    );
  const railLengthM = scaled("rail", TRACK_DEFAULTS.railLengthM, "60 ft");
  const gapM = scaled("gap", TRACK_DEFAULTS.gapM, "mild weather");
  const dipM = scaled("dip", TRACK_DEFAULTS.dipM, "a line in fair order");
  const engineKg =
    train?.engineKg ??
    (TRAIN_DEFAULTS.engineAdhesions * TRAIN_DEFAULTS.weightPulls * greatestPullN(trainBasis)) / WEIGHT_N_PER_KG;
  const engineFrom = train === null ? ["cylinders", "boiler.pressure", "wheels"] : ["train.engine"];
  const axlesM = sheet.take("track.axles", readAxles(sheet, part.axles), () => {
    const { leastAxleCount, mostAxleKg } = TRACK_DEFAULTS;
    const count = Math.min(400, Math.max(leastAxleCount, Math.ceil(engineKg / mostAxleKg)));
    const spacingM = TRACK_DEFAULTS.axleWheels * wheelDiameterM;
    const value = Array.from({ length: count }, (_, i) => i * spacingM);
    const text = `[${value.map((placeM) => readableQuantity(placeM, "length")).join(", ")}]`;
    return {
      value,
      text,
      rule: `three or more, ${TRACK_DEFAULTS.axleWheels} wheels apart, up to 18 t on each`,
      from: ["wheels", ...engineFrom],
    };
  });
  const axleKg = sheet.take("track.axleLoad", part.axleLoad, () =>
    assumedQuantity(engineKg / axlesM.length, "mass", "the engine over its axles", [...engineFrom, "track.axles"]),
  );
  const loadName = "track.axleLoad";
  sheet.query([loadName, "train.engine", "track.axles"], train !== null && axleKg > 1.01 * engineKg, () => {
    return `${loadName} of ${sheet.got(loadName, axleKg, "mass")} is more than the whole engine.`;
  });
  sheet.query(["track.gap", "track.rail"], gapM > 0.01 * railLengthM, () => {
    return `track.gap of ${sheet.got("track.gap", gapM, "length")} is wide for so short a rail. Is it in the wrong unit?`;
  });
  return { railLengthM, gapM, dipM, axlesM, axleKg };
}

type GivenAxles = NonNullable<NonNullable<GivenMachine["track"]>["axles"]>;

function readAxles(sheet: Sheet, given: GivenAxles | undefined): readonly number[] | undefined {
  if (given === undefined) return undefined;
  if (given.length === 0) {
    sheet.complain("track.axles", "must list one axle or more, got none. For example [0 m, 1.8 m, 3.6 m].");
    return undefined;
  }
  const places: number[] = [];
  for (const place of given) if (place !== undefined) places.push(place);
  if (places.length < given.length) return undefined;
  const wrong = places.findIndex((place, i) => i > 0 && place <= places[i - 1]!);
  sheet.rule("track.axles", [], wrong < 0, () => {
    const got = readableQuantity(places[wrong]!, "length");
    return `must run from the first axle back, each farther than the one before, got ${got} in place ${wrong + 1}. Put them in order.`;
  });
  return places;
}
