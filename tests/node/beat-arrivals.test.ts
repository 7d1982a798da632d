import { describe, expect, it } from "vitest";
import { beatArrivals, flowStart } from "../../src/node/beat-arrivals.js";
import type { RenderTail } from "../../src/node/render-job.js";
import type { BeatRow } from "../../src/offline/render-request.js";

const rateHz = 48000;
const pulseStep = 4;

interface Shape {
  rpm?: number;
  seconds?: number;
  /** Where the beat of each end starts in the turn. */
  startsDeg: number[];
  soundLagDeg?: number;
  driftRatio?: number;
}

/** A machine of one end per start: flow rises in a line from its start; sound is a burst of three tones with a known centroid. */
function tailOf({ rpm = 60, seconds = 6, startsDeg, soundLagDeg = 20, driftRatio = 0 }: Shape) {
  const degPerS = rpm * 6;
  const angleAt = (timeS: number) => degPerS * timeS * (1 + (driftRatio * timeS) / seconds);
  const names = startsDeg.map((_, i) => ({
    cylinder: 1 + (i >> 1),
    end: i % 2 === 0 ? ("head" as const) : ("crank" as const),
  }));
  const pastStart = (deg: number, start: number) => {
    const past = (Math.sign(degPerS) * (deg - start)) % 360;
    return past < 0 ? past + 360 : past;
  };
  const mix = Float64Array.from({ length: seconds * rateHz }, (_, frame) => {
    const timeS = frame / rateHz;
    let level = 0;
    for (const start of startsDeg) {
      // A raised cosine 30 degrees wide: its centroid is its middle.
      const past = pastStart(angleAt(timeS), start + Math.sign(degPerS) * soundLagDeg) - 345;
      const near = past > 0 ? past - 15 : past + 345;
      if (Math.abs(near) < 15) level += 0.5 + 0.5 * Math.cos((Math.PI * near) / 15);
    }
    const carrier = [701, 1103, 1709].reduce((sum, hz) => sum + Math.sin(2 * Math.PI * hz * timeS), 0);
    return 0.1 * level * carrier;
  });
  const pulseNames = [
    "timeS",
    "shaftDeg",
    ...names.map((n) => `c${n.cylinder}${n.end === "head" ? "Head" : "Crank"}ExhaustKgPerS`),
  ];
  const rows: number[] = [];
  for (let frame = 0; frame < seconds * rateHz; frame += pulseStep) {
    const timeS = frame / rateHz;
    const flows = startsDeg.map((start) =>
      Math.max(0, Math.min(pastStart(angleAt(timeS), start), 170 - pastStart(angleAt(timeS), start))),
    );
    rows.push(timeS, angleAt(timeS), ...flows);
  }
  const tail: RenderTail = { firstFrame: 0, mix, pulseNames, pulses: Float64Array.from(rows) };
  const beats: BeatRow[] = [];
  for (let turn = 3; turn < 5; turn++) {
    startsDeg.forEach((start, i) => {
      const shaftDeg = Math.sign(degPerS) * 360 * turn + start;
      beats.push({ timeS: shaftDeg / degPerS, shaftDeg, ...names[i]! });
    });
  }
  return { tail, beats };
}

describe("where a beat came", () => {
  it("is told to a hundredth of a degree for flow that rises in a line", () => {
    // Flow grows as the angle past the start, to a peak of 85: 0.1 % of it is passed 0.085 degrees after the start.
    for (const rpm of [60, -60]) {
      const { tail, beats } = tailOf({ rpm, startsDeg: [50, 140, 230, 320] });
      for (const { beat, flowStartDeg } of beatArrivals(tail, rateHz, beats)) {
        expect((flowStartDeg! - beat.shaftDeg) * Math.sign(rpm)).toBeCloseTo(0.085, 2);
      }
    }
  });

  it("is not told when the flow never stopped before", () => {
    const shaftDeg = Float64Array.from({ length: 400 }, (_, i) => i);
    expect(flowStart(shaftDeg, new Float64Array(400).fill(1), 100)).toBeNull();
    expect(flowStart(shaftDeg, new Float64Array(400), 100)).toBeNull();
  });

  it("follows the sound of each beat, one of them out of place, within 0.3 degrees", () => {
    for (const rpm of [60, 90, -60]) {
      const startsDeg = [50, 140, 234, 320];
      const { tail, beats } = tailOf({ rpm, startsDeg, soundLagDeg: 20 });
      const lags = beatArrivals(tail, rateHz, beats).map(
        ({ beat, soundCentreDeg }) => (soundCentreDeg! - beat.shaftDeg) * Math.sign(rpm),
      );
      for (const lag of lags) expect(Math.abs(lag - 20), `${rpm} rpm: ${lags.join(" ")}`).toBeLessThan(0.3);
    }
  });

  it("hears two beats within two degrees as one", () => {
    const { tail, beats } = tailOf({ startsDeg: [50, 140, 51, 141] });
    for (const { soundCentreDeg } of beatArrivals(tail, rateHz, beats)) expect(soundCentreDeg).not.toBeNull();
  });

  it("is not told from the sound while the shaft gathers speed", () => {
    const { tail, beats } = tailOf({ startsDeg: [50, 140, 230, 320], driftRatio: 0.5 });
    for (const arrival of beatArrivals(tail, rateHz, beats)) expect(arrival.soundCentreDeg).toBeNull();
  });
});
