import type { EngineDescription } from "../engine/engine-description.js";
import type {
  BellDescription,
  FittingsDescription,
  TrackDescription,
  WhistleDescription,
} from "../engine/fittings-description.js";
import type { TrainDescription } from "../engine/running-description.js";
import type { GearDescription } from "../gear/gear-description.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import { SMALL_BORE_M } from "./cylinder-defaults.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";
import { absolutePressure, SUPPLY_DEFAULTS } from "./supply-defaults.js";
import { greatestPullN, TRAIN_DEFAULTS, WEIGHT_N_PER_KG, type TrainBasis } from "./train-defaults.js";

/** Proportions of what hangs on a machine where the owner does not say. */
export const FITTINGS_DEFAULTS = {
  /** Bore of a drain cock over that of the cylinder: 1/2 in on 17 in. [common practice] */
  drainBores: 1 / 34,
  /** The same of a small model: 1 mm on 12 mm. [common practice] */
  modelDrainBores: 1 / 12,
  /** Smallest bore of cylinder on which drains are assumed. [common practice] */
  leastDrainedBoreM: 0.008,
  /** Snifting valve over the regulator. [common practice] */
  sniftingRegulators: 0.5,
  /** Bore of a relief valve over that of the cylinder. [common practice] */
  reliefBores: 0.1,
  /** Relief over boiler pressure, both gauge. [common practice] */
  reliefRatio: 1.1,
  /** Air pump over cylinder, bore and stroke: an eighth of its capacity. [source: Bourne, A Catechism of the Steam Engine, air pump of land engines, from memory] */
  airPumpCylinders: 0.5,
  /** Bell of a locomotive's whistle: near 800 Hz in steam. [common practice] */
  bell: { lengthM: 0.14, boreM: 0.06 },
  /** Bell of a ship's whistle: near 250 Hz. [common practice] */
  marineBell: { lengthM: 0.44, boreM: 0.15 },
  /** Bell of a model's whistle: near 3 kHz. [common practice] */
  modelBell: { lengthM: 0.035, boreM: 0.012 },
  /** Slit over the bore of the first bell. [common practice] */
  slitBores: 0.008,
  /** Mouth over bore. [common practice: 0.3 to 0.5] */
  cutUpRatio: 0.4,
  /** 60 ft. [common practice: 30, 45 and 60 ft] */
  railLengthM: 18.288,
  /** Width of the gap between two rails, in mild weather. [common practice] */
  gapM: 0.006,
  /** Dip of a joint on a line in fair order. [common practice] */
  dipM: 0.003,
  /** Driven wheel for which such a track is laid; a smaller one has less of everything. [common practice] */
  trackWheelM: 1.4,
  /** Distance of axles over the driven wheels' diameter. [common practice] */
  axleWheels: 1.35,
  /** Axles of an engine. [common practice] */
  axleCount: 3,
} as const;

/** What fittings are sized by. */
export interface FittingsBasis {
  readonly kind: MachineKind;
  readonly gear: GearDescription;
  readonly ambientPa: number;
  readonly boilerPa: number;
  readonly workingFluid: "steam" | "air";
  readonly regulatorAreaM2: number;
  readonly exhaust: EngineDescription["exhaust"];
  readonly wheelDiameterM: number | null;
  readonly train: TrainDescription | null;
  /** What an engine on wheels is sized by; null without wheels. */
  readonly trainBasis: TrainBasis | null;
}

const BLOCKS = ["drains", "snifting", "relief", "glands", "whistle", "track"] as const;

