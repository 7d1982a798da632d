import type { GearingDescription } from "../engine/running-description.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import type { WrittenWheel } from "./running-schema.js";
import { assumedWord, type Sheet } from "./sheet.js";

/** Pairs of a road engine, about 18 to 1. [common practice: traction engines 15 to 30 to 1 in two or three pairs] */
export const ROAD_PAIRS = [
  { driving: 17, driven: 68 },
  { driving: 15, driven: 68 },
] as const;

// Total ratio, either way, beyond which the gearing is odd. [common practice]
const ODD_RATIO = 60;

/** Turns of the crankshaft for one of the last wheel. */
export function gearingRatio(gearing: GearingDescription | null | undefined): number {
  let ratio = 1;
  for (const { driving, driven } of gearing?.pairs ?? []) ratio *= driven / driving;
  return ratio;
}

/** Fills in `gearing`; null where crankshaft and wheels are one. */
export function fillGearing(sheet: Sheet, given: GivenMachine, kind: MachineKind): GearingDescription | null {
  if (sheet.isNone("motion")) return null;
  const part = sheet.block("gearing", given.gearing, kind === "road", "the crankshaft drives straight", ["kind"]);
  if (part === null) return null;
  const gearKind = sheet.take("gearing.kind", part.kind, () =>
    assumedWord<GearingDescription["kind"]>("gear", "as in most engines with gearing"),
  );
  const pairs = sheet.take("gearing.pairs", readPairs(sheet, part.pairs, gearKind), () => ({
    value: ROAD_PAIRS,
    text: `[${ROAD_PAIRS.map(({ driving, driven }) => `{ driving: ${driving}, driven: ${driven} }`).join(", ")}]`,
    rule: "two pairs, 18 to 1, as in a traction engine",
    from: ["gearing.kind"],
  }));
  const gearing: GearingDescription = { kind: gearKind, pairs };
  const ratio = gearingRatio(gearing);
  sheet.query(["gearing.pairs"], ratio > ODD_RATIO || ratio < 1 / ODD_RATIO, () => {
    const shown = ratio > 1 ? `${Number(ratio.toPrecision(3))} to 1` : `1 to ${Number((1 / ratio).toPrecision(3))}`;
    return `gearing comes to ${shown}. Usual are 2 to 30 to 1: are driving and driven changed over?`;
  });
  return gearing;
}

type GivenPairs = NonNullable<NonNullable<GivenMachine["gearing"]>["pairs"]>;

const MILLIMETRES = 1000;

function readPairs(
  sheet: Sheet,
  given: GivenPairs | undefined,
  kind: GearingDescription["kind"],
): GearingDescription["pairs"] | undefined {
  if (given === undefined) return undefined;
  if (given.length === 0) {
    sheet.complain(
      "gearing.pairs",
      "must name one pair or more, got none. Write gearing: none if there is no gearing.",
    );
    return undefined;
  }
  const pairs: { driving: number; driven: number }[] = [];
  given.forEach((pair, index) => {
    const name = `gearing.pairs[${index}]`;
    const driving = readWheel(sheet, `${name}.driving`, pair?.driving, kind);
    const driven = readWheel(sheet, `${name}.driven`, pair?.driven, kind);
    if (driving !== null && driven !== null) pairs.push({ driving, driven });
  });
  return pairs.length === 0 ? undefined : pairs;
}

function readWheel(
  sheet: Sheet,
  name: string,
  wheel: WrittenWheel | undefined,
  kind: GearingDescription["kind"],
): number | null {
  if (wheel === undefined) {
    const example = `${name.endsWith("driving") ? "driving" : "driven"}: ${kind === "belt" ? "300 mm" : "18"}`;
    if (sheet.isSound(name)) sheet.complain(name, `is missing. For example ${example}.`);
    return null;
  }
  const isPulley = "diameterM" in wheel;
  sheet.rule(name, ["gearing.kind"], isPulley === (kind === "belt"), () => {
    return isPulley
      ? `must be a count of teeth with kind ${kind}, got a diameter. For example 18, or write kind: belt.`
      : `must be a pulley's diameter with kind belt, got ${wheel.teeth}. For example 300 mm, or write kind: gear.`;
  });
  return isPulley ? wheel.diameterM * MILLIMETRES : wheel.teeth;
}
