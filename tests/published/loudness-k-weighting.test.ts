import { describe, expect, it } from "vitest";
import { powerGain } from "../../src/listening/band-filter.js";
import { kWeighting } from "../../src/listening/k-weighting.js";

describe("K weighting of ITU-R BS.1770-4", () => {
  it("gives Tables 1 and 2 of Annex 1 at 48 kHz to the printed digits", () => {
    const { shelf, cut } = kWeighting(48000);
    const printedShelf = [1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585];
    const printedCut = [1, -2, 1, -1.99004745483398, 0.99007225036621];
    shelf.forEach((value, i) => expect(Math.abs(value - printedShelf[i])).toBeLessThan(1e-12));
    cut.forEach((value, i) => expect(Math.abs(value - printedCut[i])).toBeLessThan(1e-12));
  });

  // Recomputed once from the same analogue prototype with another program. Its b2 at 96 kHz is good to ten decimals: the prototype
  // solved back from the standard's own 48 kHz digits gives 1.378261202316.
  it.each([
    [
      44100,
      [1.53084123005, -2.65097999515, 1.16907907992, -1.66365511326, 0.712595428073],
      [-1.98916967363, 0.989199035787],
    ],
    [
      96000,
      [1.55971422898, -2.92674157825, 1.3782612023, -1.84460946989, 0.855843322931],
      [-1.99501754472, 0.995023759041],
    ],
  ] as const)("gives the derived coefficients at %i Hz to the printed digits", (rateHz, printedShelf, printedCut) => {
    const { shelf, cut } = kWeighting(rateHz);
    shelf.forEach((value, i) =>
      expect(Math.abs(value - printedShelf[i])).toBeLessThan(rateHz === 96000 && i === 2 ? 2e-11 : 6e-12),
    );
    expect(Math.abs(cut[3] - printedCut[0])).toBeLessThan(6e-12);
    expect(Math.abs(cut[4] - printedCut[1])).toBeLessThan(6e-12);
  });

  // Response of the printed coefficients, recomputed to three decimals.
  const rows = [
    [20, -13.275],
    [31.5, -7.79],
    [50, -3.934],
    [63, -2.664],
    [100, -1.133],
    [250, -0.153],
    [500, 0.042],
    [997, 0.691],
    [1000, 0.698],
    [2000, 3.071],
    [4000, 3.968],
    [8000, 4.039],
    [20000, 4.043],
  ] as const;

  function gainDb(rateHz: number, frequencyHz: number): number {
    const { shelf, cut } = kWeighting(rateHz);
    const filter = { coefficients: Float64Array.from([...shelf, ...cut]), order: 4 };
    return 10 * Math.log10(powerGain(filter, rateHz, frequencyHz));
  }

  it.each(rows)("at %d Hz it gains %d dB", (frequencyHz, expectedDb) => {
    expect(Math.abs(gainDb(48000, frequencyHz) - expectedDb)).toBeLessThan(0.0006);
  });

  it.each([44100, 96000, 192000])("has the same response at %i Hz within 0.05 dB up to 15 kHz", (rateHz) => {
    for (const [frequencyHz, expectedDb] of rows.slice(0, -1)) {
      expect(Math.abs(gainDb(rateHz, frequencyHz) - expectedDb)).toBeLessThan(0.05);
    }
  });

  it("refuses a rate that cannot hold the shelf", () => {
    expect(() => kWeighting(4000)).toThrow(/sampleRateHz must be above 4000 Hz/);
    expect(() => kWeighting(NaN)).toThrow(RangeError);
  });
});
