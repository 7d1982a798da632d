import { describe, expect, it } from "vitest";
import { measureRealism } from "../../src/listening/realism.js";
import { steadyResonances } from "../../src/listening/realism-table.js";
import { preset, rendered, request } from "../offline/renders.js";

const harrow = preset("harrow-tank");

/** Peaks of the beats' spectrum, 100 to 700 Hz, of ten turns of the exhaust's flow noise alone. */
function resonancesAt(speedRpm: number) {
  const { stems, beats } = rendered(request(harrow, { turns: 10, speedRpm }));
  const beatTimesS = beats.map(({ timeS }) => timeS).slice(1, -1);
  return measureRealism({ samples: stems[1], sampleRateHz: 48_000, beatTimesS }, 4).resonances;
}

const say = (peaks: ReturnType<typeof resonancesAt>): string =>
  peaks.map((peak) => `${peak.frequencyHz.toFixed(0)} Hz (${peak.prominenceDb.toFixed(1)} dB)`).join(" ");

describe("resonances in the shipped locomotive's flow noise, from 42 to 84 rpm", () => {
  it("stand still, and are the half-wave notes of its chimney within 3 %", () => {
    const [slow, fast] = [resonancesAt(42), resonancesAt(84)];
    const still = steadyResonances(slow, fast);
    console.log(`42 rpm: ${say(slow)}; 84 rpm: ${say(fast)}; still: ${say(still)}`);
    const { chimney, smokebox } = harrow.description.exhaust;
    // n c / (2 x length with both ends): 0.8216 a at the foot [Nomura 1960], 0.6133 a at the top [Levine & Schwinger 1948];
    // c of smokebox gas, 1.38 x 287 J/(kg K).
    const lengthM = chimney!.lengthM + (0.8216 + 0.6133) * 0.5 * chimney!.boreM;
    const firstHz = Math.sqrt(1.38 * 287 * smokebox!.temperatureK) / (2 * lengthM);
    for (const n of [1, 2, 3]) {
      expect(still.some((peak) => Math.abs(peak.frequencyHz / (n * firstHz) - 1) < 0.03)).toBe(true);
    }
  });
});
