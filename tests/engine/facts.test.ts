import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { locomotive, plainPipe, steamBoiler, withCylinder, withGear } from "./descriptions.js";
import { Turning, type TurningSettings } from "./turning.js";

/** One settled turn: totals, mean pressure behind each open exhaust port, and how steeply the exit flow rises at most. */
function observed(description: EngineDescription, settings: TurningSettings = {}) {
  const turning = new Turning(description, settings).settle(4);
  const { ends, motion, record, plan } = turning.engine;
  let backSum = 0;
  let backCount = 0;
  let steepest = 0;
  let most = 0;
  let fastest = 0;
  let last = record.mouthVolumeM3PerS[0];
  const account = turning.turns(1, () => {
    for (let i = 0; i < ends.count; i++) {
      if (motion.exhaustAreaM2[i] > 0.5 * motion.portAreaMaxM2[i]) {
        backSum += ends.pressurePa[i];
        backCount++;
      }
    }
    const flow = record.mouthVolumeM3PerS[0];
    steepest = Math.max(steepest, (flow - last) / plan.stepS);
    most = Math.max(most, flow);
    fastest = Math.max(fastest, record.mouthVelocityMPerS[0]);
    last = flow;
  });
  const workJ = account.workJ.reduce((sum, joule) => sum + joule, 0);
  return {
    steamKg: account.massInKg,
    outKg: account.massOutKg,
    workJ,
    meanEffectivePa: account.meanEffectivePa,
    backPa: backSum / backCount,
    /** Greatest rise of the exit flow as a share of its peak, 1/s. */
    sharpness: steepest / most,
    fastestMPerS: fastest,
    events: eventsOfTurn(turning.engine.motion, 1),
  };
}

const nozzled = (boreM: number) =>
  locomotive({ exhaust: { ...locomotive().exhaust, nozzle: { boreM, contractionM: 0.15 } } });

