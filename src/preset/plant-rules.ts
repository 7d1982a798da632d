import type { EngineDescription } from "../engine/engine-description.js";
import { saturationTemperatureK } from "../steam/if97.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import { PLANT_DEFAULTS } from "./plant-defaults.js";
import type { Sheet } from "./sheet.js";

// Beyond these a boiler is legal but odd. [common practice]
const ODD_SET_RATIO = 0.05;
const LEAST_LOW_WATER_RATIO = 0.05;
const MOST_WATER_RATIO = 0.92;

/** Holds boiler, fire, feed and safety valve against each other. */
export function applyPlantRules(sheet: Sheet, engine: EngineDescription): void {
  const plant = engine.plant ?? null;
  if (plant === null) return;
  const airPa = engine.ambient.pressurePa;
  applyValveRules(sheet, engine);
  if (engine.workingFluid === "air") return;
  const { waterRatio, lowWaterRatio, fire, feed } = plant;
  const name = "boiler.lowWater";
  sheet.query([name, "boiler.water"], waterRatio <= lowWaterRatio, () => {
    const water = sheet.got("boiler.water", waterRatio, "ratio");
    const low = sheet.got(name, lowWaterRatio, "ratio");
    return `The boiler begins with water at ${water}, not above its low water, ${low}: the plates over the fire are bare.`;
  });
  sheet.query(["boiler.water"], waterRatio > MOST_WATER_RATIO, () => {
    const water = sheet.got("boiler.water", waterRatio, "ratio");
    return `boiler.water of ${water} leaves hardly any steam room: expect water to be carried over. Usual are 55 to 85 %.`;
  });
  sheet.query([name], fire !== null && lowWaterRatio < LEAST_LOW_WATER_RATIO, () => {
    return `${name} of ${sheet.got(name, lowWaterRatio, "ratio")} is next to nothing. Usual are 20 to 65 %.`;
  });
  const boilingK = saturationTemperatureK(Math.max(1e4, engine.boiler.pressurePa));
  const feedName = "boiler.feed.temperature";
  sheet.rule(feedName, ["boiler.pressure"], feed === null || feed.temperatureK < boilingK, () => {
    const limit = sheet.limit(feedName, boilingK, "temperature");
    return `must be colder than the boiling water, ${limit}, got ${sheet.got(feedName, feed!.temperatureK, "temperature")}. Lower it.`;
  });
  const lossW = plant.lossWPerK * Math.max(1, boilingK - engine.ambient.temperatureK);
  const heatW = fire === null ? Infinity : fire.powerW * fire.efficiencyRatio;
  sheet.query(["boiler.loss", "boiler.fire.power", "boiler.fire.efficiency"], heatW <= lossW, () => {
    const power = sheet.got("boiler.fire.power", fire?.powerW ?? 0, "power");
    return `The fire of ${power} does not make up for the boiler's loss, ${sheet.got("boiler.loss", lossW, "power")}: it never raises steam.`;
  });
  sheet.query(
    ["boiler.safetyValve.area", "boiler.fire.power", "boiler.fire.efficiency"],
    blowsTooLittle(engine, heatW),
    () => {
      return "The safety valve cannot pass what the full fire boils: pressure goes on rising. Widen boiler.safetyValve.area.";
    },
  );
  sheet.query(["boiler.volume", "boiler.pressure"], airPa < engine.boiler.pressurePa && isEmptiedAtOnce(engine), () => {
    return `boiler.volume of ${sheet.got("boiler.volume", plant.volumeM3, "volume")} is less than one cylinder end. Is it in the wrong unit?`;
  });
}

function isEmptiedAtOnce({ gear, plant }: EngineDescription): boolean {
  const { boreM, strokeM } = gear.cylinder;
  return plant!.volumeM3 < (Math.PI / 4) * boreM * boreM * strokeM;
}

// From warm feed to saturated steam, near enough at any pressure. [common practice]
const BOILING_J_PER_KG = 2.6e6;

function blowsTooLittle(engine: EngineDescription, heatW: number): boolean {
  const valve = engine.plant?.safetyValve ?? null;
  if (valve === null || !Number.isFinite(heatW)) return false;
  const passesKgPerS = valve.areaM2 * valve.fullLiftPa * PLANT_DEFAULTS.chokedSteamPerPa;
  // Superheat takes its share of the heat; a third short is short whatever that is. [common practice]
  return passesKgPerS < (0.66 * heatW) / BOILING_J_PER_KG;
}

function applyValveRules(sheet: Sheet, engine: EngineDescription): void {
  const valve = engine.plant?.safetyValve ?? null;
  if (valve === null) {
    sheet.query(["boiler.safetyValve"], engine.plant?.fire !== null, () => {
      return "The boiler has a fire and no safety valve.";
    });
    return;
  }
  const airPa = engine.ambient.pressurePa;
  const name = "boiler.safetyValve";
  const { setPa, reseatPa, fullLiftPa } = valve;
  const set = (): string => sheet.got(`${name}.set`, setPa, "pressure");
  sheet.rule(`${name}.set`, ["ambient.pressure"], setPa > airPa, () => {
    return `must be above the pressure of the air outside, got ${set()}. Leave out abs if it is a gauge pressure.`;
  });
  sheet.rule(`${name}.reseat`, [`${name}.set`], reseatPa < setPa, () => {
    return `must be below the set pressure, ${set()}, got ${sheet.got(`${name}.reseat`, reseatPa, "pressure")}. Lower it by some per cent.`;
  });
  sheet.rule(`${name}.reseat`, ["ambient.pressure"], reseatPa > airPa, () => {
    return `must be above the pressure of the air outside, got ${sheet.got(`${name}.reseat`, reseatPa, "pressure")}. Raise it.`;
  });
  sheet.rule(`${name}.fullLift`, [`${name}.set`], fullLiftPa > setPa, () => {
    return `must be above the set pressure, ${set()}, got ${sheet.got(`${name}.fullLift`, fullLiftPa, "pressure")}. Raise it by some per cent.`;
  });
  const workingPa = engine.boiler.pressurePa - airPa;
  const off = (setPa - airPa) / workingPa - 1;
  sheet.query([`${name}.set`, "boiler.pressure", "ambient.pressure"], Math.abs(off) > ODD_SET_RATIO, () => {
    const working = sheet.got("boiler.pressure", engine.boiler.pressurePa, "pressure");
    const where = `${Math.abs(Math.round(100 * off))} % ${off > 0 ? "above" : "below"}`;
    const what = off > 0 ? "" : `, ${readableQuantity(-off * workingPa, "pressureDifference")}: it blows all the time`;
    return `The safety valve is set to ${set()}, ${where} the working pressure, ${working}${what}. Usual is within 5 %.`;
  });
}
