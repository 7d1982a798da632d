import type { EngineDescription } from "../engine/engine-description.js";
import type { FeedDescription, FireDescription, PlantDescription } from "../engine/plant-description.js";
import { ZERO_CELSIUS_K } from "../quantities/constants.js";
import { pow } from "../quantities/portable-maths.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import { saturationTemperatureK } from "../steam/if97.js";
import { fillBlowdown, fillBlower, fillSafetyValve } from "./boiler-fittings.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";
import { WORKING_NAMES, type WorkingEstimate } from "./working-estimate.js";

/** What is assumed of a boiler by the kind of machine it feeds. */
interface BoilerHabit {
  /** Its volume as water, over what it boils away in an hour. */
  readonly hours: number;
  readonly waterRatio: number;
  readonly lowWaterRatio: number;
  readonly efficiencyRatio: number;
  readonly responseS: number;
  readonly lossWPerM2K: number;
  readonly feed: "injector" | "pump" | null;
  readonly words: string;
}

// Room: a locomotive's boiler holds about an hour's water, a mill's Lancashire boiler many, a toy's one to two. Efficiency:
// coal 60 to 70 %, spirit 20 to 50 %. Loss: lagged plates 2 to 4 W/m2K, bare ones by draught and radiation 10 to 15.
// [common practice]
const LOCOMOTIVE: BoilerHabit = {
  hours: 1,
  waterRatio: 0.75,
  lowWaterRatio: 0.6,
  efficiencyRatio: 0.6,
  responseS: 240,
  lossWPerM2K: 3,
  feed: "injector",
  words: "a locomotive boiler fired with coal",
};

// [common practice: as above]
const BOILER_HABITS: Readonly<Record<MachineKind, BoilerHabit>> = {
  locomotive: LOCOMOTIVE,
  road: { ...LOCOMOTIVE, hours: 1.5 },
  stationary: {
    ...LOCOMOTIVE,
    hours: 6,
    lowWaterRatio: 0.5,
    responseS: 600,
    feed: "pump",
    words: "a Lancashire boiler fired with coal",
  },
  pump: {
    ...LOCOMOTIVE,
    hours: 6,
    lowWaterRatio: 0.5,
    responseS: 600,
    feed: "pump",
    words: "a Lancashire boiler fired with coal",
  },
  marine: { ...LOCOMOTIVE, hours: 3, responseS: 600, feed: "pump", words: "a marine boiler fired with coal" },
  model: {
    hours: 1.5,
    waterRatio: 0.6,
    lowWaterRatio: 0.2,
    efficiencyRatio: 0.4,
    responseS: 20,
    lossWPerM2K: 12,
    feed: null,
    words: "a small boiler over a spirit burner",
  },
};

/** Proportions of a boiler and its fittings where the owner does not say. */
export const PLANT_DEFAULTS = {
  /** Steam that a full fire boils over what the machine uses at its own speed. [common practice] */
  fireMargin: 1.25,
  /** Surface of a boiler three diameters long over the 2/3 power of its volume. [common practice: a plain cylinder, closed form] */
  surfacePerVolume: 6.21,
  /** Choked flow of saturated steam over area and pressure, kg/(s m2 Pa): W = a p / 70 lb/s. [source: Babcock & Wilcox, Steam, eq. 49, after R. D. Napier] */
  chokedSteamPerPa: 1.4568e-3,
  /** Choked flow of air at 15 degC over area and pressure, kg/(s m2 Pa): 0.0404 over the root of the temperature. [common practice: closed form] */
  chokedAirPerPa: 2.38e-3,
  /** What the feed brings over what the machine uses. [common practice] */
  feedMargin: 1.5,
  /** Water from an injector, which warms it. [common practice: 60 to 75 degC] */
  injectorTemperatureK: 338.15,
  /** Water from a hot well. [common practice] */
  pumpTemperatureK: 313.15,
  /** Heat of a kilogram of water for each kelvin, J. [common practice] */
  waterHeatJPerKgK: 4190,
} as const;

/** What a boiler is sized by. */
export interface PlantBasis {
  readonly kind: MachineKind;
  readonly workingFluid: "steam" | "air";
  readonly ambient: EngineDescription["ambient"];
  readonly boiler: EngineDescription["boiler"];
  readonly exhaust: EngineDescription["exhaust"];
  readonly working: WorkingEstimate;
}

