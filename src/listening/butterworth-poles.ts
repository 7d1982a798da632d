import { cos, sin } from "../quantities/portable-maths.js";

/** A complex number. */
export interface ComplexNumber {
  readonly re: number;
  readonly im: number;
}

/** Highest order accepted. [common practice] (beyond it even second-order sections lose digits at low corners) */
export const HIGHEST_BUTTERWORTH_ORDER = 12;

/**
 * Poles of the analogue Butterworth low-pass of corner 1 rad/s that have a positive imaginary part, and the real one
 * (im = 0 exactly) when `order` is odd; the rest are their conjugates. Throws RangeError unless `order` is a whole
 * number of 1 to 12.
 */
export function butterworthPoles(order: number): ComplexNumber[] {
  if (!Number.isInteger(order) || order < 1 || order > HIGHEST_BUTTERWORTH_ORDER) {
    throw new RangeError(
      `butterworthPoles: order must be a whole number of 1 to ${HIGHEST_BUTTERWORTH_ORDER}, got ${order}. Orders of 2 to 4 are usual.`,
    );
  }
  const poles: ComplexNumber[] = [];
  for (let k = 0; 2 * k + 1 < order; k++) {
    const angle = (Math.PI * (2 * k + 1)) / (2 * order);
    poles.push({ re: -sin(angle), im: cos(angle) });
  }
  if (order % 2 === 1) poles.push({ re: -1, im: 0 });
  return poles;
}
