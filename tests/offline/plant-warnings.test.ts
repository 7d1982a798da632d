import { describe, expect, it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import { changed, preset, request, runOfText } from "./renders.js";

// The boiler alone matters: nothing turns, at a low rate.
const harrow = preset("harrow-tank");

function warnings(text: string, seconds: number): readonly string[] {
  const render = new OfflineRender(
    request(harrow, { run: runOfText(text, harrow), seconds, rateHz: 16_000, fullScalePa: 20 }),
  );
  while (render.next() !== null);
  return render.summary().warnings;
}

describe("a whistle opened too soon", () => {
  it("before steam is up is silent, and one message says so", () => {
    const said = warnings(
      "start: cold\ncontrols: [{ at: 0 s, fire: 100 %, regulator: 0 % }, { at: 1 s, whistle: 100 % }]",
      3,
    );
    expect(said).toEqual([
      "The whistle was opened at 1 s with no steam up: it is silent until there is. Open it later.",
    ]);
  });
  it("is not heard", () => {
    const text = "start: cold\ncontrols: [{ at: 0 s, fire: 100 %, regulator: 0 % }, { at: 1 s, whistle: 100 % }]";
    const render = new OfflineRender(
      request(harrow, { run: runOfText(text, harrow), seconds: 3, rateHz: 16_000, fullScalePa: 20 }),
    );
    const stem = render.stemNames.indexOf("whistle");
    let most = 0;
    for (let block = render.next(); block !== null; block = render.next()) {
      for (let i = 0; i < block.frameCount; i++) most = Math.max(most, Math.abs(block.stems[stem][i]));
    }
    expect(20 * most).toBeLessThan(1e-3);
  });
  it("says nothing of one that has its steam, or of a machine without a boiler of its own", () => {
    expect(warnings("controls: [{ at: 0 s, fire: 50 %, regulator: 0 % }, { at: 1 s, whistle: 50 % }]", 2)).toEqual([]);
    const held = changed(harrow, { plant: null });
    const render = new OfflineRender(
      request(held, { run: runOfText("controls: [{ at: 0 s, regulator: 0 %, whistle: 50 % }]", held), seconds: 1 }),
    );
    while (render.next() !== null);
    expect(render.summary().warnings).toEqual([]);
  });
});
