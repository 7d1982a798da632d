import type { EngineDescription } from "../engine/engine-description.js";
import type { CylinderGeometry } from "../gear/gear-description.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K, STANDARD_ATMOSPHERE_PA, ZERO_CELSIUS_K } from "../quantities/constants.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import { parseQuantity } from "../quantities/units.js";
import { saturationTemperatureK } from "../steam/if97.js";
import { rangeFault, type WrittenPressure } from "./fields.js";
import { REQUIRED_FIELDS, type GivenMachine } from "./machine-schema.js";
import { type Assumed, assumedQuantity, type Sheet } from "./sheet.js";

/** What is assumed of the air outside, the boiler's side and the leaks. */
export const SUPPLY_DEFAULTS = {
  /** 15 degC. [source: ISO 2533:1975, Standard Atmosphere, sea level] */
  ambientTemperatureK: ZERO_CELSIUS_K + 15,
  /** [common practice] */
  humidityRatio: 0.6,
  /** Steam chest over swept volume of all cylinders. [common practice] */
  chestSweptVolumes: 0.15,
  /** Regulator over the area of one port, for each cylinder. [common practice] */
  regulatorPorts: 0.25,
  /** Least regulator over the area of one port. [common practice] */
  leastRegulatorPorts: 0.5,
  /** Effective leak area over bore: 1 mm2 on 17 in, an engine in good order. [common practice] */
  leakPerBoreM: 1e-6 / 0.4318,
} as const;

/** Highest temperature of the steam tables. [source: IAPWS R7-97(2012), region 2] */
export const HIGHEST_STEAM_TEMPERATURE_K = 1073.15;

// Well inside the air table, whose end is 256 kg/m3, and short of where air stops being a perfect gas. [common practice]
const DENSEST_AIR_KG_PER_M3 = 200;

/** The absolute pressure of a field that was written, its range checked now that the atmosphere is known. */
export function absolutePressure(
  sheet: Sheet,
  name: string,
  written: WrittenPressure | undefined,
  atmospherePa: number,
): number | undefined {
  if (written === undefined) return undefined;
  const parsed = parseQuantity(written.text, "pressure", { atmospherePa });
  const fault = parsed.ok ? rangeFault(parsed, written.range, written.text, atmospherePa) : null;
  if (parsed.ok && fault === null) return parsed.value;
  if (fault !== null) sheet.complain(name, fault);
  sheet.spoil(name);
  return undefined;
}

/** Fills in `ambient`. Its pressure, if gauge at all, counts from the standard atmosphere. */
export function fillAmbient(sheet: Sheet, given: GivenMachine): EngineDescription["ambient"] {
  const { ambient } = given;
  const written = absolutePressure(sheet, "ambient.pressure", ambient?.pressure, STANDARD_ATMOSPHERE_PA);
  const pressurePa = sheet.take("ambient.pressure", written, () => ({
    ...assumedQuantity(STANDARD_ATMOSPHERE_PA, "pressure", "the standard atmosphere"),
    text: "1.01325 bar abs",
  }));
  const parsed = parseQuantity(ambient?.pressure?.text ?? "", "pressure");
  // Nobody counts the weather upwards from the standard atmosphere.
  const isOdd = parsed.ok && !parsed.unit.endsWith("abs") && parsed.written > 0;
  sheet.query(["ambient.pressure"], written !== undefined && isOdd, () => {
    const got = sheet.got("ambient.pressure", pressurePa, "pressure");
    return `ambient.pressure of ${got} is gauge, that is ${readableQuantity(pressurePa, "pressure")}. A barometer's reading is written with abs.`;
  });
  const temperatureK = sheet.take("ambient.temperature", ambient?.temperature, () =>
    assumedQuantity(SUPPLY_DEFAULTS.ambientTemperatureK, "temperature", "the standard atmosphere"),
  );
  const humidityRatio = sheet.take("ambient.humidity", ambient?.humidity, () =>
    assumedQuantity(SUPPLY_DEFAULTS.humidityRatio, "ratio", "ordinary weather"),
  );
  return { pressurePa, temperatureK, humidityRatio };
}

