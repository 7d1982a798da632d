import type { Stage } from "../gear/stages.js";
import { readableQuantity } from "../quantities/readable-quantity.js";

// A cylinder that makes so much less than its neighbour is out of order; well set ones keep within a tenth.
// [common practice]
const UNEVEN_RATIO = 0.75;

// Below this share of the power of its strongest end, a sign may be rounding. [common practice]
const LEAST_SHARE = 1e-3;

/**
 * Says that a machine takes power instead of giving it.
 *
 * @param powerW indicated, mean; `null` where it is not known
 */
export function absorbedPowerWarnings(powerW: number | null, speedRpm: number): string[] {
  if (powerW === null || !(powerW < 0) || speedRpm === 0) return [];
  const size = readableQuantity(-powerW, "power");
  return [
    `The machine takes ${size} to turn instead of giving power: at this speed and setting the shaft drives the pistons.`,
  ];
}

/**
 * Says which cylinders do less work than they should, held against those of the same stage.
 *
 * @param workJ of every end in one turn
 * @param stages where the ends of cylinders that work side by side stand
 */
export function unevenWorkWarnings(
  workJ: readonly number[],
  stages: readonly Pick<Stage, "firstEnd" | "endCount" | "firstCylinder" | "cylinderCount">[],
): string[] {
  return stages.flatMap(({ firstEnd, endCount, firstCylinder, cylinderCount }) =>
    unevenWorkOf(workJ.slice(firstEnd, firstEnd + endCount), endCount / cylinderCount, firstCylinder),
  );
}

function unevenWorkOf(workJ: readonly number[], endsPerCylinder: number, firstCylinder: number): string[] {
  const cylinders: number[] = [];
  workJ.forEach((joule, i) => {
    const k = Math.floor(i / endsPerCylinder);
    cylinders[k] = (cylinders[k] ?? 0) + joule;
  });
  const most = Math.max(...cylinders);
  if (!(most > LEAST_SHARE * Math.max(...workJ.map(Math.abs)))) return [];
  const strongest = firstCylinder + cylinders.indexOf(most) + 1;
  return cylinders.flatMap((joule, k) => {
    if (joule >= UNEVEN_RATIO * most) return [];
    const name = `Cylinder ${firstCylinder + k + 1}`;
    if (joule < 0) return [`${name} takes work instead of doing it.`];
    return [`${name} does ${((100 * joule) / most).toFixed(0)} % of the work that cylinder ${strongest} does.`];
  });
}