const PARTS = ["water", "lowWater", "fire", "loss", "safetyValve", "feed", "blowdown"] as const;

/** Fills in what makes the boiler fill and empty; null where it holds its pressure, as a main does. */
export function fillPlant(sheet: Sheet, given: GivenMachine, basis: PlantBasis): PlantDescription | null {
  const boiler = given.boiler ?? {};
  const isAir = basis.workingFluid === "air";
  const isHeld = sheet.isNone("boiler.volume") || (isAir && boiler.volume === undefined);
  if (isHeld) {
    if (!sheet.isNone("boiler.volume")) {
      sheet.take("boiler.volume", undefined, () =>
        assumedWord("none", "an air supply holds its pressure", ["workingFluid"]),
      );
    }
    if (isAir) refuseWaterAndFire(sheet, given);
    for (const part of PARTS) {
      sheet.rule(`boiler.${part}`, ["workingFluid", "boiler.volume"], boiler[part] === undefined, () => {
        return "must be left out where the supply holds its pressure. Give boiler.volume, and it fills and empties.";
      });
    }
    sheet.rule("blower", ["workingFluid", "boiler.volume"], given.blower === undefined, () => {
      return "must be left out where the supply holds its pressure. Give boiler.volume beside it.";
    });
    return null;
  }
  return isAir ? fillReceiver(sheet, given, basis) : fillSteamBoiler(sheet, given, basis);
}

