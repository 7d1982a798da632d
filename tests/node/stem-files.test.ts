import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import wavefile from "wavefile";
import { buildCli, packageFolder, Workplace } from "./built-cli.js";

const place = new Workplace();
beforeAll(buildCli);
afterAll(() => place.remove());

const alwaysThere = ["exhaust-pulse", "exhaust-noise", "exhaust-jet", "inlet", "leaks", "background"];

it.each(["24", "32f"])("stem files of %s bit, a background among them, add up to the mix within -90 dBFS", (bits) => {
  // -90 dBFS: half a step of every file, a dozen of them, is -132 dBFS at 24 bit.
  const run = place.write(
    "run.yaml",
    `machine: ${join(packageFolder, "presets", "harrow-tank.yaml")}\nseconds: 0.5\nlistener: { background: 45 dB }\ncontrols: [{ at: 0 s, speed: 60 rpm }]\n`,
  );
  const answer = place.run(["render", run, "--stems", "--json", "--bits", bits, "-o", `s${bits}.wav`]);
  expect(answer.code, answer.err).toBe(0);
  const written = (JSON.parse(answer.out) as { stems: { name: string }[] }).stems.map(({ name }) => name);
  const names = [...written];
  expect(names).toEqual(expect.arrayContaining([...alwaysThere]));
  const [mix, ...stems] = [`s${bits}`, ...names.map((name) => `s${bits}-${name}`)].map((name) => {
    const wav = new wavefile.WaveFile(readFileSync(join(place.folder, `${name}.wav`)));
    const samples = wav.getSamples(false, Float64Array as never) as unknown as Float64Array;
    return bits === "24" ? samples.map((x) => x / 0x7fffff) : samples;
  });
  let [worst, loudest] = [0, 0];
  for (let i = 0; i < mix.length; i++) {
    worst = Math.max(worst, Math.abs(stems.reduce((sum, stem) => sum + stem[i], 0) - mix[i]));
    loudest = Math.max(loudest, Math.abs(mix[i]));
  }
  console.log(`${bits} bit: sum of stems off the mix by ${(20 * Math.log10(worst)).toFixed(1)} dBFS at most`);
  expect(mix.length).toBe(24_000);
  expect(loudest).toBeGreaterThan(0.05);
  expect(worst).toBeLessThan(10 ** (-90 / 20));
});
