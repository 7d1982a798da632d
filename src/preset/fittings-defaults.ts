import type { EngineDescription } from "../engine/engine-description.js";
import type { FittingsDescription } from "../engine/fittings-description.js";
import type { TrainDescription } from "../engine/running-description.js";
import { type GearDescription, isSettable } from "../gear/gear-description.js";
import { lastStageOf } from "../gear/stages.js";
import { SMALL_BORE_M } from "./cylinder-defaults.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";
import { absolutePressure, SUPPLY_DEFAULTS } from "./supply-defaults.js";
import { fillTrack } from "./track-defaults.js";
import type { TrainBasis } from "./train-defaults.js";
import { fillWhistle } from "./whistle-defaults.js";
import { laterPressureRatios } from "./working-estimate.js";

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
  /** Relief of a later stage over what should stand before it, both absolute. [common practice] */
  laterReliefTimes: 2,
  /** Least relief of a later stage above the air, 15 psi. [common practice] */
  laterReliefAbovePa: 103_421,
  /** Air pump over cylinder, bore and stroke: an eighth of its capacity. [source: Bourne, A Catechism of the Steam Engine, air pump of land engines, from memory] */
  airPumpCylinders: 0.5,
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
): Pick<FittingsDescription, "reliefAreaM2" | "reliefPa" | "laterReliefsPa"> {
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
  const ratios = laterPressureRatios(basis.gear);
  if (ratios.length === 0) return { reliefAreaM2, reliefPa };
  const { laterReliefTimes, laterReliefAbovePa } = FITTINGS_DEFAULTS;
  const laterReliefsPa = ratios.map((ratio) =>
    Math.min(reliefPa, Math.max(laterReliefTimes * ratio * boilerPa, ambientPa + laterReliefAbovePa)),
  );
  return { reliefAreaM2, reliefPa, laterReliefsPa };
}

function fillLifts(sheet: Sheet, given: GivenMachine, gear: GearDescription): boolean {
  const { valveGear } = gear;
  if (valveGear.kind === "oscillating" || valveGear.kind === "tripped") return false;
  const written = given.valveGear !== undefined && "lifts" in given.valveGear ? given.valveGear.lifts : undefined;
  const isSlide =
    valveGear.admission === "outside" ||
    (gear.laterStages ?? []).some((stage) => isSettable(stage.valveGear) && stage.valveGear.admission === "outside");
  sheet.rule("valveGear.lifts", ["valveGear.admission"], written !== true || isSlide, () => {
    return "must be false with inside admission, as piston valves have no face to lift from, got true. Leave it out.";
  });
  return sheet.take("valveGear.lifts", written, () =>
    isSlide
      ? assumedWord<boolean>(true, "slide valves lie on their faces by pressure alone", ["valveGear.admission"])
      : assumedWord<boolean>(false, "piston valves cannot", ["valveGear.admission"]),
  );
}

function fillAirPump(sheet: Sheet, given: GivenMachine, basis: FittingsBasis): FittingsDescription["airPump"] {
  if (basis.exhaust.condenser === null) return null;
  const name = "exhaust.condenser.airPump";
  const part = sheet.block(name, given.exhaust?.condenser?.airPump, true, "");
  if (part === null) return null;
  const { boreM, strokeM } = lastStageOf(basis.gear).cylinder;
  const times = FITTINGS_DEFAULTS.airPumpCylinders;
  const half = (value: number, of: string) => assumedQuantity(times * value, "length", `half the cylinder's`, [of]);
  return {
    strokesPerTurn: sheet.take(`${name}.strokesPerTurn`, part.strokesPerTurn, () => assumedWord(1, "single-acting")),
    boreM: sheet.take(`${name}.bore`, part.bore, () => half(boreM, "cylinders.bore")),
    strokeM: sheet.take(`${name}.stroke`, part.stroke, () => half(strokeM, "cylinders.stroke")),
  };
}
