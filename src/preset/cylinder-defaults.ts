import type { MachineKind } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Assumed, type Sheet } from "./sheet.js";
import type { GivenMachine } from "./machine-schema.js";
import type { CylinderGeometry } from "../gear/gear-description.js";
import { formatQuantity } from "../quantities/units.js";

/** Proportions of cylinders where the owner does not say. */
export const CYLINDER_DEFAULTS = {
  /** Rod over stroke. [common practice: stationary engines, n = 5] */
  rodStrokes: 2.5,
  /** Rod over stroke of a locomotive, n = 7. [source: Sinclair, Locomotive Engine Running and Management, 10th ed., 1888, tables: 75-96 in on 24 in stroke, n = 6.3 to 8] */
  locomotiveRodStrokes: 3.5,
  /** Piston rod over bore, between 0.15 and 0.2. [common practice] */
  pistonRodBores: 0.16,
  /** Of swept volume: slide valves 6-10 %. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, Table I: moderate speed 3-8 %, high speed 4-10 %] */
  clearanceRatio: 0.08,
  /** Of swept volume, small models 10-25 %. [common practice] */
  modelClearanceRatio: 0.15,
} as const;

/** Below this bore an engine has the proportions of a model. [common practice] */
export const SMALL_BORE_M = 0.06;

/** Crank angles in degrees by number of cylinders. [common practice: two cranks at a quarter turn, three at thirds, four at quarters] */
export const CRANK_ANGLES_DEG: Readonly<Record<number, readonly number[]>> = {
  1: [0],
  2: [0, 90],
  3: [0, 120, 240],
  4: [0, 90, 180, 270],
};

/** Cylinders with every value filled in. */
export interface FilledCylinders {
  readonly geometry: CylinderGeometry;
  readonly crankAnglesRad: readonly number[];
}

function countOf(kind: MachineKind, angleCount: number | undefined, isCompound: boolean): Assumed<number> {
  if (angleCount !== undefined && angleCount >= 1 && angleCount <= 4) {
    return assumedWord(angleCount, "as many as crankAngles lists", ["cylinders.crankAngles"]);
  }
  if (kind === "locomotive" && !isCompound) return assumedWord(2, "a locomotive usually has two cylinders", ["kind"]);
  return assumedWord(1, "one cylinder unless more are named");
}

/** A list of angles as it would be written. */
export function degreesText(angles: readonly number[]): string {
  return `[${angles.map((angle) => `${angle} deg`).join(", ")}]`;
}

/** Fills in `cylinders`. @param laterCount cylinders of lower pressure beside them */
export function fillCylinders(
  sheet: Sheet,
  given: GivenMachine,
  kind: MachineKind,
  isOscillating: boolean,
  laterCount: number,
  hasCrank: boolean,
): FilledCylinders {
  const cylinders = given.cylinders ?? {};
  const boreM = sheet.require("cylinders.bore", cylinders.bore, 0.3, "bore: 17 in under cylinders");
  const strokeM = sheet.require("cylinders.stroke", cylinders.stroke, 0.4, "stroke: 24 in under cylinders");
  const isSmall = kind === "model" || boreM < SMALL_BORE_M;
  const angles = cylinders.crankAngles;
  const count = sheet.take("cylinders.count", cylinders.count, () => countOf(kind, angles?.length, laterCount > 0));
  const acting = sheet.take("cylinders.acting", cylinders.acting, () =>
    isSmall && isOscillating
      ? assumedWord<"single" | "double">("single", "small oscillating models usually are", [
          "kind",
          "cylinders.bore",
          "valveGear.kind",
        ])
      : assumedWord<"single" | "double">("double", "most engines are"),
  );
  const rodStrokes = kind === "locomotive" ? CYLINDER_DEFAULTS.locomotiveRodStrokes : CYLINDER_DEFAULTS.rodStrokes;
  const connectingRodM =
    (isOscillating || !hasCrank) && cylinders.connectingRod === undefined
      ? rodStrokes * strokeM // the piston rod is the connecting rod, or there is none; nothing reads this value
      : sheet.take("cylinders.connectingRod", cylinders.connectingRod, () =>
          assumedQuantity(rodStrokes * strokeM, "length", `${rodStrokes} times the stroke`, [
            "cylinders.stroke",
            "kind",
          ]),
        );
  const pistonRodM = sheet.take("cylinders.pistonRod", cylinders.pistonRod, () =>
    assumedQuantity(
      CYLINDER_DEFAULTS.pistonRodBores * boreM,
      "length",
      `${CYLINDER_DEFAULTS.pistonRodBores} times the bore`,
      ["cylinders.bore"],
    ),
  );
  const clearanceRatio = sheet.take("cylinders.clearance", cylinders.clearance, () => {
    const ratio = isSmall ? CYLINDER_DEFAULTS.modelClearanceRatio : CYLINDER_DEFAULTS.clearanceRatio;
    return assumedQuantity(ratio, "ratio", isSmall ? "usual in small models" : "usual with slide valves", [
      "kind",
      "cylinders.bore",
    ]);
  });
  if (!hasCrank) {
    applyCranklessRules(sheet, given, count);
    const geometry = { boreM, strokeM, acting, connectingRodM, pistonRodM, clearanceRatio };
    return { geometry, crankAnglesRad: new Array<number>(Math.min(2, count)).fill(0) };
  }
  const wholeAngles = angles?.every((angle) => angle !== undefined) === true ? angles : undefined;
  const crankAnglesRad = sheet.take<readonly number[]>("cylinders.crankAngles", wholeAngles, () => {
    const degrees = (CRANK_ANGLES_DEG[count + laterCount] ?? CRANK_ANGLES_DEG[count] ?? [0]).slice(0, count);
    return {
      value: degrees.map((angle) => (angle * Math.PI) / 180),
      text: degreesText(degrees),
      rule:
        count === 1
          ? "the first crank is where the shaft is counted from"
          : "evenly spread, two cranks at a quarter turn",
      from: ["cylinders.count"],
    };
  });
  sheet.rule("cylinders.crankAngles", ["cylinders.count"], crankAnglesRad.length === count, () => {
    const list = degreesText(CRANK_ANGLES_DEG[count] ?? [0]);
    return `must list one angle for each of the ${count} cylinders, got ${crankAnglesRad.length}. For example ${list}.`;
  });
  sheet.rule("cylinders.crankAngles", [], crankAnglesRad.length === 0 || crankAnglesRad[0] === 0, () => {
    const first = formatQuantity(crankAnglesRad[0]!, "angle", "deg", { digits: 6 });
    return `must begin with 0 deg, got ${first}. Count the others from the first crank.`;
  });
  return { geometry: { boreM, strokeM, acting, connectingRodM, pistonRodM, clearanceRatio }, crankAnglesRad };
}

/** What the cylinders of a pump without a crank cannot have. */
function applyCranklessRules(sheet: Sheet, given: GivenMachine, count: number): void {
  sheet.rule("cylinders.count", [], count <= 2, () => {
    return `must be 1 or 2 for a pump without a crank, got ${count}. One cylinder trips its own valve, two each the other's.`;
  });
  sheet.rule("cylinders.acting", [], given.cylinders?.acting !== "single", () => {
    return "must be double for a pump without a crank, as nothing but steam brings its pistons back, got single. Write acting: double.";
  });
  for (const key of ["crankAngles", "connectingRod"] as const) {
    sheet.rule(`cylinders.${key}`, [], given.cylinders?.[key] === undefined, () => {
      return "must be left out for a pump without a crank, whose pistons drive their plungers. Leave it out.";
    });
  }
}
