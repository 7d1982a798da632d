import { describe, expect, it } from "vitest";
import { beatShifts } from "../../src/gear/beat-shifts.js";
import type { Beat } from "../../src/gear/beats.js";

/** Beats at these shaft angles, ends in turn; their intervals play no part here. */
function beatsAt(anglesDeg: readonly number[]): Beat[] {
  return anglesDeg.map((shaftDeg, i) => ({
    cylinder: Math.floor(i / 2) + 1,
    end: i % 2 === 0 ? "head" : "crank",
    shaftDeg,
    intervalDeg: 90,
  }));
}

function shifts(nowDeg: readonly number[], healthyDeg: readonly number[], audibleDeg: number, direction: 1 | -1 = 1) {
  return beatShifts(beatsAt(nowDeg), beatsAt(healthyDeg), direction, audibleDeg);
}

// Expected by hand: the change of a beat's distance from its neighbours' middle. That a listener judges one displaced
// event of a regular row so is the setting of Friberg & Sundberg, JASA 98 (1995).
describe("beats against those of the machine in good order", () => {
  const even = [0, 90, 180, 270];

  it("one late beat is heard, and its neighbours, which stand where they stood, are not", () => {
    const found = shifts([0, 90, 185, 270], even, 3);
    expect(found.map(({ deviationDeg }) => deviationDeg)).toEqual([0, 0, 5, 0]);
    expect(found.map(({ isAudible }) => isAudible)).toEqual([false, false, true, false]);
    expect(found.map(({ healthyShaftDeg }) => healthyShaftDeg)).toEqual(even);
    expect(shifts([0, 90, 185, 270], even, 5.01).some(({ isAudible }) => isAudible)).toBe(false);
  });

  it("all beats late together change nothing that an ear could notice", () => {
    expect(shifts([20, 110, 200, 290], even, 3)).toEqual(
      even.map((healthyShaftDeg) => ({ healthyShaftDeg, deviationDeg: 20, isAudible: false })),
    );
    expect(shifts([50], [30], 0.1)[0]).toEqual({ healthyShaftDeg: 30, deviationDeg: 20, isAudible: false });
  });

  it("two beats a turn, one early and one late, are judged by how far they have moved against each other", () => {
    // 2 degrees each way is 4 degrees off the middle of the other two.
    expect(shifts([2, 178], [0, 180], 4).map(({ isAudible }) => isAudible)).toEqual([true, true]);
    expect(shifts([2, 178], [0, 180], 4.01).map(({ isAudible }) => isAudible)).toEqual([false, false]);
  });

  it("late is later in the running direction, across the top of the turn and backwards too", () => {
    expect(shifts([2, 180], [358, 180], 3)[0]!.deviationDeg).toBeCloseTo(4, 12);
    expect(shifts([358, 180], [2, 180], 3, -1)[0]!.deviationDeg).toBeCloseTo(4, 12);
    expect(shifts([358, 180], [2, 180], 3)[0]!.deviationDeg).toBeCloseTo(-4, 12);
  });

  it("a beat that parts from the one it fell together with is heard, though the row as a whole has moved with it", () => {
    const found = shifts([0, 180, 5, 185], [0, 180, 0, 180], 4);
    expect(found.map(({ deviationDeg }) => deviationDeg)).toEqual([0, 0, 5, 5]);
    expect(found.map(({ isAudible }) => isAudible)).toEqual([false, false, true, true]);
    expect(shifts([5, 185, 5, 185], [0, 180, 0, 180], 4).some(({ isAudible }) => isAudible)).toBe(false);
  });

  it("an end without a beat before has nothing to be compared with", () => {
    const [, crank] = beatShifts(beatsAt([0, 180]), beatsAt([0]), 1, 3);
    expect(crank).toEqual({ healthyShaftDeg: null, deviationDeg: null, isAudible: false });
  });
});
