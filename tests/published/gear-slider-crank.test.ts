import { describe, expect, it } from "vitest";
import { crankAngleOfStrokeRad, pistonPositionRatio } from "../../src/gear/slider-crank.js";

// Exact slider-crank, x/stroke = (1 - cos t + n - sqrt(n^2 - sin^2 t)) / 2, tabulated to five places in the checks,
// section 4; n is rod over crank.
const DEG = Math.PI / 180;
const RATIOS = [Infinity, 3, 4, 5, 6, 7, 8];

describe("piston position of a slider-crank (checks, section 4)", () => {
  it.each([
    [10, [0.0076, 0.01011, 0.00948, 0.0091, 0.00885, 0.00867, 0.00854]],
    [30, [0.06699, 0.08797, 0.08267, 0.07952, 0.07742, 0.07593, 0.07481]],
    [60, [0.25, 0.31386, 0.29744, 0.28779, 0.28141, 0.27689, 0.27351]],
    [90, [0.5, 0.58579, 0.56351, 0.55051, 0.54196, 0.5359, 0.53137]],
    [120, [0.75, 0.81386, 0.79744, 0.78779, 0.78141, 0.77689, 0.77351]],
    [150, [0.93301, 0.95399, 0.9487, 0.94554, 0.94345, 0.94195, 0.94083]],
  ] as const)("%i degrees of crank put the piston where the table says, for seven rod ratios", (angleDeg, row) => {
    row.forEach((position, i) => {
      expect(Math.abs(pistonPositionRatio(angleDeg * DEG, RATIOS[i]) - position)).toBeLessThan(1e-5);
    });
  });

  it("mid-stroke comes before the quarter, the more the shorter the rod", () => {
    const middle = [90, 80.406, 82.819, 84.261, 85.22, 85.904, 86.417];
    RATIOS.forEach((n, i) => {
      expect(Math.abs(crankAngleOfStrokeRad(0.5, n, "outward") / DEG - middle[i])).toBeLessThan(0.001);
    });
  });

  it.each([
    [0.25, [60, 60], [54.315, 66.868], [55.376, 65.376], [56.104, 64.417], [56.633, 63.749]],
    [0.5, [90, 90], [82.819, 97.181], [84.261, 95.739], [85.22, 94.78], [85.904, 94.096]],
    [0.75, [120, 120], [113.132, 125.685], [114.624, 124.624], [115.583, 123.896], [116.251, 123.367]],
    [0.9, [143.13, 143.13], [138.052, 146.877], [139.213, 146.205], [139.941, 145.738], [140.441, 145.394]],
  ])("%f of either stroke stands at the crank angles of the table", (share, ...rows) => {
    [Infinity, 4, 5, 6, 7].forEach((n, i) => {
      expect(Math.abs(crankAngleOfStrokeRad(share, n, "outward") / DEG - rows[i][0])).toBeLessThan(0.001);
      expect(Math.abs(crankAngleOfStrokeRad(share, n, "return") / DEG - rows[i][1])).toBeLessThan(0.001);
    });
  });

  it.each([
    [4, 188.8, 171.2],
    [5, 187.0, 173.0],
    [6, 185.8, 174.2],
    [8, 184.3, 175.7],
    [10, 183.5, 176.5],
  ])("release at 90 %% of both strokes, rod ratio %i, is unequal in time (needs 3.2, fact 1)", (n, first, second) => {
    const outward = crankAngleOfStrokeRad(0.9, n, "outward") / DEG;
    const back = 180 + crankAngleOfStrokeRad(0.9, n, "return") / DEG;
    expect(Math.abs(back - outward - first)).toBeLessThan(0.05);
    expect(Math.abs(360 + outward - back - second)).toBeLessThan(0.05);
  });
});
