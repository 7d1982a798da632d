import { describe, expect, it } from "vitest";
import { BearingSlack, type BearingOil, type SlackBearing } from "../../src/engine/bearing-slack.js";

const dry: BearingOil = { reboundRatio: 0, filmS: Infinity };
const rowS = 1 / 6000;
const pin: SlackBearing = { playM: 3e-4, massKg: 250 };

interface Blow {
  readonly atS: number;
  readonly speedMPerS: number;
  readonly momentumNs: number;
  readonly bearing: number;
}

/** Blows while the force follows a law of time. */
function blowsOf(slack: BearingSlack, forceN: (timeS: number) => number, seconds: number, stepS = rowS): Blow[] {
  const blows: Blow[] = [];
  slack.reset(forceN(0));
  for (let n = 0; n < seconds / stepS; n++) {
    slack.forceN = forceN((n + 1) * stepS);
    slack.integrate();
    for (let i = 0; i < slack.impactCount; i++) {
      blows.push({
        atS: n * stepS + slack.impactS[i],
        speedMPerS: slack.impactMPerS[i],
        momentumNs: slack.impactNs[i],
        bearing: slack.impactBearing[i],
      });
    }
  }
  return blows;
}

/** A force that goes straight through zero at `atS`. */
const ramp =
  (slopeNPerS: number, atS = 0.0123) =>
  (timeS: number): number =>
    slopeNPerS * (timeS - atS);

describe("play in a bearing", () => {
  // Closed form of m x'' = R t: t = (6 m s / R)^(1/3), v = R t^2 / 2m.
  it.each([1e4, 1e5, 1e6, 1e7, 1e8])("is crossed as the closed form says, the force turning at %d N/s", (slope) => {
    const [blow] = blowsOf(new BearingSlack([pin], dry, rowS), ramp(slope), 0.3);
    const crossingS = Math.cbrt((6 * pin.massKg * pin.playM) / slope);
    expect(blow.atS - 0.0123).toBeCloseTo(crossingS, 9);
    expect(blow.speedMPerS / ((slope * crossingS ** 2) / (2 * pin.massKg))).toBeCloseTo(1, 7);
    expect(blow.momentumNs / (pin.massKg * blow.speedMPerS)).toBeCloseTo(1, 12);
  });

  it("strikes at the same time and speed however finely time is cut", () => {
    const speeds = [1 / 300, 1 / 6000, 1 / 24000, 1 / 48000].map((stepS) => {
      const [blow] = blowsOf(new BearingSlack([pin], dry, stepS), ramp(3e6), 0.1, stepS);
      return [blow.atS, blow.speedMPerS];
    });
    for (const [atS, speed] of speeds) {
      expect(Math.abs(atS - speeds[0][0])).toBeLessThan(1e-9);
      expect(speed / speeds[0][1]).toBeCloseTo(1, 7);
    }
  });

  // The same closed form: v goes with R^(1/3) and s^(2/3).
  it("knocks hard when the force turns sharply, softly when it turns slowly, harder when worn", () => {
    const speed = (slope: number, playM: number): number =>
      blowsOf(new BearingSlack([{ ...pin, playM }], dry, rowS), ramp(slope), 1)[0].speedMPerS;
    expect(speed(8e6, 3e-4) / speed(1e6, 3e-4)).toBeCloseTo(2, 6);
    expect(speed(1e6, 8e-4) / speed(1e6, 1e-4)).toBeCloseTo(4, 6);
  });

  it("is silent while the force keeps its side, however it goes, and when nothing pushes", () => {
    const slack = new BearingSlack([pin], dry, rowS);
    expect(blowsOf(slack, (t) => 5e4 + 4.9e4 * Math.sin(60 * t), 2)).toEqual([]);
    expect(slack.isHeld).toBe(true);
    expect(blowsOf(slack, () => 0, 1)).toEqual([]);
    expect(blowsOf(slack, () => -3, 1)).toEqual([]);
  });

  // Work of a force along its way goes into motion and blows. [source: energy, exact]
  it("loses in blows what the force has done, dry and with rebound", () => {
    for (const reboundRatio of [0, 0.2, 0.6]) {
      const slack = new BearingSlack([pin], { reboundRatio, filmS: Infinity }, rowS);
      // A force of 20 kN that turns within a step: its work over the play is force x play.
      const blows = blowsOf(slack, (t) => (t < 0.0101 ? -2e4 : 2e4), 0.6);
      expect(slack.isHeld).toBe(true);
      expect(slack.lostJ / (2e4 * pin.playM)).toBeCloseTo(1, 2);
      expect(blows.length > 1).toBe(reboundRatio > 0);
      for (let k = 1; k < blows.length; k++) {
        expect(blows[k].speedMPerS / blows[k - 1].speedMPerS).toBeCloseTo(reboundRatio, 2);
      }
    }
  });

  // A body pulled by a steady force through a film that takes its speed in time t comes to F t / m. [source: exact]
  it("is softened by oil: through a thick film it goes no faster than the film lets it", () => {
    const filmS = 2e-4;
    const slack = new BearingSlack([{ playM: 5e-3, massKg: 250 }], { reboundRatio: 0, filmS }, 1 / 48_000);
    const [blow] = blowsOf(slack, (t) => (t < 0.01 ? -2e4 : 2e4), 2, 1 / 48000);
    expect(blow.speedMPerS / ((2e4 * filmS) / 250)).toBeCloseTo(1, 2);
    const speedWith = (oil: BearingOil): number =>
      blowsOf(new BearingSlack([pin], oil, rowS), ramp(1e6), 1)[0].speedMPerS;
    expect(speedWith({ reboundRatio: 0, filmS: 5e-3 })).toBeLessThan(0.8 * speedWith(dry));
  });

  it("comes back without a blow when the force turns again before the play is crossed", () => {
    const slack = new BearingSlack([pin], dry, 1 / 48_000);
    // 6000 N for a millisecond moves 250 kg by some hundredths of a millimetre: it returns to its own side, softly.
    const blows = blowsOf(slack, (t) => (t > 0.01 && t < 0.011 ? 6e3 : -2e4), 0.1, 1 / 48000);
    expect(blows).toHaveLength(1);
    expect(blows[0].speedMPerS).toBeLessThan(0.05);
    expect(slack.isHeld).toBe(true);
  });
});

