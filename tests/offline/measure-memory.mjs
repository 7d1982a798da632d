// Heap in use after collection at several moments of one long render whose blocks are not kept.
// Run on the built files in a Node of its own: node --expose-gc measure-memory.mjs PRESET SECONDS...
import { readFileSync } from "node:fs";
import { loadMachine } from "../../dist/preset/machine-file.js";
import { OfflineRender } from "../../dist/offline/render.js";

const [, , name, ...moments] = process.argv;
const { value } = loadMachine(readFileSync(new URL(`../../presets/${name}.yaml`, import.meta.url), "utf8"), name);
const render = new OfflineRender({
  machine: value,
  ...{ run: null, seconds: Number(moments[moments.length - 1]), turns: null, loop: false, speedRpm: null },
  ...{ cutoffRatio: null, regulatorRatio: null, rateHz: 48_000, seed: 1, fullScalePa: 20, fidelity: 4 },
});
const heapBytes = [];
const bufferBytes = [];
let frames = 0;
for (let block = render.next(); block !== null; block = render.next()) {
  frames += block.frameCount;
  while (heapBytes.length < moments.length && frames >= 48_000 * Number(moments[heapBytes.length])) {
    globalThis.gc();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    heapBytes.push(heapUsed);
    bufferBytes.push(arrayBuffers);
  }
}
console.log(JSON.stringify({ frames, heapBytes, bufferBytes, beats: render.beats().length }));
