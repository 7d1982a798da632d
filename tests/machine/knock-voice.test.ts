import { describe, expect, it } from "vitest";
import { KnockVoice } from "../../src/machine/knock-voice.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { locomotive } from "../engine/descriptions.js";
import { Turning } from "../engine/turning.js";
import { energy, making, peak, rowS, running, sounded } from "./voice-rig.js";

const massKg = 250;
const description = { ...locomotive(), running: running() };
const { cylinder, crankAnglesRad } = description.gear;
const crankM = cylinder.strokeM / 2;
const throwRatio = crankM / cylinder.connectingRodM;
const headM2 = (Math.PI / 4) * cylinder.boreM ** 2;
const crankEndM2 = headM2 - (Math.PI / 4) * cylinder.pistonRodM ** 2;

/** A settled turn of the real engine: excess pressures of the four ends, tick by tick. */
function turnOf(speedRpm: number, regulatorRatio: number, cutoffRatio: number | null): Float64Array[] {
  const turning = new Turning(locomotive(), { speedRpm, regulatorRatio, cutoffRatio }).settle(4);
  const ends = turning.engine.ends.pressurePa;
  const made = Array.from(ends, () => new Float64Array(turning.ticksPerTurn));
  turning.turns(1, (tick) => {
    for (let i = 0; i < ends.length; i++) made[i][tick] = ends[i];
  });
  return made;
}

/** Knocks of turns like this one. */
function knocks(turn: readonly Float64Array[], speedRpm: number, chunkCount: number, slackM = 2e-4): Float64Array {
  const one = making({ ...description, running: running({ slackM }) });
  const { record } = one;
  const voice = new KnockVoice(one);
  const radPerS = (speedRpm * Math.PI) / 30;
  const fill = (timeS: number): void => {
    const rowsPerTurn = 60 / (speedRpm * rowS);
    const turns = (Math.round(timeS / rowS) % rowsPerTurn) / rowsPerTurn;
    const at = Math.round(turns * turn[0].length);
    record.shaftRad = 2 * Math.PI * turns;
    record.shaftRadPerS = radPerS;
    crankAnglesRad.forEach((angle, c) => {
      const [sine, cosine] = [Math.sin(record.shaftRad + angle), Math.cos(record.shaftRad + angle)];
      const gasN = turn[2 * c][at] * headM2 - turn[2 * c + 1][at] * crankEndM2;
      const accelerates = crankM * radPerS ** 2 * (cosine + throwRatio * (2 * cosine * cosine - 1));
      record.rodForceN[c] = gasN - 101_325 * (headM2 - crankEndM2) - massKg * accelerates;
      record.pistonMPerS[c] = crankM * radPerS * sine * (1 + throwRatio * cosine);
    });
  };
  fill(0);
  voice.reset();
  return sounded(voice, chunkCount, fill);
}

const second = 48_000;