/** Fills in `boiler` and holds it against the limits of its working fluid. */
export function fillBoiler(
  sheet: Sheet,
  given: GivenMachine,
  workingFluid: "steam" | "air",
  ambient: EngineDescription["ambient"],
): EngineDescription["boiler"] {
  const { boiler } = given;
  const pressurePa = sheet.require(
    "boiler.pressure",
    absolutePressure(sheet, "boiler.pressure", boiler?.pressure, ambient.pressurePa),
    10e5,
    `${REQUIRED_FIELDS["boiler.pressure"]} under boiler`,
  );
  sheet.rule("boiler.pressure", ["ambient.pressure"], pressurePa > ambient.pressurePa, () => {
    const got = sheet.got("boiler.pressure", pressurePa, "pressure");
    const air = sheet.got("ambient.pressure", ambient.pressurePa, "pressure");
    return `must be above the pressure of the air outside, ${air}, got ${got}. Leave out abs if it is a gauge pressure.`;
  });

  if (workingFluid === "air") {
    sheet.rule("boiler.superheat", ["workingFluid"], boiler?.superheat === undefined, () => {
      return "must be left out with air. Give temperature instead.";
    });
    const temperatureK = sheet.take("boiler.temperature", boiler?.temperature, () =>
      assumedQuantity(ambient.temperatureK, "temperature", "as the air outside", ["ambient.temperature"]),
    );
    const coldestK = pressurePa / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * DENSEST_AIR_KG_PER_M3);
    sheet.rule("boiler.temperature", ["boiler.pressure", "workingFluid"], temperatureK >= coldestK, () => {
      const got = sheet.got("boiler.temperature", temperatureK, "temperature");
      return `must be at least ${Math.ceil(coldestK)} K at that pressure, or air is no gas any more, got ${got}. Warm it.`;
    });
    return { pressurePa, temperatureK, superheatK: 0 };
  }
  sheet.rule("boiler.temperature", ["workingFluid"], boiler?.temperature === undefined, () => {
    return "must be left out with steam. Give superheat, the difference from saturation, instead.";
  });
  const superheatK = sheet.take("boiler.superheat", boiler?.superheat, () =>
    assumedQuantity(0, "temperatureDifference", "saturated steam"),
  );
  const saturationK = saturationTemperatureK(pressurePa);
  sheet.rule("boiler.superheat", ["boiler.pressure"], saturationK + superheatK <= HIGHEST_STEAM_TEMPERATURE_K, () => {
    const most = Math.floor(HIGHEST_STEAM_TEMPERATURE_K - saturationK);
    const got = sheet.got("boiler.superheat", superheatK, "temperatureDifference");
    return `must be at most ${most} K at that pressure, as steam ends at 800 degC here, got ${got}. Lessen it.`;
  });
  const got = sheet.got("boiler.superheat", superheatK, "temperatureDifference");
  const written = parseQuantity(got, "temperatureDifference");
  const isOnScale = superheatK > 0 && written.ok && written.unit !== "K";
  sheet.query(["boiler.superheat", "boiler.pressure"], isOnScale, () => superheatWarning(got, superheatK, saturationK));
  return { pressurePa, temperatureK: saturationK + superheatK, superheatK };
}

/** A superheat in degrees of a scale may have been meant as the steam's temperature. */
function superheatWarning(got: string, superheatK: number, saturationK: number): string {
  const totalK = saturationK + superheatK;
  const all = readableQuantity(totalK, "temperature");
  const asPoint = parseQuantity(got, "temperature");
  const meantK = asPoint.ok ? asPoint.value - saturationK : 0;
  const wayOut = meantK > 0 ? ` If ${got} is the steam's temperature, write superheat: ${Math.round(meantK)} K.` : "";
  return `boiler.superheat of ${got} is counted from saturation, which makes the steam ${all}.${wayOut}`;
}

/** Fills in `leaks`, `chest` and `regulator`. @param throttle the regulator to assume where it is not sized by the ports */
export function fillChestAndLeaks(
  sheet: Sheet,
  given: GivenMachine,
  cylinder: CylinderGeometry,
  cylinderCount: number,
  portM2: number,
  idealised: boolean,
  throttle: Assumed<number> | null,
): Pick<EngineDescription, "leaks" | "chestVolumeM3" | "regulatorAreaM2"> {
  const leakM2 = idealised ? 0 : SUPPLY_DEFAULTS.leakPerBoreM * cylinder.boreM;
  const leakRule = idealised ? "idealised: no leaks" : "1 mm2 on 17 in bore, in proportion to the bore";
  const leak = () => assumedQuantity(leakM2, "area", leakRule, ["cylinders.bore"]);
  const valveM2 = sheet.take("leaks.valve", given.leaks?.valve, leak);
  const regulatorM2 = sheet.take("leaks.regulator", given.leaks?.regulator, leak);
  const ringsM2 = sheet.take("leaks.rings", given.leaks?.rings, leak);
  const chestVolumeM3 = sheet.take("chest.volume", given.chest?.volume, () => {
    const sweptM3 = cylinderCount * (Math.PI / 4) * cylinder.boreM * cylinder.boreM * cylinder.strokeM;
    const times = SUPPLY_DEFAULTS.chestSweptVolumes;
    const from = ["cylinders.bore", "cylinders.stroke", "cylinders.count"];
    return assumedQuantity(times * sweptM3, "volume", `${times} of the swept volume of all cylinders`, from);
  });
  const regulatorAreaM2 = sheet.take("regulator.area", given.regulator?.area, () => {
    if (throttle !== null) return throttle;
    const ports = Math.max(SUPPLY_DEFAULTS.leastRegulatorPorts, SUPPLY_DEFAULTS.regulatorPorts * cylinderCount);
    return assumedQuantity(ports * portM2, "area", `${ports} of the area of a port`, [
      "valveGear",
      "cylinders.bore",
      "cylinders.count",
    ]);
  });
  return {
    leaks: idealised ? { valveM2: 0, ringsM2: 0, regulatorM2: 0 } : { valveM2, ringsM2, regulatorM2 },
    chestVolumeM3,
    regulatorAreaM2,
  };
}