/** Fills in what hangs on the machine; null in an idealised one. */
export function fillFittings(
  sheet: Sheet,
  given: GivenMachine,
  idealised: boolean,
  basis: FittingsBasis,
): FittingsDescription | null {
  if (idealised) {
    const unused = BLOCKS.filter((block) => given[block] !== undefined);
    sheet.query(
      ["idealised"],
      unused.length > 0,
      () => `Not used, as an idealised engine has none: ${unused.join(", ")}.`,
    );
    return null;
  }
  const { kind, gear, regulatorAreaM2 } = basis;
  const { boreM } = gear.cylinder;
  const isSmall = kind === "model" || boreM < SMALL_BORE_M;
  const isOscillating = gear.valveGear.kind === "oscillating";
  const circle = (diameterM: number): number => (Math.PI / 4) * diameterM * diameterM;

  const isDrained = !isOscillating && boreM >= FITTINGS_DEFAULTS.leastDrainedBoreM;
  const noDrains = isOscillating ? "a cylinder that swings lifts off and lets water out" : "too small for cocks";
  const drainFrom = ["valveGear.kind", "cylinders.bore", "kind"];
  const drains = sheet.block("drains", given.drains, isDrained, noDrains, drainFrom);
  const drainAreaM2 = areaOf(sheet, "drains", drains, () => {
    const bores = isSmall ? FITTINGS_DEFAULTS.modelDrainBores : FITTINGS_DEFAULTS.drainBores;
    const rule = `cocks of 1/${Math.round(1 / bores)} of the bore`;
    return assumedQuantity(circle(bores * boreM), "area", rule, ["cylinders.bore", "kind"]);
  });

  const usualNone = "its kind usually has none";
  const snifting = sheet.block("snifting", given.snifting, kind === "locomotive", usualNone, ["kind"]);
  const sniftingAreaM2 = areaOf(sheet, "snifting", snifting, () => {
    const times = FITTINGS_DEFAULTS.sniftingRegulators;
    return assumedQuantity(times * regulatorAreaM2, "area", `${times} of the regulator`, ["regulator.area"]);
  });

  const glandAreaM2 = areaOf(sheet, "glands", sheet.block("glands", given.glands, true, ""), () => {
    const areaM2 = SUPPLY_DEFAULTS.leakPerBoreM * boreM;
    return assumedQuantity(areaM2, "area", "1 mm2 on 17 in bore, in proportion to the bore", ["cylinders.bore"]);
  });

  return {
    drainAreaM2,
    sniftingAreaM2,
    glandAreaM2,
    ...fillRelief(sheet, given, basis, circle(FITTINGS_DEFAULTS.reliefBores * boreM)),
    valvesLift: fillLifts(sheet, given, gear),
    whistle: fillWhistle(sheet, given, basis),
    track: fillTrack(sheet, given, basis),
    airPump: fillAirPump(sheet, given, basis),
  };
}

function areaOf(
  sheet: Sheet,
  name: string,
  part: { readonly area?: number | undefined } | null,
  assume: () => ReturnType<typeof assumedQuantity>,
): number {
  return part === null ? 0 : sheet.take(`${name}.area`, part.area, assume);
}

function fillRelief(
  sheet: Sheet,
  given: GivenMachine,
  basis: FittingsBasis,
  usualM2: number,
): Pick<FittingsDescription, "reliefAreaM2" | "reliefPa"> {
  const { ambientPa, boilerPa, kind } = basis;
  const usualPa = ambientPa + FITTINGS_DEFAULTS.reliefRatio * Math.max(0, boilerPa - ambientPa);
  const part = sheet.block("relief", given.relief, kind === "marine", "its kind usually has none", ["kind"]);
  if (part === null) return { reliefAreaM2: 0, reliefPa: usualPa };
  const reliefAreaM2 = sheet.take("relief.area", part.area, () =>
    assumedQuantity(usualM2, "area", `bore ${FITTINGS_DEFAULTS.reliefBores} of the cylinder's`, ["cylinders.bore"]),
  );
  const name = "relief.pressure";
  const reliefPa = sheet.take(name, absolutePressure(sheet, name, part.pressure, ambientPa), () =>
    assumedQuantity(usualPa, "pressure", "10 % above the boiler", ["boiler.pressure"]),
  );
  sheet.rule(name, ["ambient.pressure"], reliefPa > ambientPa, () => {
    const got = sheet.got(name, reliefPa, "pressure");
    return `must be above the pressure of the air outside, got ${got}. Leave out abs if it is a gauge pressure.`;
  });
  sheet.query([name, "boiler.pressure"], reliefPa < boilerPa, () => {
    return `${name} of ${sheet.got(name, reliefPa, "pressure")} is below the boiler's: the valves blow at every stroke.`;
  });
  return { reliefAreaM2, reliefPa };
}

