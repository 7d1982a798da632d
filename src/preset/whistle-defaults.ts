import type { BellDescription, WhistleDescription } from "../engine/fittings-description.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import type { FittingsBasis } from "./fittings-defaults.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, type Sheet } from "./sheet.js";

/** Proportions of whistles where the owner does not say. */
export const WHISTLE_DEFAULTS = {
  /** Bell of a locomotive's whistle: near 800 Hz in steam. [common practice] */
  bell: { lengthM: 0.14, boreM: 0.06 },
  /** Bell of a ship's whistle: near 250 Hz. [common practice] */
  marineBell: { lengthM: 0.44, boreM: 0.15 },
  /** Bell of a model's whistle: near 3 kHz. [common practice] */
  modelBell: { lengthM: 0.035, boreM: 0.012 },
  /** Cylinders of this bore and more carry a bell of full size. [common practice: narrow gauge engines do] */
  fullSizeBoreM: 0.15,
  /** Slit over the bore of the first bell. [common practice] */
  slitBores: 0.008,
  /** Mouth over bore. [common practice: 0.3 to 0.5] */
  cutUpRatio: 0.4,
} as const;

function usualBell(kind: MachineKind, cylinderM: number): BellDescription {
  const { modelBell, marineBell, bell, fullSizeBoreM } = WHISTLE_DEFAULTS;
  if (kind === "model") return modelBell;
  const full = kind === "marine" ? marineBell : bell;
  // Small engines carry what their boilers can blow, down to a model's.
  const scale = Math.min(1, cylinderM / fullSizeBoreM);
  return scale * full.boreM <= modelBell.boreM
    ? modelBell
    : { lengthM: scale * full.lengthM, boreM: scale * full.boreM };
}

function bellText(bell: BellDescription): string {
  return `[{ length: ${readableQuantity(bell.lengthM, "length")}, bore: ${readableQuantity(bell.boreM, "length")} }]`;
}

/** Fills in `whistle`; null where there is none. */
export function fillWhistle(sheet: Sheet, given: GivenMachine, basis: FittingsBasis): WhistleDescription | null {
  const { kind, workingFluid } = basis;
  const isUsual = workingFluid === "steam" && (kind === "locomotive" || kind === "road" || kind === "marine");
  const rule = workingFluid === "air" ? "no steam to blow it" : "its kind usually has none";
  const part = sheet.block("whistle", given.whistle, isUsual, rule, ["kind", "workingFluid"]);
  if (part === null) return null;
  const bells = sheet.take("whistle.bells", readBells(sheet, part.bells), () => {
    const bell = usualBell(kind, basis.gear.cylinder.boreM);
    const rule = "one bell of the usual size, smaller on cylinders under 150 mm";
    return { value: [bell], text: bellText(bell), rule, from: ["kind", "cylinders.bore"] };
  });
  const boreM = bells[0]!.boreM;
  const slitM = sheet.take("whistle.slit", part.slit, () =>
    assumedQuantity(
      Math.max(5e-5, WHISTLE_DEFAULTS.slitBores * boreM),
      "length",
      `${WHISTLE_DEFAULTS.slitBores} of the bell's bore`,
      ["whistle.bells"],
    ),
  );
  const cutUpRatio = sheet.take("whistle.cutUp", part.cutUp, () =>
    assumedQuantity(WHISTLE_DEFAULTS.cutUpRatio, "ratio", "usual of steam whistles"),
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
