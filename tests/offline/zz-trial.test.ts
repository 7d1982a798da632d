import { readFileSync, writeFileSync } from "node:fs";
import { it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import { machineOfText, preset, request, runOfText } from "./renders.js";
import type { MachineFile } from "../../src/preset/machine-file.js";

const harrow = preset("harrow-tank");
const dump = (name: string, machine: MachineFile, text: string) => {
  const t0 = process.cpuUsage().user;
  const render = new OfflineRender(request(machine, { run: runOfText(text, machine), fullScalePa: 1 }));
  const t1 = process.cpuUsage().user;
  const arrays = [...render.stemNames, "mix"].map(() => new Float32Array(render.totalFrames));
  let at = 0;
  for (let b = render.next(); b !== null; b = render.next()) {
    b.stems.forEach((s, i) => arrays[i].set(s.subarray(0, b.frameCount), at));
    arrays[arrays.length - 1].set(b.mix.subarray(0, b.frameCount), at);
    at += b.frameCount;
  }
  const t2 = process.cpuUsage().user;
  console.log(name, "settle", (t1 - t0) / 1e6, "make", (t2 - t1) / 1e6, render.summary().warnings, render.summary().speedRpm);
  writeFileSync(`/tmp/pres/${name}.json`, JSON.stringify({ names: [...render.stemNames, "mix"], frames: render.totalFrames }));
  writeFileSync(`/tmp/pres/${name}.f32`, Buffer.concat(arrays.map((a) => Buffer.from(a.buffer))));
};

const text = (from: string, to: string) => machineOfText(readFileSync("presets/harrow-tank.yaml", "utf8").replace(from, to));
const hot = text("pressure: 160 psi", "pressure: 164.5 psi");
const wet2 = machineOfText(readFileSync("presets/harrow-tank.yaml", "utf8").replace("grip: 25 %", "grip: 8 %").replace("slipGrip: 15 %", "slipGrip: 5 %"));
const texts: Record<string, () => void> = {
  away: () => dump("away", harrow, `seconds: 14.5
seed: 3
controls:
  - { at: 0 s, regulator: 0 %, cutoff: 75 %, brake: 100 %, fire: 40 % }
  - { at: 4 s, regulator: 2 %, drains: 100 %, over: 0.3 s }
  - { at: 8 s, regulator: 0 %, over: 0.3 s }
  - { at: 9.5 s, brake: 0 % }
  - { at: 10.5 s, regulator: 45 %, over: 0.8 s }`),
  work: () => dump("work", harrow, `seconds: 9
seed: 3
controls:
  - { at: 0 s, regulator: 28 %, cutoff: 75 %, speed: 60 rpm, fire: 60 % }
  - { at: 5 s, cutoff: 30 %, speed: 90 rpm, over: 1 s, fire: 100 % }`),
  coast: () => dump("coast", hot, `seconds: 25
seed: 3
controls:
  - { at: 0 s, regulator: 0 %, cutoff: 75 %, speed: 90 rpm, fire: 100 %, blower: 20 % }
  - { at: 0.5 s, feed: 60 % }
  - { at: 5 s, cutoff: 30 %, over: 0.5 s }
  - { at: 10.5 s, cutoff: 75 %, over: 0.5 s }
  - { at: 11 s, speed: 60 rpm, over: 1 s }
  - { at: 15 s, speed: 0 rpm, over: 4 s }
  - { at: 16 s, feed: 0 % }`),
  slip: () => dump("slip", wet2, `seconds: 6
seed: 3
controls:
  - { at: 0 s, regulator: 0 %, cutoff: 75 %, fire: 60 %, brake: 0 % }
  - { at: 1 s, regulator: 60 %, over: 0.5 s }`),
  mill: () => dump("mill", preset("lingmere-condensing"), `seconds: 22
seed: 3
controls:
  - { at: 0 s, regulator: 0 %, speed: 0 rpm, cutoff: 25 % }
  - { at: 3 s, regulator: 1 %, speed: 6 rpm, drains: 30 %, over: 0.5 s }
  - { at: 7 s, speed: 20 rpm, over: 0.5 s, regulator: 30 % }
  - { at: 9 s, speed: 66 rpm, over: 2 s, drains: 0 % }
  - { at: 13 s, cutoff: 12 %, over: 0.5 s }
  - { at: 19 s, speed: 0 rpm, over: 3 s, regulator: 0 % }`),
};
for (const name of (process.env.WHICH ?? "away,work,coast,slip,mill").split(",")) it(name, () => texts[name](), 400_000);
