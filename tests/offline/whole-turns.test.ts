import { describe, expect, it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import type { RenderRequest } from "../../src/offline/render-request.js";
import { preset, rendered, request, runOfText } from "./renders.js";

const mill = preset("oxmoor-mill");
const summaryOf = (changes: Partial<RenderRequest>) => rendered(request(mill, { speedRpm: 60, ...changes })).summary;

describe("mean effective pressure and power are means over whole turns, from the first of them", () => {
  const long = summaryOf({ turns: 6 });

  it.each([1, 1.25, 1.99, 2.5])("of a settled machine they are the same after %s turns as after six", (turns) => {
    // At 60 rpm a turn lasts a second.
    const short = summaryOf({ seconds: turns });
    expect(short.turns).toBeCloseTo(turns, 6);
    short.meanEffectivePressurePa!.forEach((pa, i) => {
      expect(Math.abs(pa / long.meanEffectivePressurePa![i] - 1)).toBeLessThan(2e-3);
    });
    expect(Math.abs(short.powerW! / long.powerW! - 1)).toBeLessThan(2e-3);
    expect(Math.abs(short.meanFlowKgPerS / long.meanFlowKgPerS - 1)).toBeLessThan(2e-3);
  });

  it("whichever way the shaft turns, and whenever the sound arrives", () => {
    const back = summaryOf({ seconds: 1.25, speedRpm: -60 });
    expect(Math.abs(back.powerW! / summaryOf({ seconds: 3.25, speedRpm: -60 }).powerW! - 1)).toBeLessThan(2e-3);
    const run = runOfText(
      "seconds: 1.25\nlistener: { distance: 60 m, delay: true }\ncontrols: [{ at: 0 s, speed: 60 rpm }]",
      mill,
    );
    expect(Math.abs(rendered(request(mill, { run })).summary.powerW! / long.powerW! - 1)).toBeLessThan(2e-3);
  });

  it("are not told before a turn is full; the flow so far is", () => {
    const part = summaryOf({ seconds: 0.9 });
    expect([part.powerW, part.meanEffectivePressurePa]).toEqual([null, null]);
    expect(part.meanFlowKgPerS).toBeGreaterThan(0.2 * long.meanFlowKgPerS);
    const render = new OfflineRender(request(mill, { seconds: 2, speedRpm: 60 }));
    expect(render.summary().powerW).toBeNull();
  });

  it("of a standing shaft are nothing", () => {
    const still = summaryOf({ seconds: 0.5, speedRpm: 0 });
    expect([still.powerW, still.turns]).toEqual([0, 0]);
    expect(still.meanEffectivePressurePa!.every((pa) => pa === 0)).toBe(true);
  });
});
