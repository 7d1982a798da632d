import type { GovernorDescription, LoadDescription, LoadLaw, TrainDescription } from "../engine/running-description.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { WORKING_NAMES } from "./working-estimate.js";
import type { RunningBasis } from "./running-defaults.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";

/** Proportions of loads and governors where the owner does not say. */
export const LOAD_DEFAULTS = {
  /** Load over the mean torque that the machine gives, its friction taken off. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, mechanical efficiency 80 to 90 %] */
  loadShare: 0.85,
  /** The same where a governor must have room to act. [common practice] */
  governedLoadShare: 0.7,
  /** Governor from end to end. [common practice: 4 to 10 %] */
  droopRatio: 0.06,
  /** Swing of a governor's own. [common practice] */
  periodS: 1,
  /** The same of a small model. [common practice] */
  modelPeriodS: 0.3,
  /** [common practice] */
  dampingRatio: 0.7,
} as const;

const LAWS: Readonly<Record<MachineKind, LoadLaw>> = {
  locomotive: "linear",
  road: "linear",
  stationary: "linear",
  marine: "square",
  model: "linear",
  pump: "pump",
};

const LAW_WORDS: Readonly<Record<LoadLaw, string>> = {
  constant: "the same at any speed",
  linear: "shafting and machines",
  square: "a screw or paddles",
  pump: "a delivery head",
  hoist: "a hanging weight",
};

/** Fills in `load`; null where the shaft has none. */
export function fillLoad(
  sheet: Sheet,
  given: GivenMachine,
  basis: RunningBasis,
  train: TrainDescription | null,
  isGoverned: boolean,
): LoadDescription | null {
  const isDrawing = train !== null || given.train !== undefined;
  const part = sheet.block("load", given.load, !isDrawing, "it draws a train", ["train"]);
  if (part === null) return null;
  const law = sheet.take("load.law", part.law, () => {
    const usual = LAWS[basis.kind];
    return assumedWord<LoadLaw>(usual, LAW_WORDS[usual], ["kind"]);
  });
  const atRpm = sheet.take("load.speed", part.speed, () =>
    assumedQuantity(Math.abs(basis.speedRpm), "rotationSpeed", "the machine's own", ["speed", "wheels"]),
  );
  sheet.rule("load.power", ["load.torque"], part.power === undefined || part.torque === undefined, () => {
    return "must be left out where the torque is given: one follows from the other. Keep one of them.";
  });
  const byPowerNm = part.power === undefined ? undefined : (part.power * 60) / (2 * Math.PI * atRpm);
  if (byPowerNm !== undefined) return { law, torqueNm: part.torque ?? byPowerNm, atRpm };
  const torqueNm = sheet.take("load.torque", part.torque, () => {
    const share = isGoverned ? LOAD_DEFAULTS.governedLoadShare : LOAD_DEFAULTS.loadShare;
    const cutoff = `${Math.round(100 * basis.working.cutoffRatio)} %`;
    const rule = `${share} of what the machine gives, cutting off at ${cutoff}`;
    return assumedQuantity(share * basis.working.torqueNm, "torque", rule, [...WORKING_NAMES, "governor"]);
  });
  return { law, torqueNm, atRpm };
}

/** Whether a machine has a governor, before its load is known. */
export function hasGovernor(given: GivenMachine, kind: MachineKind): boolean {
  return given.governor !== undefined || (kind === "stationary" && given.load?.law !== "hoist");
}

/** Fills in `governor`; null where there is none. */
export function fillGovernor(
  sheet: Sheet,
  given: GivenMachine,
  basis: RunningBasis,
  isSmall: boolean,
  load: LoadDescription | null,
): GovernorDescription | null {
  const isUsual = basis.kind === "stationary" && load?.law !== "hoist";
  const rule = load?.law === "hoist" ? "a winding engine is driven by hand" : "its kind usually has none";
  const part = sheet.block("governor", given.governor, isUsual, rule, ["kind", "load"]);
  if (part === null) return null;
  const acts = sheet.take("governor.acts", part.acts, () =>
    assumedWord<GovernorDescription["acts"]>("regulator", "a throttle valve, as most have"),
  );
  const speedRpm = sheet.take("governor.speed", part.speed, () =>
    assumedQuantity(Math.abs(basis.speedRpm), "rotationSpeed", "the machine's own", ["speed", "wheels"]),
  );
  const droopRatio = sheet.take("governor.droop", part.droop, () =>
    assumedQuantity(LOAD_DEFAULTS.droopRatio, "ratio", "usual of a ball governor"),
  );
  const periodS = sheet.take("governor.period", part.period, () =>
    assumedQuantity(isSmall ? LOAD_DEFAULTS.modelPeriodS : LOAD_DEFAULTS.periodS, "time", "usual of its size", [
      "kind",
      "cylinders.bore",
    ]),
  );
  const dampingRatio = sheet.take("governor.damping", part.damping, () =>
    assumedQuantity(LOAD_DEFAULTS.dampingRatio, "ratio", "a dashpot that keeps it from hunting"),
  );
  return { acts, speedRpm, droopRatio, periodS, dampingRatio };
}