describe("what every driver knows [common practice]", () => {
  it("a smaller nozzle raises the back pressure, lowers the mean effective pressure and speeds the jet", () => {
    const [wide, middle, narrow] = [0.14, 0.118, 0.095].map((boreM) => observed(nozzled(boreM), { speedRpm: 120 }));
    console.log(
      "back pressure",
      [wide, middle, narrow].map(
        (o) =>
          `${(o.backPa / 1e5).toFixed(3)} bar, jet ${o.fastestMPerS.toFixed(0)} m/s, mep ${(o.meanEffectivePa[0] / 1e5).toFixed(2)}`,
      ),
    );
    expect(middle.backPa).toBeGreaterThan(1.01 * wide.backPa);
    expect(narrow.backPa).toBeGreaterThan(1.01 * middle.backPa);
    expect(middle.meanEffectivePa[0]).toBeLessThan(wide.meanEffectivePa[0]);
    expect(narrow.meanEffectivePa[0]).toBeLessThan(middle.meanEffectivePa[0]);
    expect(middle.fastestMPerS).toBeGreaterThan(wide.fastestMPerS);
    expect(narrow.fastestMPerS).toBeGreaterThan(middle.fastestMPerS);
  });

  it("a smaller nozzle makes the jet's speed rise more steeply: the beat is sharper", () => {
    const rise = (boreM: number) => {
      const turning = new Turning(nozzled(boreM), { speedRpm: 60 }).settle(4);
      const { record, plan } = turning.engine;
      let steepest = 0;
      let last = record.mouthVelocityMPerS[0];
      turning.turns(1, () => {
        steepest = Math.max(steepest, (record.mouthVelocityMPerS[0] - last) / plan.stepS);
        last = record.mouthVelocityMPerS[0];
      });
      return steepest;
    };
    const rises = [0.14, 0.118, 0.095].map(rise);
    console.log(
      "steepest rise of the jet, m/s2",
      rises.map((r) => r.toExponential(2)),
    );
    expect(rises[1]).toBeGreaterThan(rises[0]);
    expect(rises[2]).toBeGreaterThan(rises[1]);
  });

  it("later cut-off takes more steam and gives more power; notching up releases earlier and gives less", () => {
    const [early, middle, late] = [0.25, 0.5, 0.7].map((cutoffRatio) => observed(locomotive(), { cutoffRatio }));
    expect(middle.steamKg).toBeGreaterThan(1.1 * early.steamKg);
    expect(late.steamKg).toBeGreaterThan(1.1 * middle.steamKg);
    expect(middle.workJ).toBeGreaterThan(1.1 * early.workJ);
    expect(late.workJ).toBeGreaterThan(middle.workJ);
    expect(early.events[0].releaseDeg!).toBeLessThan(middle.events[0].releaseDeg! - 5);
    expect(middle.events[0].releaseDeg!).toBeLessThan(late.events[0].releaseDeg! - 3);
    // Expansion pays: less steam to the joule notched up.
    expect(early.steamKg / early.workJ).toBeLessThan(late.steamKg / late.workJ);
  });

  it("superheat does the same work with less steam", () => {
    const wet = observed(locomotive());
    const hot = observed(locomotive({ boiler: steamBoiler(locomotive().boiler.pressurePa, 100) }));
    console.log(
      `superheat of 100 K: steam to the joule ${(hot.steamKg / hot.workJ / (wet.steamKg / wet.workJ)).toFixed(3)} of the saturated`,
    );
    expect(hot.steamKg / hot.workJ).toBeLessThan(0.9 * (wet.steamKg / wet.workJ));
  });

  it("a closed regulator drifting makes a vacuum and costs work; a half-open one gives less than a full one", () => {
    const shut = observed(locomotive(), { regulatorRatio: 0, speedRpm: 120 });
    const half = observed(locomotive(), { regulatorRatio: 0.1, speedRpm: 120 });
    const full = observed(locomotive(), { regulatorRatio: 1, speedRpm: 120 });
    expect(shut.workJ).toBeLessThan(0);
    expect(half.workJ).toBeGreaterThan(0);
    expect(half.workJ).toBeLessThan(full.workJ);
  });

  it("single acting passes about half of what double acting does", () => {
    const pipe = plainPipe(0.8, 0.2);
    const bare = { idealised: true, exhaust: pipe, speedRpm: 40 };
    // A very long rod makes the two ends alike.
    const iron = { pistonRodM: 0, connectingRodM: 1000 };
    const double = observed(withCylinder(withGear(locomotive(bare), { crankAnglesRad: [0] }), iron));
    const single = observed(
      withCylinder(withGear(locomotive(bare), { crankAnglesRad: [0] }), { ...iron, acting: "single" }),
    );
    console.log(`single to double acting: flow ${(single.outKg / double.outKg).toFixed(4)}`);
    expect(Math.abs(single.outKg / double.outKg - 0.5)).toBeLessThan(0.02);
  });

  it("hard worked, the nozzle chokes: the jet reaches the speed of sound and goes no faster", () => {
    const turning = new Turning(locomotive({ boiler: steamBoiler(17e5, 60) }), { speedRpm: 120 }).settle(4);
    const { network } = turning.engine;
    let greatest = 0;
    let highestPa = 0;
    turning.turns(1, () => {
      const mouth = network.mouths[0];
      const { isentropicExponent: k, gasConstantJPerKgK: r } = network["gas"].gas;
      const temperatureK = mouth.pressurePa / (mouth.densityKgPerM3 * r);
      greatest = Math.max(greatest, mouth.velocityMPerS / Math.sqrt(k * r * temperatureK));
      if (mouth.velocityMPerS > 0) highestPa = Math.max(highestPa, mouth.pressurePa);
    });
    console.log(
      `greatest Mach number in the nozzle ${greatest.toFixed(3)}, pressure there up to ${(highestPa / 1e5).toFixed(2)} bar`,
    );
    expect(greatest).toBeGreaterThan(0.97);
    expect(greatest).toBeLessThan(1.06);
    expect(highestPa).toBeGreaterThan(1.1 * 101_325);
  });
});