function fillLifts(sheet: Sheet, given: GivenMachine, gear: GearDescription): boolean {
  const { valveGear } = gear;
  if (valveGear.kind === "oscillating") return false;
  const written = given.valveGear !== undefined && "lifts" in given.valveGear ? given.valveGear.lifts : undefined;
  const isSlide = valveGear.admission === "outside";
  sheet.rule("valveGear.lifts", ["valveGear.admission"], written !== true || isSlide, () => {
    return "must be false with inside admission, as piston valves have no face to lift from, got true. Leave it out.";
  });
  return sheet.take("valveGear.lifts", written, () =>
    isSlide
      ? assumedWord<boolean>(true, "slide valves lie on their faces by pressure alone", ["valveGear.admission"])
      : assumedWord<boolean>(false, "piston valves cannot", ["valveGear.admission"]),
  );
}

function usualBell(kind: MachineKind): BellDescription {
  if (kind === "model") return FITTINGS_DEFAULTS.modelBell;
  return kind === "marine" ? FITTINGS_DEFAULTS.marineBell : FITTINGS_DEFAULTS.bell;
}

function bellText(bell: BellDescription): string {
  return `[{ length: ${readableQuantity(bell.lengthM, "length")}, bore: ${readableQuantity(bell.boreM, "length")} }]`;
}

function fillWhistle(sheet: Sheet, given: GivenMachine, basis: FittingsBasis): WhistleDescription | null {
  const { kind, workingFluid } = basis;
  const isUsual = workingFluid === "steam" && (kind === "locomotive" || kind === "road" || kind === "marine");
  const rule = workingFluid === "air" ? "no steam to blow it" : "its kind usually has none";
  const part = sheet.block("whistle", given.whistle, isUsual, rule, ["kind", "workingFluid"]);
  if (part === null) return null;
  const bells = sheet.take("whistle.bells", readBells(sheet, part.bells), () => {
    const bell = usualBell(kind);
    return { value: [bell], text: bellText(bell), rule: "one bell of the usual size", from: ["kind"] };
  });
  const boreM = bells[0]!.boreM;
  const slitM = sheet.take("whistle.slit", part.slit, () =>
    assumedQuantity(
      Math.max(5e-5, FITTINGS_DEFAULTS.slitBores * boreM),
      "length",
      `${FITTINGS_DEFAULTS.slitBores} of the bell's bore`,
      ["whistle.bells"],
    ),
  );
  const cutUpRatio = sheet.take("whistle.cutUp", part.cutUp, () =>
    assumedQuantity(FITTINGS_DEFAULTS.cutUpRatio, "ratio", "usual of steam whistles"),
  );
  bells.forEach((bell, index) => {
    sheet.query([`whistle.bells[${index}]`], bell.lengthM < bell.boreM, () => {
      return `whistle.bells[${index}] is shorter than it is wide. Are length and bore changed over?`;
    });
  });
  sheet.query(["whistle.slit", "whistle.bells"], slitM > 0.1 * boreM, () => {
    return `whistle.slit of ${sheet.got("whistle.slit", slitM, "length")} is wide for that bell. Usual are 0.5 to 2 % of its bore.`;
  });
  return { bells, slitM, cutUpRatio };
}

type GivenBells = NonNullable<NonNullable<GivenMachine["whistle"]>["bells"]>;

function readBells(sheet: Sheet, given: GivenBells | undefined): readonly BellDescription[] | undefined {
  if (given === undefined) return undefined;
  if (given.length === 0) {
    sheet.complain(
      "whistle.bells",
      "must list one to six bells, got none. Write whistle: none if there is no whistle.",
    );
    return undefined;
  }
  const bells: BellDescription[] = [];
  given.forEach((bell, index) => {
    for (const key of ["length", "bore"] as const) {
      const name = `whistle.bells[${index}].${key}`;
      if (bell?.[key] === undefined && sheet.isSound(name)) {
        sheet.complain(name, `is missing. For example ${key}: ${key === "length" ? "140 mm" : "60 mm"}.`);
      }
    }
    if (bell?.length !== undefined && bell.bore !== undefined) bells.push({ lengthM: bell.length, boreM: bell.bore });
  });
  return bells.length === 0 ? undefined : bells;
}

