import type { CylinderGeometry, LaterStage } from "../gear/gear-description.js";
import { CRANK_ANGLES_DEG, degreesText, type FilledCylinders } from "./cylinder-defaults.js";
import { type GivenMachine, type MachineKind, MOST_CYLINDERS } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";
import { fillEccentricGear, VALVE_DEFAULTS } from "./valve-defaults.js";

/** Proportions of what follows the high pressure where the owner does not say. */
export const STAGE_DEFAULTS = {
  /** Receiver over what the pistons before it sweep in a stroke. [common practice: 1 to 1.5; worked examples have 0.45 and 1.5 (Lineham, A Text-Book of Mechanical Engineering, p. 669 to 672) and 2 (Creighton, The Steam-Engine and Other Heat-Motors, p. 310)] */
  receiverSweptVolumes: 1.25,
} as const;

/** Names of the blocks, as steam goes through them. */
export const STAGE_BLOCKS = ["intermediatePressure", "lowPressure"] as const;

type StageBlock = (typeof STAGE_BLOCKS)[number];
type GivenStage = NonNullable<GivenMachine[StageBlock]>;

/** Stages after the first, filled in; lists are empty in a simple machine. */
export interface FilledStages {
  readonly stages: readonly LaterStage[];
  /** Of their cylinders. */
  readonly crankAnglesRad: readonly number[];
  readonly receiverVolumesM3: readonly number[];
}

/** The blocks that are there, in order. */
export function stageBlocks(given: GivenMachine): StageBlock[] {
  return STAGE_BLOCKS.filter((name) => given[name] !== undefined);
}

/** Cylinders after those of high pressure. */
export function laterCylinderCount(given: GivenMachine): number {
  return stageBlocks(given).reduce((sum, name) => sum + countOf(given[name]!), 0);
}

function countOf({ cylinders }: GivenStage): number {
  const angleCount = cylinders?.crankAngles?.length ?? 0;
  return cylinders?.count ?? (angleCount >= 1 && angleCount <= 4 ? angleCount : 1);
}

/** Fills in `intermediatePressure` and `lowPressure`, and holds them against what can be joined together. */
export function fillStages(
  sheet: Sheet,
  given: GivenMachine,
  kind: MachineKind,
  first: FilledCylinders,
  pistonSpeedMPerS: number,
): FilledStages {
  const blocks = stageBlocks(given);
  const isFollowed = given.intermediatePressure === undefined || given.lowPressure !== undefined;
  sheet.rule("intermediatePressure", ["lowPressure"], isFollowed, () => {
    return "must stand beside a lowPressure, got none. Add lowPressure: { cylinders: { bore: 40 in } }, or rename it.";
  });
  const stages: LaterStage[] = [];
  const crankAnglesRad: number[] = [];
  const receiverVolumesM3: number[] = [];
  if (blocks.length === 0) return { stages, crankAnglesRad, receiverVolumesM3 };

  const counts = [first.crankAnglesRad.length, ...blocks.map((name) => countOf(given[name]!))];
  const total = counts.reduce((sum, count) => sum + count, 0);
  sheet.rule(blocks.at(-1)!, ["cylinders.count"], total <= MOST_CYLINDERS, () => {
    return `must leave the machine with at most ${MOST_CYLINDERS} cylinders, got ${total}. Lessen a count.`;
  });
  let before = { name: "cylinders", geometry: first.geometry, count: first.crankAnglesRad.length };
  for (const name of blocks) {
    const part = given[name]!;
    const cylinders = part.cylinders ?? {};
    const at = (field: string) => `${name}.cylinders.${field}`;
    const boreM = requireBore(sheet, at("bore"), cylinders.bore, before.geometry.boreM);
    const count = sheet.take(at("count"), cylinders.count, () =>
      assumedWord(countOf(part), "as many as crankAngles lists, else one", [at("crankAngles")]),
    );
    const pistonRodM = sheet.take(at("pistonRod"), cylinders.pistonRod, () =>
      assumedQuantity(first.geometry.pistonRodM, "length", "as that of the first cylinders", ["cylinders.pistonRod"]),
    );
    const clearanceRatio = sheet.take(at("clearance"), cylinders.clearance, () =>
      assumedQuantity(first.geometry.clearanceRatio, "ratio", "as that of the first cylinders", [
        "cylinders.clearance",
      ]),
    );
    const geometry: CylinderGeometry = { ...first.geometry, boreM, pistonRodM, clearanceRatio };
    const firstIndex = first.crankAnglesRad.length + crankAnglesRad.length;
    crankAnglesRad.push(...fillAngles(sheet, at("crankAngles"), cylinders.crankAngles, firstIndex, count, total));
    const gearName = `${name}.valveGear`;
    const place = { name: gearName, boreName: at("bore"), cutoffRatio: VALVE_DEFAULTS.laterCutoffRatio };
    const valveGear = fillEccentricGear(sheet, place, part.valveGear ?? {}, kind, geometry, pistonSpeedMPerS);
    const sweptM3 = (of: CylinderGeometry) => (Math.PI / 4) * of.boreM * of.boreM * of.strokeM;
    receiverVolumesM3.push(
      sheet.take(`${name}.receiver.volume`, part.receiver?.volume, () => {
        const times = STAGE_DEFAULTS.receiverSweptVolumes;
        const rule = `${times} times what the pistons before it sweep in a stroke`;
        const from = [`${before.name}.bore`, "cylinders.stroke", `${before.name}.count`];
        return assumedQuantity(times * before.count * sweptM3(before.geometry), "volume", rule, from);
      }),
    );
    const isLess = count * boreM * boreM < before.count * before.geometry.boreM * before.geometry.boreM;
    sheet.query([at("bore"), at("count"), `${before.name}.bore`, `${before.name}.count`], isLess, () => {
      return `${name} sweeps less than ${before.name} before it: the steam is pressed together there, not expanded.`;
    });
    stages.push({ cylinder: geometry, cylinderCount: count, valveGear });
    before = { name: `${name}.cylinders`, geometry, count };
  }
  return { stages, crankAnglesRad, receiverVolumesM3 };
}

function requireBore(sheet: Sheet, name: string, given: number | undefined, beforeM: number): number {
  if (given !== undefined) return given;
  if (sheet.isSound(name))
    sheet.complain(name, `is missing. Write ${name.split(".")[0]}: { cylinders: { bore: 34 in } }.`);
  // Lets the rest be looked at.
  return 1.7 * beforeM;
}

function fillAngles(
  sheet: Sheet,
  name: string,
  given: readonly (number | undefined)[] | undefined,
  firstIndex: number,
  count: number,
  total: number,
): readonly number[] {
  const whole = given?.every((angle) => angle !== undefined) === true ? given : undefined;
  const spread = CRANK_ANGLES_DEG[total] ?? Array.from({ length: total }, (_, k) => (360 * k) / total);
  const degrees = spread.slice(firstIndex, firstIndex + count);
  const angles = sheet.take<readonly number[]>(name, whole, () => ({
    value: degrees.map((angle) => (angle * Math.PI) / 180),
    text: degreesText(degrees),
    rule: "all cranks of the machine evenly spread, two at a quarter turn",
    from: ["cylinders.count"],
  }));
  sheet.rule(name, [], angles.length === count, () => {
    return `must list one angle for each of the ${count} cylinders, got ${angles.length}. For example ${degreesText(degrees)}.`;
  });
  // A list of another length is complained about; what follows is to find its cylinders all the same.
  return Array.from({ length: count }, (_, k) => angles[k] ?? 0);
}
