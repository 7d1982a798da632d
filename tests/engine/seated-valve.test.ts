import { describe, expect, it } from "vitest";
import { SeatedValve, type SeatedValveDescription } from "../../src/engine/seated-valve.js";

const slide: SeatedValveDescription = {
  massKg: 25,
  areaM2: 0.03,
  holdN: 245,
  springNPerM: 0,
  stopM: 4e-3,
  relievedM: 3e-3,
  fillS: 2e-3,
  reboundRatio: 0.5,
};
const snifter: SeatedValveDescription = {
  massKg: 0.3,
  areaM2: 2e-3,
  holdN: 3,
  springNPerM: 200,
  stopM: 0.012,
  relievedM: 0.01,
  fillS: 3e-3,
  reboundRatio: 0.5,
};
const stepS = 1 / 6000;

interface Blow {
  readonly atS: number;
  readonly speedMPerS: number;
  readonly onSeat: boolean;
}

function blowsOf(valve: SeatedValve, pushPa: (timeS: number) => number, seconds: number): Blow[] {
  const blows: Blow[] = [];
  valve.reset();
  for (let n = 0; n < seconds / stepS; n++) {
    valve.pushPa = pushPa((n + 1) * stepS);
    valve.integrate();
    for (let i = 0; i < valve.impactCount; i++) {
      blows.push({
        atS: n * stepS + valve.impactS[i],
        speedMPerS: valve.impactMPerS[i],
        onSeat: valve.impactOnSeat[i] === 1,
      });
    }
  }
  return blows;
}

describe("a valve on its seat", () => {
  it("keeps still until the push passes what holds it", () => {
    const valve = new SeatedValve(slide, stepS);
    const lifts = slide.holdN / slide.areaM2;
    expect(blowsOf(valve, () => 0.99 * lifts, 1)).toEqual([]);
    expect(valve.isSeated).toBe(true);
    expect(blowsOf(valve, () => -5e5, 1)).toEqual([]);
    expect(blowsOf(valve, (t) => (t < 0.2 ? 3 * lifts : 0), 0.5).length).toBeGreaterThan(1);
    expect(valve.isSeated).toBe(true);
  });

  // A ball that falls: time between bounces 2 v / g, each bounce slower by the rebound. [source: exact]
  it("falls and bounces as a loose weight does: each flight and blow shorter by the rebound", () => {
    // Nothing to slow the fall below the valve: the room empties at once.
    const valve = new SeatedValve({ ...slide, fillS: 1e-6, relievedM: 1, reboundRatio: 0.6 }, stepS);
    const blows = blowsOf(valve, (t) => (t < 0.05 ? 2e4 : 0), 1).filter(({ atS, onSeat }) => onSeat && atS > 0.05);
    expect(blows.length).toBeGreaterThan(4);
    const fallMPerS2 = slide.holdN / slide.massKg;
    // Steps of 21 us against flights of many ms.
    for (let k = 1; k < 4; k++) {
      expect(blows[k].speedMPerS / blows[k - 1].speedMPerS).toBeCloseTo(0.6, 2);
      const flightS = (2 * 0.6 * blows[k - 1].speedMPerS) / fallMPerS2;
      expect((blows[k].atS - blows[k - 1].atS) / flightS).toBeCloseTo(1, 1);
    }
    expect(blows[0].speedMPerS).toBeGreaterThan(0.1);
  });

  it("strikes harder the harder it has been pushed, and clatters in time with the pushes", () => {
    const once = (peakPa: number): Blow[] =>
      blowsOf(new SeatedValve(slide, stepS), (t) => peakPa * Math.sin(2 * Math.PI * 2 * t), 3);
    const hardest = (blows: Blow[]): number => Math.max(...blows.map(({ speedMPerS }) => speedMPerS));
    expect(hardest(once(6e4))).toBeGreaterThan(1.3 * hardest(once(2e4)));
    // The same every half second, bounce for bounce: it comes to rest between.
    const blows = once(4e4);
    const inTurn = (k: number): Blow[] => blows.filter(({ atS }) => Math.floor(atS * 2) === k);
    expect(inTurn(1).length).toBeGreaterThan(2);
    expect(inTurn(4).length).toBe(inTurn(1).length);
    inTurn(4).forEach(({ atS, speedMPerS }, i) => {
      expect(atS - 1.5).toBeCloseTo(inTurn(1)[i].atS, 6);
      expect(speedMPerS).toBeCloseTo(inTurn(1)[i].speedMPerS, 6);
    });
  });

  // Common practice: a snifting valve rattles while the engine sucks gently, and stands open when it sucks hard.
  it("rattles in a gentle stream, again and again, for as long as it blows", () => {
    const blows = blowsOf(new SeatedValve(snifter, stepS), () => 2500, 4);
    const late = blows.filter(({ atS }) => atS > 2);
    expect(late.length).toBeGreaterThan(10);
    expect(late.length).toBeLessThan(400);
    expect(Math.max(...late.map(({ speedMPerS }) => speedMPerS))).toBeLessThan(2);
  });

  it("refuses what is no valve", () => {
    expect(() => new SeatedValve({ ...slide, massKg: 0 }, stepS)).toThrow(/massKg must be above 0 kg, got 0/);
    expect(() => new SeatedValve({ ...slide, reboundRatio: 1 }, stepS)).toThrow(/from 0 to below 1, got 1/);
  });
});