function fillTrack(sheet: Sheet, given: GivenMachine, basis: FittingsBasis): TrackDescription | null {
  const { kind, wheelDiameterM, train, trainBasis } = basis;
  const isUsual = kind === "locomotive" && wheelDiameterM !== null;
  const rule = kind === "locomotive" ? "no wheels are named" : "its kind runs on none";
  const part = sheet.block("track", given.track, isUsual, rule, ["kind", "wheels"]);
  if (part === null) return null;
  if (wheelDiameterM === null || trainBasis === null) {
    if (sheet.isSound("track", "wheels", "wheels.diameter")) {
      sheet.complain("track", "must have wheels to run on it, got none. Add wheels: { diameter: 5 ft }.");
    }
    return null;
  }
  const scale = Math.min(1, wheelDiameterM / FITTINGS_DEFAULTS.trackWheelM);
  const less = scale < 1 ? ", less with wheels under 1.4 m" : "";
  const scaled = (name: "rail" | "gap" | "dip", full: number, words: string): number =>
    sheet.take(`track.${name}`, part[name], () =>
      assumedQuantity(scale * full, "length", `${words}${less}`, ["wheels"]),
    );
  const railLengthM = scaled("rail", FITTINGS_DEFAULTS.railLengthM, "60 ft");
  const gapM = scaled("gap", FITTINGS_DEFAULTS.gapM, "mild weather");
  const dipM = scaled("dip", FITTINGS_DEFAULTS.dipM, "a line in fair order");
  const axlesM = sheet.take("track.axles", readAxles(sheet, part.axles), () => {
    const spacingM = FITTINGS_DEFAULTS.axleWheels * wheelDiameterM;
    const value = Array.from({ length: FITTINGS_DEFAULTS.axleCount }, (_, i) => i * spacingM);
    const text = `[${value.map((placeM) => readableQuantity(placeM, "length")).join(", ")}]`;
    return { value, text, rule: `three, ${FITTINGS_DEFAULTS.axleWheels} wheels apart`, from: ["wheels"] };
  });
  const engineKg =
    train?.engineKg ??
    (TRAIN_DEFAULTS.engineAdhesions * TRAIN_DEFAULTS.weightPulls * greatestPullN(trainBasis)) / WEIGHT_N_PER_KG;
  const axleKg = sheet.take("track.axleLoad", part.axleLoad, () =>
    assumedQuantity(engineKg / axlesM.length, "mass", "the engine over its axles", [
      ...(train === null ? ["cylinders", "boiler.pressure", "wheels"] : ["train.engine"]),
      "track.axles",
    ]),
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

function fillAirPump(sheet: Sheet, given: GivenMachine, basis: FittingsBasis): FittingsDescription["airPump"] {
  if (basis.exhaust.condenser === null) return null;
  const name = "exhaust.condenser.airPump";
  const part = sheet.block(name, given.exhaust?.condenser?.airPump, true, "");
  if (part === null) return null;
  const { boreM, strokeM } = basis.gear.cylinder;
  const times = FITTINGS_DEFAULTS.airPumpCylinders;
  const half = (value: number, of: string) => assumedQuantity(times * value, "length", `half the cylinder's`, [of]);
  return {
    strokesPerTurn: sheet.take(`${name}.strokesPerTurn`, part.strokesPerTurn, () => assumedWord(1, "single-acting")),
    boreM: sheet.take(`${name}.bore`, part.bore, () => half(boreM, "cylinders.bore")),
    strokeM: sheet.take(`${name}.stroke`, part.stroke, () => half(strokeM, "cylinders.stroke")),
  };
}