function fillSteamBoiler(sheet: Sheet, given: GivenMachine, basis: PlantBasis): PlantDescription {
  const { kind, working, ambient } = basis;
  const boiler = given.boiler ?? {};
  const habit = BOILER_HABITS[kind];
  const perHourM3 = (working.massFlowKgPerS * 3600) / 1000;
  const volumeM3 = sheet.take("boiler.volume", boiler.volume, () =>
    assumedQuantity(
      Math.max(1e-6, habit.hours * perHourM3),
      "volume",
      `${habit.hours === 1 ? "an hour's" : `${habit.hours} hours'`} water at the machine's own speed, usual in ${habit.words}`,
      WORKING_NAMES,
    ),
  );
  const waterRatio = sheet.take("boiler.water", boiler.water, () =>
    assumedQuantity(habit.waterRatio, "ratio", `usual in ${habit.words}`, ["kind"]),
  );
  const lowWaterRatio = sheet.take("boiler.lowWater", boiler.lowWater, () =>
    assumedQuantity(Math.min(habit.lowWaterRatio, 0.8 * waterRatio), "ratio", `usual in ${habit.words}`, [
      "kind",
      "boiler.water",
    ]),
  );
  const boilingK = saturationTemperatureK(Math.max(1e4, basis.boiler.pressurePa));
  const overK = Math.max(1, boilingK - ambient.temperatureK);
  const lossW = sheet.take("boiler.loss", boiler.loss, () =>
    assumedQuantity(
      habit.lossWPerM2K * surfaceM2(volumeM3) * overK,
      "power",
      `${habit.lossWPerM2K} W for each m2 and kelvin, ${habit.lossWPerM2K > 8 ? "bare" : "lagged"}`,
      ["boiler.volume", "boiler.pressure", "ambient.temperature", "kind"],
    ),
  );
  const feed = fillFeed(sheet, given, basis, habit);
  const feedK = feed?.temperatureK ?? ambient.temperatureK;
  const heatJPerKg = Math.max(1e5, working.enthalpyJPerKg - PLANT_DEFAULTS.waterHeatJPerKgK * (feedK - ZERO_CELSIUS_K));
  const fire = fillFire(sheet, given, basis, habit, heatJPerKg, lossW);
  const makesKgPerS =
    fire === null
      ? PLANT_DEFAULTS.fireMargin * working.massFlowKgPerS
      : Math.max(0, fire.powerW * fire.efficiencyRatio - lossW) / heatJPerKg;
  return {
    volumeM3,
    waterRatio,
    lowWaterRatio,
    fire,
    lossWPerK: lossW / overK,
    safetyValve: fillSafetyValve(sheet, given, basis, Math.max(makesKgPerS, 1e-7) / PLANT_DEFAULTS.chokedSteamPerPa),
    feed,
    blowerAreaM2: fillBlower(sheet, given, basis),
    blowdownAreaM2: fillBlowdown(sheet, given, kind, volumeM3),
  };
}

/** Surface of a plain cylinder three diameters long. */
function surfaceM2(volumeM3: number): number {
  return PLANT_DEFAULTS.surfacePerVolume * pow(volumeM3, 2 / 3);
}

function fillFeed(sheet: Sheet, given: GivenMachine, basis: PlantBasis, habit: BoilerHabit): FeedDescription | null {
  const part = sheet.block("boiler.feed", given.boiler?.feed, habit.feed !== null, "filled before it is lit", ["kind"]);
  if (part === null) return null;
  const kind = sheet.take("boiler.feed.kind", part.kind, () =>
    assumedWord(habit.feed ?? "pump", `usual with ${habit.words}`, ["kind"]),
  );
  const massFlowKgPerS = sheet.take("boiler.feed.flow", part.flow, () =>
    assumedQuantity(
      PLANT_DEFAULTS.feedMargin * basis.working.massFlowKgPerS,
      "massFlow",
      `${PLANT_DEFAULTS.feedMargin} times what the machine uses at its own speed`,
      WORKING_NAMES,
    ),
  );
  const temperatureK = sheet.take("boiler.feed.temperature", part.temperature, () =>
    kind === "injector"
      ? assumedQuantity(PLANT_DEFAULTS.injectorTemperatureK, "temperature", "an injector warms its water", [
          "boiler.feed.kind",
        ])
      : assumedQuantity(PLANT_DEFAULTS.pumpTemperatureK, "temperature", "from a hot well", ["boiler.feed.kind"]),
  );
  return { kind, massFlowKgPerS, temperatureK };
}

function fillFire(
  sheet: Sheet,
  given: GivenMachine,
  basis: PlantBasis,
  habit: BoilerHabit,
  heatJPerKg: number,
  lossW: number,
): FireDescription | null {
  const part = sheet.block("boiler.fire", given.boiler?.fire, true, "");
  if (part === null) return null;
  const efficiencyRatio = sheet.take("boiler.fire.efficiency", part.efficiency, () =>
    assumedQuantity(habit.efficiencyRatio, "ratio", `usual in ${habit.words}`, ["kind"]),
  );
  const powerW = sheet.take("boiler.fire.power", part.power, () => {
    const neededW = PLANT_DEFAULTS.fireMargin * basis.working.massFlowKgPerS * heatJPerKg + lossW;
    const cutoff = readableQuantity(basis.working.cutoffRatio, "ratio", { digits: 2 });
    const rule = `boils ${PLANT_DEFAULTS.fireMargin} times what the machine uses at its own speed, cutting off at ${cutoff}`;
    return assumedQuantity(neededW / efficiencyRatio, "power", rule, [
      ...WORKING_NAMES,
      "boiler.fire.efficiency",
      "boiler.feed.temperature",
      "boiler.loss",
    ]);
  });
  const responseS = sheet.take("boiler.fire.response", part.response, () =>
    assumedQuantity(habit.responseS, "time", `usual in ${habit.words}`, ["kind"]),
  );
  return { powerW, efficiencyRatio, responseS };
}

/** What a supply of air has none of. */
function refuseWaterAndFire(sheet: Sheet, given: GivenMachine): void {
  for (const part of ["water", "lowWater", "fire", "loss", "feed", "blowdown"] as const) {
    sheet.rule(`boiler.${part}`, ["workingFluid"], given.boiler?.[part] === undefined, () => {
      return "must be left out with air, whose receiver has no water and no fire. Leave it out.";
    });
  }
  sheet.rule("blower", ["workingFluid"], given.blower === undefined, () => {
    return "must be left out with air, which draws no fire. Leave it out.";
  });
}

function fillReceiver(sheet: Sheet, given: GivenMachine, basis: PlantBasis): PlantDescription {
  const boiler = given.boiler ?? {};
  refuseWaterAndFire(sheet, given);
  const volumeM3 = boiler.volume ?? 1;
  const flowPerPressure =
    (PLANT_DEFAULTS.fireMargin * Math.max(1e-7, basis.working.massFlowKgPerS)) / PLANT_DEFAULTS.chokedAirPerPa;
  return {
    volumeM3,
    waterRatio: 0,
    lowWaterRatio: 0,
    fire: null,
    lossWPerK: BOILER_HABITS.model.lossWPerM2K * surfaceM2(volumeM3),
    safetyValve: fillSafetyValve(sheet, given, basis, flowPerPressure),
    feed: null,
    blowerAreaM2: 0,
    blowdownAreaM2: 0,
  };
}
