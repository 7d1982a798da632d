import { describe, expect, it } from "vitest";
import { Machine } from "../../src/machine/machine.js";
import { driveOf, steadyPlan } from "../../src/offline/run-plan.js";
import { troubleWarnings } from "../../src/offline/trouble-warnings.js";
import { machineOfText } from "./renders.js";

// Air of 60 bar let into open pipes: beyond what the cells are made for.
const { description } = machineOfText(
  "workingFluid: air\ncylinders: { bore: 17 in, stroke: 24 in }\nboiler: { pressure: 60 bar }\nspeed: 60 rpm\n",
);

function runAt(fidelity: 1 | 4) {
  const settings = { sampleRateHz: 48_000, fidelity, seed: 1, distanceM: 7.5 } as const;
  const machine = new Machine(description, settings, driveOf(steadyPlan(description, 60, 1, null, 2)));
  machine.runSilent(Math.round(1.5 / machine.tickS));
  return machine.engine;
}

describe("waves that outrun the cells", () => {
  const [usual, finest] = [runAt(4), runAt(1)];

  it("are said with their count, and with no advice that makes it worse or that a command does not take", () => {
    for (const engine of [usual, finest]) {
      const { overrun } = engine.troubleCounts();
      expect(overrun).toBeGreaterThan(0);
      const said = troubleWarnings(engine).filter((text) => text.includes("cells"));
      expect(said.length).toBe(1);
      expect(said[0]).toContain(` in ${overrun} ticks: `);
      expect(said[0]).not.toMatch(/--|fidelity/);
    }
  });

  it("are no fewer with the finest step: its cells are as much shorter", () => {
    expect(finest.troubleCounts().overrun).toBeGreaterThan(usual.troubleCounts().overrun);
  });
});
