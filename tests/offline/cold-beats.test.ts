import { describe, expect, it } from "vitest";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { bandPower } from "../../src/listening/standard-bands.js";
import { preset, rendered, request, runOfText } from "./renders.js";

const rateHz = 16_000;
const steamStems = 3;

// Common practice, of anyone who has stood by an engine warming through: with cold cylinders the first steam turns to water
// on the iron, and beats are soft and heavy; warm, they are sharp. Metal of a locomotive takes some tens of seconds.
describe("a locomotive started on cold cylinders", () => {
  const machine = preset("harrow-tank");
  const text =
    "seconds: 50\ncontrols: [{ at: 0 s, regulator: 0 %, speed: 0 rpm }, { at: 1 s, regulator: 40 %, over: 0.5 s, speed: 30 rpm }]";
  const { stems } = rendered(request(machine, { run: runOfText(text, machine), rateHz, fullScalePa: 1 }));
  const exhaust = stems[0].map((value, i) => value + stems[1][i] + stems[2][i]);
  /** Warm less cold, dB, in a band. */
  const riseDb = (sound: Float64Array, lowHz: number, highHz: number) => {
    const power = (fromS: number, toS: number) =>
      bandPower(averagedSpectrum(sound.subarray(fromS * rateHz, toS * rateHz), rateHz, 8192), lowHz, highHz);
    return 10 * Math.log10(power(42, 50) / power(2, 10));
  };

  it("soft: the beats' edge and hiss are some decibels down until it is warm", () => {
    expect(stems.length).toBeGreaterThan(steamStems);
    expect(riseDb(stems[0], 700, 1400)).toBeGreaterThan(5);
    expect(riseDb(stems[2], 700, 5600)).toBeGreaterThan(5);
    expect(riseDb(exhaust, 500, 5600)).toBeGreaterThan(2);
  });

  it("and heavy: what is left is deeper than when warm", () => {
    expect(riseDb(exhaust, 22, 44)).toBeLessThan(-3);
  });
});