describe("knocks of the motion", () => {
  const pulling = turnOf(60, 1, null);
  const working = knocks(pulling, 60, 1500);

  // Beats of this engine peak at about 8 Pa at 7.5 m. Common practice: an engine in good order is heard to knock, but modestly.
  it("stand 20 to 35 dB below the exhaust beats of an engine in good order", () => {
    const belowDb = 20 * Math.log10(8 / peak(working.subarray(second)));
    expect(belowDb).toBeGreaterThan(20);
    expect(belowDb).toBeLessThan(35);
  });

  it("come at the same angles of every turn, turn after turn the same", () => {
    const [first, next] = [working.subarray(2 * second, 3 * second), working.subarray(3 * second)];
    const difference = first.map((x, i) => x - next[i]);
    expect(energy(difference)).toBeLessThan(1e-8 * energy(first));
  });

  it("fall silent between reversals: the loud quarter of the time has most of the sound", () => {
    const parts = Array.from({ length: 100 }, (_, k) =>
      energy(working.subarray(second + 480 * k, second + 480 * (k + 1))),
    ).sort((a, b) => b - a);
    const whole = parts.reduce((sum, x) => sum + x, 0);
    expect(parts.slice(0, 25).reduce((sum, x) => sum + x, 0) / whole).toBeGreaterThan(0.85);
  });

  // Common practice: worn brasses knock; the closed form has speed with play to the power of 2/3 while the force still grows.
  it("grow with the play", () => {
    const loudness = (slackM: number): number => energy(knocks(pulling, 60, 750, slackM).subarray(second));
    expect(loudness(8e-4) / loudness(2e-4)).toBeGreaterThan(2);
    expect(loudness(2e-4) / loudness(5e-5)).toBeGreaterThan(2);
  });

  // Common practice: drifting at speed the rods are heard, since the beats are not.
  it("are heard drifting, harder at higher speed", () => {
    const slow = peak(knocks(turnOf(60, 0, 0.3), 60, 1125).subarray(second));
    const fast = peak(knocks(turnOf(180, 0, 0.3), 180, 1125).subarray(second));
    expect(slow).toBeGreaterThan(0.01);
    expect(fast).toBeGreaterThan(1.3 * slow);
    expect(fast).toBeLessThan(0.8);
  });

  it("need motion: an engine that stands is silent and idle, and steam let in takes up the slack with one knock", () => {
    const one = making(description);
    const voice = new KnockVoice(one);
    expect(peak(sounded(voice, 100, () => undefined))).toBe(0);
    expect(voice.isIdle).toBe(true);
    const admitted = sounded(voice, 800, (timeS) => one.record.rodForceN.fill(Math.min(5e4, 1e6 * timeS)));
    expect(peak(admitted)).toBeGreaterThan(0.01);
    // It rings out in a second or two, and then there is nothing to do.
    expect(peak(admitted.subarray(90_000))).toBeLessThan(1e-3 * peak(admitted));
    sounded(voice, 2000, () => undefined);
    expect(voice.isIdle).toBe(true);
  });

  it("are not there without play", () => {
    expect(peak(knocks(pulling, 60, 400, 0))).toBe(0);
  });

  it("are ticks of some kilohertz in an oscillating model of 12 mm bore", () => {
    const { gear } = description;
    const one = making({
      ...description,
      running: null,
      gear: {
        ...gear,
        cylinder: { ...gear.cylinder, boreM: 0.012, strokeM: 0.016, acting: "single" },
        crankAnglesRad: [0],
        valveGear: { kind: "oscillating", portDiameterM: 2e-3, portRadiusM: 8e-3, pivotDistanceM: 0.04 },
      },
    });
    const voice = new KnockVoice(one);
    const made = sounded(voice, 400, (timeS) => {
      one.record.rodForceN[0] = 10 * Math.sin(2 * Math.PI * 10 * timeS);
    });
    expect(peak(made)).toBeGreaterThan(1e-5);
    // Swings within two milliseconds.
    let crossings = 0;
    const at = made.findIndex((x) => Math.abs(x) > 0.5 * peak(made));
    for (let i = at; i < at + 96; i++) if (made[i] * made[i + 1] < 0) crossings++;
    expect(crossings / 2 / 2e-3).toBeGreaterThan(3000);
  });

  it("settled or reset, begins in silence at the force that stands", () => {
    const one = making(description);
    const voice = new KnockVoice(one);
    one.record.rodForceN.fill(-7e4);
    voice.settle();
    expect(peak(sounded(voice, 50, () => undefined))).toBe(0);
  });

  it("allocates less than half a byte per sample", () => {
    const one = making(description);
    const voice = new KnockVoice(one);
    let row = 0;
    one.record.shaftRadPerS = 6;
    const chunk = (): void => {
      for (let r = 0; r < 16; r++) {
        row++;
        one.record.rodForceN[0] = (row % 600) - 300 > 0 ? 4e4 : -4e4;
        one.record.rodForceN[1] = (row % 700) - 350 > 0 ? 4e4 : -4e4;
        voice.take(r);
      }
      voice.process();
    };
    expect(allocatedBytesPerCall(chunk, 500) / 128).toBeLessThan(0.5);
  });
});
