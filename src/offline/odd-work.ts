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
 * Says which cylinders do less work than they should.
 *
 * @param workJ of every end in one turn
 * @param endsPerCylinder 1 or 2
 */
export function unevenWorkWarnings(workJ: readonly number[], endsPerCylinder: number): string[] {
  const cylinders: number[] = [];
  workJ.forEach((joule, i) => {
    const k = Math.floor(i / endsPerCylinder);
    cylinders[k] = (cylinders[k] ?? 0) + joule;
  });
  const most = Math.max(...cylinders);
  if (!(most > LEAST_SHARE * Math.max(...workJ.map(Math.abs)))) return [];
  const strongest = cylinders.indexOf(most) + 1;
  return cylinders.flatMap((joule, k) => {
    if (joule >= UNEVEN_RATIO * most) return [];
    if (joule < 0) return [`Cylinder ${k + 1} takes work instead of doing it.`];
    return [
      `Cylinder ${k + 1} does ${((100 * joule) / most).toFixed(0)} % of the work that cylinder ${strongest} does.`,
    ];
  });
}
