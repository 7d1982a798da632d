import { describe, expect, it } from "vitest";
import { Engine } from "../../src/engine/engine.js";
import { Balance } from "../../src/offline/balance.js";
import { checkMachine } from "../../src/offline/check.js";
import { OfflineRender } from "../../src/offline/render.js";
import { changed, exhaustOnly, machineOfText, preset, rendered, request } from "./renders.js";
import { readFileSync } from "node:fs";

const wobbler = exhaustOnly(preset("pocket-wobbler"));

function running() {
  const engine = new Engine(wobbler.description, 48_000, 4);
  const balance = new Balance(engine);
  for (let i = 1; i <= 2000; i++) {
    engine.motion.shaftRad[0] = 0.006 * i;
    engine.process();
  }
  return { engine, balance };
}

describe("the books of a model", () => {
  it("close to rounding, and then nothing is said", () => {
    const { balance } = running();
    expect(balance.massResidualRatio).toBeLessThan(1e-12);
    expect(balance.energyResidualRatio).toBeLessThan(1e-12);
    expect(balance.warnings()).toEqual([]);
  });

  it("that lack mass or energy are said not to close, with how much is missing", () => {
    const { engine, balance } = running();
    const passedKg = Math.max(engine.ledger.massInKg, engine.ledger.massOutKg);
    engine.chest.massKg += 0.01 * passedKg;
    expect(balance.massResidualRatio).toBeCloseTo(0.01, 4);
    expect(balance.warnings().join()).toMatch(/books do not close: 1\.0 % of the mass/);
    engine.chest.massKg -= 0.01 * passedKg;
    engine.chest.energyJ += 1e-4 * Math.max(engine.ledger.energyInJ, engine.ledger.energyOutJ);
    expect(balance.energyResidualRatio).toBeCloseTo(1e-4, 6);
    expect(balance.warnings().join()).toContain("0.010 % of the energy");
  });

  it("of a machine through which nothing passes are judged by what it holds", () => {
    const engine = new Engine(wobbler.description, 48_000, 4);
    const balance = new Balance(engine);
    engine.chest.massKg *= 1 + 1e-14;
    expect(balance.warnings()).toEqual([]);
  });
});

describe("leaks that are legal and absurd", () => {
  const text = (name: string) => readFileSync(new URL(`../../presets/${name}.yaml`, import.meta.url), "utf8");
  const leaking = (name: string, leaks: string, chest: string) =>
    machineOfText(
      text(name)
        .replace(/^leaks:.*$/m, `leaks: ${leaks}`)
        .replace(/^chest:.*$/m, `chest: ${chest}`),
    );
  it.each([
    ["pocket-wobbler", "{ valve: 100 mm2, rings: 0.01 mm2 }", "{ volume: 0.5 cm3 }"],
    ["bench-slide", "{ valve: 1000 mm2, rings: 0.05 mm2 }", "{ volume: 12 cm3 }"],
    ["bench-slide", "{ valve: 100 cm2, rings: 0.05 mm2 }", "{ volume: 0.02 cm3 }"],
    ["bench-slide", "{ valve: 100 cm2, rings: 100 cm2 }", "{ volume: 12 cm3 }"],
  ])(
    "%s with leaks %s and chest %s: less power than in order, books closed, warned of by name",
    (name, leaks, chest) => {
      const machine = leaking(name, leaks, chest);
      const check = checkMachine(machine);
      const sound = checkMachine(preset(name as "bench-slide"));
      expect(check.massResidualRatio).toBeLessThan(1e-9);
      expect(check.energyResidualRatio).toBeLessThan(1e-9);
      expect(Math.abs(check.powerW)).toBeLessThan(0.5 * sound.powerW);
      expect(check.steamKgPerS).toBeGreaterThan(2 * sound.steamKgPerS);
      expect(check.warnings.join("\n")).toContain("leaks.valve of");
      expect(check.warnings.join("\n")).not.toContain("held at their edge");
      const { mix, summary } = rendered(request(machine, { seconds: 0.3 }));
      expect(mix.every(Number.isFinite)).toBe(true);
      expect(summary.warnings.join("\n")).not.toContain("books");
    },
  );
});

describe("gas that is no number any more", () => {
  it("ends a check as the model's own fault", () => {
    const broken = changed(wobbler, { chestVolumeM3: NaN });
    expect(() => checkMachine(broken)).toThrow("no number any more");
    expect(() => checkMachine(broken)).not.toThrow(RangeError);
  });

  it("ends a render, and says when", () => {
    const render = new OfflineRender(request(wobbler, { seconds: 1 }));
    render.next();
    const { engine } = (render as unknown as { machine: { engine: Engine } }).machine;
    engine.ends.massKg[0] = NaN;
    expect(() => render.next()).toThrow(/no number any more, 0\.171 s into the render/);
  });

  it("a render whose books do not close says so among its warnings", () => {
    const render = new OfflineRender(request(wobbler, { seconds: 0.5 }));
    render.next();
    const { engine } = (render as unknown as { machine: { engine: Engine } }).machine;
    engine.chest.massKg *= 1.1;
    while (render.next() !== null);
    expect(render.summary().warnings.join("\n")).toContain("books do not close");
  });
});
