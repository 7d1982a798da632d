import { describe, expect, it } from "vitest";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { eventsOf, machineOfText, preset, pulsesOf, request, withGear, withoutLeaks } from "../offline/renders.js";
import { FULL_MACHINE } from "../preset/example-machine.js";

const RPM = 60;
const TURNS = 3;

interface Start {
  readonly column: string;
  readonly lateDeg: number;
}

/**
 * Where each end's exhaust flow passes 0.1 % of its peak in the turn, against its release by the valve gear alone, in each
 * whole turn: looked for from 30 degrees before release on, time interpolated between rows.
 */
function starts(machine: MachineFile, changes: { cutoffRatio?: number; speedRpm?: number; fidelity?: 1 | 2 | 4 } = {}) {
  const speedRpm = changes.speedRpm ?? RPM;
  const cutoffRatio = changes.cutoffRatio ?? null;
  const table = pulsesOf(request(machine, { turns: TURNS, ...changes, speedRpm }));
  const shaft = table.get("shaftDeg")!;
  const way = Math.sign(speedRpm);
  const found: Start[] = [];
  for (const { cylinder, end, shaftDeg } of eventsOf(machine, cutoffRatio, speedRpm).beats) {
    const column = `c${cylinder}${end === "head" ? "Head" : "Crank"}ExhaustKgPerS`;
    const flow = table.get(column)!;
    for (let turn = 0; turn < TURNS; turn++) {
      // Progress is counted in the running direction.
      const release = (((way * shaftDeg) % 360) + 360) % 360;
      const releaseProgress = release + 360 * turn;
      if (releaseProgress < 30 || releaseProgress + 330 > 360 * TURNS) continue;
      let row = 0;
      while (way * shaft[row] < releaseProgress - 30) row++;
      let peak = 0;
      for (let r = row; r < flow.length && way * shaft[r] < releaseProgress + 330; r++) peak = Math.max(peak, flow[r]);
      const threshold = 1e-3 * peak;
      expect(flow[row], `${column}: already flowing 30 degrees before release`).toBeLessThan(threshold);
      while (flow[row] < threshold) row++;
      const share = (threshold - flow[row - 1]) / (flow[row] - flow[row - 1]);
      const at = shaft[row - 1] + share * (shaft[row] - shaft[row - 1]);
      found.push({ column, lateDeg: way * at - releaseProgress });
    }
  }
  return found;
}

function expectStarts(
  machine: MachineFile,
  withinDeg: number,
  ends: number,
  changes: Parameters<typeof starts>[1] = {},
) {
  const found = starts(withoutLeaks(machine), changes);
  expect(new Set(found.map(({ column }) => column)).size).toBe(ends);
  for (const { column, lateDeg } of found) expect(Math.abs(lateDeg), column).toBeLessThan(withinDeg);
}

/** The machine of the design's section 4, in true. */
const example = machineOfText(FULL_MACHINE.slice(0, FULL_MACHINE.indexOf("faults:")));
const harrow = preset("harrow-tank");
const eccentric = harrow.description.gear.valveGear;

// Limits throughout, from the geometry of release: 0.1 degree at 60 rpm, about a tick of the fluid (0.03 degree) and
// the time
// in which a port that uncovers passes a thousandth of its peak; 1 degree for an oscillating cylinder, whose ports are
// round.
describe("in the pulse record each end's exhaust starts at its release", () => {
  it("slide valves: the two-cylinder locomotive", () => expectStarts(harrow, 0.1, 4));
  it("slide valves: the machine of the design", () => expectStarts(example, 0.1, 4));
  it("slide valve: the bench model", () => expectStarts(preset("bench-slide"), 0.1, 2));
  it("slide valve on compressed air: the exhibition engine", () => expectStarts(preset("hall-exhibit"), 0.1, 2));
  it("piston valves: the three-cylinder locomotive", () => expectStarts(preset("stell-mineral"), 0.1, 6));
  it("piston valves: the two-cylinder locomotive with inside admission", () => {
    if (eccentric.kind !== "eccentric") throw new Error();
    expectStarts(withGear(harrow, { valveGear: { ...eccentric, admission: "inside" } }), 0.1, 4);
  });
  it("a gear known by its events: the mill engine", () => expectStarts(preset("oxmoor-mill"), 0.1, 2));
  it("oscillating: the wobbler", () => expectStarts(preset("pocket-wobbler"), 1, 1));
  it("notched up to 35 %", () => expectStarts(harrow, 0.1, 4, { cutoffRatio: 0.35 }));
  it("in backward gear, running backwards", () => expectStarts(harrow, 0.1, 4, { speedRpm: -RPM }));
  it("with the crank order the other way round", () =>
    expectStarts(withGear(harrow, { crankAnglesRad: [0, 1.5 * Math.PI] }), 0.1, 4));
  it("with every kind of fault at once", () => expectStarts(machineOfText(FULL_MACHINE), 0.1, 4));
  it("with the fluid ticking twice as often", () => expectStarts(harrow, 0.1, 4, { fidelity: 2 }));
});
