import type { SafetyValveDescription } from "../engine/plant-description.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import type { PlantBasis } from "./plant-defaults.js";
import { assumedQuantity, type Sheet } from "./sheet.js";
import { absolutePressure } from "./supply-defaults.js";
import { WORKING_NAMES } from "./working-estimate.js";

/** Proportions of what is screwed into a boiler where the owner does not say. */
export const BOILER_FITTINGS = {
  /** Set pressure over that which the machine works at, both gauge: a valve set to it would feather all day. [common practice: a few per cent] */
  setRatio: 1.03,
  /** Full lift over set pressure, both gauge. [common practice: spring-loaded valves 3 to 10 %] */
  fullLiftRatio: 1.05,
  /** Reseating over set pressure, both gauge. [common practice: 3 to 5 % blow-down] */
  reseatRatio: 0.96,
  /** Blow-down cock over the boiler's volume, m2/m3: a 1 1/4 in cock on 5 m3. [common practice] */
  blowdownPerM: 1.6e-4,
  /** Jets of a blower over the area of the blast nozzle. [common practice] */
  blowerNozzles: 0.01,
} as const;

/** Fills in `boiler.safetyValve`, wide enough for `flowPerPressure` (kg/s over kg/(s m2 Pa)); null where there is none. */
export function fillSafetyValve(
  sheet: Sheet,
  given: GivenMachine,
  basis: PlantBasis,
  flowPerPressure: number,
): SafetyValveDescription | null {
  const part = sheet.block("boiler.safetyValve", given.boiler?.safetyValve, true, "");
  if (part === null) return null;
  const name = "boiler.safetyValve";
  const airPa = basis.ambient.pressurePa;
  const read = (key: "set" | "fullLift" | "reseat") => absolutePressure(sheet, `${name}.${key}`, part[key], airPa);
  const workingPa = basis.boiler.pressurePa;
  const setPa = sheet.take(`${name}.set`, read("set"), () =>
    assumedQuantity(
      airPa + BOILER_FITTINGS.setRatio * Math.max(0, workingPa - airPa),
      "pressure",
      "3 % above the boiler's pressure",
      ["boiler.pressure"],
    ),
  );
  const share = (ratio: number) =>
    `${Math.round(100 * Math.abs(ratio - 1))} % ${ratio > 1 ? "above" : "below"} set pressure`;
  const times = (ratio: number) =>
    assumedQuantity(airPa + ratio * Math.max(0, setPa - airPa), "pressure", share(ratio), [`${name}.set`]);
  const fullLiftPa = sheet.take(`${name}.fullLift`, read("fullLift"), () => times(BOILER_FITTINGS.fullLiftRatio));
  const reseatPa = sheet.take(`${name}.reseat`, read("reseat"), () => times(BOILER_FITTINGS.reseatRatio));
  const areaM2 = sheet.take(`${name}.area`, part.area, () =>
    assumedQuantity(flowPerPressure / Math.max(1e4, fullLiftPa), "area", "passes all that can be made, at full lift", [
      ...WORKING_NAMES,
      `${name}.fullLift`,
      "boiler.fire.power",
      "boiler.fire.efficiency",
    ]),
  );
  return { setPa, fullLiftPa, reseatPa, areaM2 };
}

/** Fills in `blower`: its area, 0 where there is none. */
export function fillBlower(sheet: Sheet, given: GivenMachine, { exhaust }: PlantBasis): number {
  const { chimney, nozzle } = exhaust;
  const part = sheet.block("blower", given.blower, chimney !== null, "no chimney to blow up", ["exhaust", "kind"]);
  if (part === null) return 0;
  sheet.rule("blower", ["exhaust", "kind"], chimney !== null || exhaust.smokebox !== null, () => {
    return "must stand under a chimney, got none. Add chimney: {} and smokebox: {} to exhaust, or leave it out.";
  });
  return sheet.take("blower.area", part.area, () => {
    // Without a nozzle, a tenth of the chimney's bore stands for it. [common practice]
    const boreM = nozzle?.boreM ?? 0.1 * (chimney?.boreM ?? 0.1);
    const times = BOILER_FITTINGS.blowerNozzles;
    return assumedQuantity(times * (Math.PI / 4) * boreM * boreM, "area", `${times} of the area of the nozzle`, [
      "exhaust.nozzle.bore",
      "exhaust.chimney.bore",
    ]);
  });
}

/** Fills in `boiler.blowdown`: its area, 0 where there is none. */
export function fillBlowdown(sheet: Sheet, given: GivenMachine, kind: MachineKind, volumeM3: number): number {
  const isUsual = kind !== "model";
  const part = sheet.block("boiler.blowdown", given.boiler?.blowdown, isUsual, "a model seldom has one", ["kind"]);
  if (part === null) return 0;
  return sheet.take("boiler.blowdown.area", part.area, () =>
    assumedQuantity(
      BOILER_FITTINGS.blowdownPerM * volumeM3,
      "area",
      `${BOILER_FITTINGS.blowdownPerM * 1e4} cm2 for each m3 of the boiler`,
      ["boiler.volume"],
    ),
  );
}
