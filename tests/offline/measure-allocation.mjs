// Bytes that a running machine allocates per sample, collected ones included, by the sampling heap profiler.
// Run on the built files in a Node of its own: node measure-allocation.mjs PRESET [lively]
import { readFileSync } from "node:fs";
import { Session } from "node:inspector/promises";
import { loadMachine } from "../../dist/preset/machine-file.js";
import { ControlTrack } from "../../dist/machine/control-track.js";
import { TimedDrive } from "../../dist/machine/drive.js";
import { Machine, stemNames } from "../../dist/machine/machine.js";

const [, , name, kind] = process.argv;
const { value } = loadMachine(readFileSync(new URL(`../../presets/${name}.yaml`, import.meta.url), "utf8"), name);
const oscillates = value.description.gear.valveGear.kind === "oscillating";
const cutoff = oscillates ? 1 : 0.25;
const speedRpm = value.description.speedRpm;
// Lively: speed, regulator and cut-off ramp all the time.
const ramp = (from, to) => new ControlTrack(from, kind === "lively" ? [{ atS: 40, overS: 40, value: to }] : []);
const drive = new TimedDrive(ramp(speedRpm, 1.5 * speedRpm), ramp(1, 0.5), ramp(cutoff, oscillates ? 1 : 0.2));
const settings = { sampleRateHz: 48_000, fidelity: 4, seed: 1, distanceM: 7.5 };
const machine = new Machine(value.description, settings, drive);
const stems = stemNames.map(() => new Float64Array(4096));
// Compiled before it is measured, what runs only when two ports of a pipe are open included.
for (let i = 0; i < 600; i++) machine.process(stems, 4096);
const session = new Session();
session.connect();
await session.post("HeapProfiler.startSampling", {
  samplingInterval: 4096,
  includeObjectsCollectedByMajorGC: true,
  includeObjectsCollectedByMinorGC: true,
});
const blocks = 150;
for (let i = 0; i < blocks; i++) machine.process(stems, 4096);
const { profile } = await session.post("HeapProfiler.stopSampling");
const places = new Map();
let bytes = 0;
const walk = (node) => {
  bytes += node.selfSize;
  const { functionName, url } = node.callFrame;
  const place = `${functionName} ${url.split("/").slice(-2).join("/")}`;
  places.set(place, (places.get(place) ?? 0) + node.selfSize);
  node.children.forEach(walk);
};
walk(profile.head);
const top = [...places].sort((a, b) => b[1] - a[1]).slice(0, 5);
const perSample = (sum) => sum / (blocks * 4096);
console.log(
  JSON.stringify({
    bytesPerSample: perSample(bytes),
    places: top.map(([place, sum]) => `${place} ${perSample(sum).toFixed(3)}`),
  }),
);
