import { pow } from "../quantities/portable-maths.js";
import { requireWithin } from "./setting-range.js";

// Cooling of the expansion is read from a table over the last halving of pressure, linear between places: good to 3e-6.
const STEPS_PER_HALVING = 64;

/**
 * Speed and Mach number of the jet that leaves a mouth, once it has expanded to the pressure outside without loss: what
 * `JetNoise` and `ShockNoise` ask for. Where the mouth stands at the pressure outside they are the mouth's own, and they
 * grow from there without a step as the mouth chokes.
 *
 * The loss-free jet, not the mean of mass and momentum u + A (p - pa)/m, for every published law of choked jet noise is
 * written with it. The two part in the second order of p - pa: by 1 % at a pressure ratio of 3, 9 % at 10.
 * [source: steady isentropic flow of an ideal gas, Shapiro, Compressible Fluid Flow, vol. 1, 1953, chapter 4]
 *
 * @example
 * const expansion = new JetExpansion(1.3, 101325); // isentropic exponent, pressure outside
 * expansion.process(mouthPa, mouthKgPerM3, mouthMPerS, jetMPerS, machNumber, 32);
 */
export class JetExpansion {
  private readonly squareShare: number;
  private readonly halving: number;
  private readonly coolings: Float64Array;
  private outsidePa = 0.5;

  /** @throws RangeError for an isentropic exponent outside 1.01 to 2 or a pressure outside its range. */
  constructor(
    private readonly isentropicExponent: number,
    outsidePa: number,
  ) {
    requireWithin("JetExpansion", "isentropicExponent", isentropicExponent, 1.01, 2, "");
    this.squareShare = 2 / (isentropicExponent - 1);
    const exponent = (isentropicExponent - 1) / isentropicExponent;
    this.halving = pow(0.5, exponent);
    // One place more than is asked for: a ratio of 1 lies between two.
    this.coolings = Float64Array.from({ length: STEPS_PER_HALVING + 2 }, (_, i) =>
      pow(0.5 + (0.5 * i) / STEPS_PER_HALVING, exponent),
    );
    this.setOutside(outsidePa);
  }

  /** Settings only. Pressure outside, 100 Pa to 10 MPa, absolute. @throws RangeError outside. */
  setOutside(outsidePa: number): void {
    this.outsidePa = requireWithin("JetExpansion", "outsidePa", outsidePa, 100, 1e7, " Pa");
  }

  /**
   * Pressure, density and velocity at the mouth (positive outwards), item by item, to speed and Mach number of the expanded
   * jet. Both are 0 where gas is drawn in. A mouth below the pressure outside counts as standing at it.
   */
  process(
    pressurePa: Float64Array,
    densityKgPerM3: Float64Array,
    velocityMPerS: Float64Array,
    jetMPerS: Float64Array,
    machNumber: Float64Array,
    count: number,
  ): void {
    const { squareShare, halving, coolings, outsidePa, isentropicExponent } = this;
    // 1, but as a fraction: a whole number would be mixed with fractions on the heap.
    const uncooled = coolings[STEPS_PER_HALVING]!;
    for (let i = 0; i < count; i++) {
      const velocity = velocityMPerS[i]!;
      const pressure = pressurePa[i]!;
      const density = densityKgPerM3[i]!;
      if (!(velocity > 0 && pressure > 0 && pressure < Infinity && density > 0)) {
        jetMPerS[i] = 0;
        machNumber[i] = 0;
        continue;
      }
      const soundSquare = (isentropicExponent * pressure) / density;
      let cooling = uncooled;
      if (pressure > outsidePa) {
        let ratio = outsidePa / pressure;
        while (ratio < 0.5) {
          ratio *= 2;
          cooling *= halving;
        }
        const place = 2 * STEPS_PER_HALVING * (ratio - 0.5);
        const below = Math.floor(place);
        const low = coolings[below]!;
        cooling *= low + (place - below) * (coolings[below + 1]! - low);
      }
      const jetSquare = velocity * velocity + squareShare * soundSquare * (1 - cooling);
      jetMPerS[i] = Math.sqrt(jetSquare);
      machNumber[i] = Math.sqrt(jetSquare / (soundSquare * cooling));
    }
  }
}