describe("bearings in a row", () => {
  const train: SlackBearing[] = [
    { playM: 1e-4, massKg: 175 },
    { playM: 2e-4, massKg: 75 },
  ];

  it("knock one after the other, the crosshead pin before the big end", () => {
    const blows = blowsOf(new BearingSlack(train, dry, rowS), ramp(3e6), 0.2);
    expect(blows.map(({ bearing }) => bearing)).toEqual([0, 1]);
    // First blow: the closed form for the first body alone.
    const crossingS = Math.cbrt((6 * 175 * 1e-4) / 3e6);
    expect(blows[0].speedMPerS / ((3e6 * crossingS ** 2) / 350)).toBeCloseTo(1, 7);
  });

  // Steady force after a sudden turn: v1^2 = 2 F s1 / m1, then momentum is shared, v2^2 = (v1 m1 / M)^2 + 2 F s2 / M: exact.
  it("carry the shared speed on into the next bearing", () => {
    const blows = blowsOf(
      new BearingSlack(train, dry, 1 / 192_000),
      (t) => (t < 0.0101 ? -2e4 : 2e4),
      0.1,
      1 / 192_000,
    );
    const first = Math.sqrt((2 * 2e4 * 1e-4) / 175);
    expect(blows[0].speedMPerS / first).toBeCloseTo(1, 3);
    expect(blows[1].speedMPerS / Math.sqrt(((first * 175) / 250) ** 2 + (2 * 2e4 * 2e-4) / 250)).toBeCloseTo(1, 3);
  });

  it("share momentum where one body picks up the next, and back again the other way", () => {
    const slack = new BearingSlack(train, dry, rowS);
    const blows = blowsOf(slack, (t) => 3e4 * Math.sin(2 * Math.PI * 3 * t - 1), 2);
    // Two reversals a period, two bearings each.
    expect(blows).toHaveLength(2 * 2 * 6);
    const [first] = blows;
    expect(first.momentumNs / ((first.speedMPerS * 175 * 75) / 250)).toBeCloseTo(1, 12);
    for (let k = 4; k < blows.length; k++) {
      expect(blows[k].speedMPerS / blows[k - 4].speedMPerS).toBeCloseTo(1, 6);
    }
  });

  it("refuse iron that has no play or no mass", () => {
    expect(() => new BearingSlack([{ playM: 0, massKg: 1 }], dry, rowS)).toThrow(/playM must be above 0 m, got 0/);
    expect(() => new BearingSlack([{ playM: 1, massKg: NaN }], dry, rowS)).toThrow(
      /massKg must be above 0 kg, got NaN/,
    );
    expect(() => new BearingSlack([pin], { reboundRatio: 2, filmS: 1 }, rowS)).toThrow(/between 0 and 1, got 2/);
  });
});
