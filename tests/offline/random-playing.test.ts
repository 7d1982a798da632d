import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { sideControls } from "../../src/engine/engine-controls.js";
import { resolveCutoff } from "../../src/gear/equivalent-eccentric.js";
import { isSettable } from "../../src/gear/gear-description.js";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { openRender } from "../../src/offline/units-render.js";
import { decibels, machineOfText, rendered, request, rmsOf, runOfText } from "./renders.js";

const folder = new URL("../../presets/", import.meta.url);
const names = readdirSync(folder).flatMap((name) => (name.endsWith(".yaml") ? [name.slice(0, -5)] : []));

// Simulated seconds of play for each machine and drive. FOURBEAT_PLAY_SECONDS=300 makes it ten minutes a machine, which
// takes the better part of an hour.
const playS = Number(process.env.FOURBEAT_PLAY_SECONDS ?? "15");
const rateHz = 16_000;
const holdS = 0.4;
const steadyS = 4;

type Setting = Readonly<Record<string, string>>;

const shares = ["regulator", "drains", "blower", "whistle", "brake", "priming"];
const boilers = ["fire", "feed", "blowdown"];
const iron = ["load", "gradient", "barring", "grip"];

/** Every control that a drive knows, with both ends of its range. */
function rangesOf({ description, engineUnits }: MachineFile, isLed: boolean): Map<string, [number, number, string]> {
  const { gear, speedRpm } = description;
  const ranges = new Map<string, [number, number, string]>();
  for (const name of shares) ranges.set(name, [0, 100, "%"]);
  if (isSettable(gear.valveGear)) {
    const fullPercent = 99.9 * resolveCutoff(gear, null).cutoffRatio!;
    ranges.set("cutoff", [-fullPercent, fullPercent, "%"]);
  }
  if (isLed) ranges.set("speed", [-2 * speedRpm, 2 * speedRpm, "rpm"]);
  else {
    ranges.set("load", [0, 200, "%"]);
    ranges.set("gradient", [-20, 20, "%"]);
    ranges.set("barring", [-60, 60, "rpm"]);
    ranges.set("grip", [5, 200, "%"]);
  }
  if (engineUnits.count === 1 && !isLed) for (const name of boilers) ranges.set(name, [0, 100, "%"]);
  return ranges;
}

/** Every control to both its ends, one after the other, then anything at any time; at the end, where it began. */
function played(machine: MachineFile, isLed: boolean, seed: number): { text: string; seconds: number } {
  const ranges = rangesOf(machine, isLed);
  const { speedRpm } = machine.description;
  const own: Setting = {
    ...{ regulator: "100 %", drains: "0 %", blower: "0 %", whistle: "0 %", brake: "0 %", priming: "0 %" },
    ...(isLed ? { speed: `${speedRpm} rpm` } : { load: "100 %", gradient: "0 %", barring: "0 rpm", grip: "100 %" }),
    ...(ranges.has("cutoff") ? { cutoff: `${ranges.get("cutoff")![speedRpm < 0 ? 0 : 1].toFixed(3)} %` } : {}),
  };
  const controls: Setting[] = [{ at: "0 s", ...own }];
  let atS = 0;
  for (const [name, [least, most, unit]] of ranges) {
    for (const value of [most, least])
      controls.push({ at: `${(atS += holdS)} s`, [name]: `${value.toFixed(3)} ${unit}` });
    if (own[name] !== undefined) controls.push({ at: `${(atS += holdS)} s`, [name]: own[name] });
  }
  let state = seed;
  const random = () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 2 ** 32;
  const endS = atS + playS;
  const entries = [...ranges];
  while ((atS += 0.2 + 3 * random()) < endS) {
    const moved: Record<string, string> = {
      at: `${atS.toFixed(3)} s`,
      over: `${(2 * random() * Math.round(random())).toFixed(3)} s`,
    };
    for (let k = 0; k < 3; k++) {
      const [name, [least, most, unit]] = entries[Math.floor(random() * entries.length)];
      const share = Math.min(1, Math.max(0, 1.6 * random() - 0.3));
      moved[name] = `${(least + share * (most - least)).toFixed(3)} ${unit}`;
    }
    controls.push(moved);
  }
  controls.push({ at: `${endS} s`, ...own });
  const seconds = endS + 2 * steadyS;
  return { text: `seconds: ${seconds}\ncontrols: ${JSON.stringify(controls)}`, seconds };
}

it("every control that there is, is played", () => {
  for (const name of sideControls) expect([...shares, ...boilers, ...iron]).toContain(name);
});

// No outside source: it is asked that nothing breaks, whatever is played. Bounds are far outside what engines do.
/** A test that a machine has where it can be driven so; a pump has no speed to be led at, units are only ever led. */
function playedIf(canBe: boolean, title: string, options: { timeout: number }, body: () => void): void {
  if (canBe) it(title, options, body);
}

describe.each(names)("%s, played by somebody who tries everything", (name) => {
  const machine = machineOfText(readFileSync(new URL(`${name}.yaml`, folder), "utf8"));
  const mostPa = 1000;

  const hasCrank = machine.description.gear.valveGear.kind !== "tripped";
  const isOne = machine.engineUnits.count === 1;

  playedIf(
    hasCrank,
    "led at any speed, it stays finite, and at the end sounds as if nothing had been",
    { timeout: 4_000_000 },
    () => {
      const { text, seconds } = played(machine, true, 1);
      const asked = request(machine, { run: runOfText(text, machine), rateHz, fullScalePa: 1 });
      const { mix } = rendered(asked);
      const greatest = mix.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      expect(Number.isFinite(mix.reduce((sum, value) => sum + value, 0))).toBe(true);
      expect(greatest).toBeLessThan(mostPa);
      // A receiver that has been played on is emptier than it was.
      if (machine.description.workingFluid === "air" && (machine.description.plant ?? null) !== null) return;
      const fresh = rendered(request(machine, { seconds: 2 * steadyS, rateHz, fullScalePa: 1 })).mix;
      const last = mix.subarray(Math.round((seconds - steadyS) * rateHz));
      expect(Math.abs(decibels(rmsOf(last) / rmsOf(fresh.subarray(fresh.length - last.length))))).toBeLessThan(2);
    },
  );

  playedIf(isOne, "turning itself, its boiler alive, it stays finite and within bounds", { timeout: 4_000_000 }, () => {
    const { text } = played(machine, false, 2);
    const source = openRender(request(machine, { run: runOfText(text, machine), rateHz, fullScalePa: 1 }));
    let greatest = 0;
    for (let block = source.next(); block !== null; block = source.next()) {
      for (let i = 0; i < block.frameCount; i++) {
        if (!Number.isFinite(block.mix[i])) throw new Error("no number in the mix");
        greatest = Math.max(greatest, Math.abs(block.mix[i]));
      }
    }
    expect(greatest).toBeLessThan(mostPa);
    expect(greatest).toBeGreaterThan(1e-4);
  });
});
