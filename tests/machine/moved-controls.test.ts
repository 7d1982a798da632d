import { describe, expect, it } from "vitest";
import { sideControlIndex } from "../../src/engine/engine-controls.js";
import { ControlTrack } from "../../src/machine/control-track.js";
import { TimedDrive } from "../../src/machine/drive.js";
import { MovedControls } from "../../src/machine/moved-controls.js";

const stepS = 1 / 12_000;
const step = (from: number, to: number) => new ControlTrack(from, [{ atS: 0.1, overS: 0, value: to }]);
const drive = (overS: number) =>
  new TimedDrive(
    new ControlTrack(0, []),
    new ControlTrack(0, [{ atS: 0.1 + overS, overS, value: 1 }]),
    new ControlTrack(-0.75, [{ atS: 0.1 + overS, overS, value: 0.75 }]),
    { whistle: step(0, 1), load: step(1, 0), barring: step(0, 300) },
  );

/** Seconds after the drive's step until a control first stands within a thousandth of where it is told to be. */
function arrivalS(read: (controls: MovedControls) => number, wanted: number): number {
  const controls = new MovedControls(stepS);
  const told = drive(0);
  const clock = Float64Array.of(0);
  told.advance(clock);
  controls.snap(told);
  for (let tick = 1; tick < 24_000; tick++) {
    clock[0] = tick * stepS;
    told.advance(clock);
    controls.advance(told);
    if (Math.abs(read(controls) - wanted) <= 1e-3 * Math.abs(wanted)) return clock[0] - 0.1;
  }
  return Infinity;
}

describe("controls as a hand moves them", () => {
  // Common practice: a reversing lever is thrown over in about half a second and more, a cock or a valve in a few hundredths.
  it.each([
    [
      "the reverser goes from full backward to full forward gear in three eighths of a second",
      (c: MovedControls) => c.cutoffRatio,
      0.75,
      0.375,
    ],
    ["the regulator opens in a twentieth", (c: MovedControls) => c.regulatorRatio, 1, 0.05],
    ["the whistle's valve in a twentieth", (c: MovedControls) => c.side[sideControlIndex.whistle], 1, 0.05],
    ["barring gear comes up in a tenth", (c: MovedControls) => c.side[sideControlIndex.barring], 300, 0.1],
  ])("%s", (_, read, wanted, inS) => {
    const tookS = arrivalS(read, wanted);
    expect(tookS).toBeGreaterThan(0.97 * inS);
    expect(tookS).toBeLessThan(1.03 * inS);
  });

  it("what is told to move more slowly is followed to the last bit", () => {
    const controls = new MovedControls(stepS);
    const told = drive(0.5);
    const clock = Float64Array.of(0);
    told.advance(clock);
    controls.snap(told);
    for (let tick = 1; tick < 12_000; tick++) {
      clock[0] = tick * stepS;
      told.advance(clock);
      controls.advance(told);
      expect(controls.cutoffRatio).toBe(told.cutoffRatio);
      expect(controls.regulatorRatio).toBe(told.regulatorRatio);
    }
  });

  it("set down, it stands at once where it is told", () => {
    const controls = new MovedControls(stepS);
    const told = drive(0);
    told.advance(Float64Array.of(1));
    controls.snap(told);
    expect(controls.cutoffRatio).toBe(0.75);
    expect(controls.side[sideControlIndex.load]).toBe(0);
  });
});
