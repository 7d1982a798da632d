import { describe, expect, it } from "vitest";
import { locomotive, plainPipe, withGear } from "./descriptions.js";
import { Turning } from "./turning.js";

/** Volume and mass flow of every mouth over one settled turn. */
function mouthFlows(turning: Turning) {
  const { record } = turning.engine;
  const volume = Array.from(record.mouthVolumeM3PerS, () => [] as number[]);
  const mass = volume.map(() => [] as number[]);
  const account = turning.settle(4).turns(1, () => {
    volume.forEach((flow, m) => flow.push(record.mouthVolumeM3PerS[m]));
    mass.forEach((flow, m) => flow.push(record.mouthMassKgPerS[m]));
  });
  return { volume, mass, account };
}

describe("every passage with a mouth of its own", () => {
  // The chest of an idealised engine is a reservoir, so its cylinders have nothing in common.
  const open = locomotive({ idealised: true, exhaust: plainPipe(1.4, 0.15), speedRpm: 100 });
  const compressed: typeof open = {
    ...open,
    workingFluid: "air",
    boiler: { pressurePa: 6e5, temperatureK: 288.15, superheatK: 0 },
  };

  // Steam that comes back through a port brings the mean latent share of all pipes, which two engines do not share.
  it.each([
    ["air", compressed, 1e-5],
    ["steam", open, 2e-3],
  ])("sounds on %s as two engines of one cylinder each, and their flows add up", (name, open, limit) => {
    const both = mouthFlows(new Turning(open));
    expect(both.volume).toHaveLength(2);
    let worst = 0;
    let separateKg = 0;
    open.gear.crankAnglesRad.forEach((crankRad, k) => {
      const alone = mouthFlows(new Turning(withGear(open, { crankAnglesRad: [crankRad] })));
      expect(alone.volume).toHaveLength(1);
      const peak = Math.max(...alone.volume[0]);
      alone.volume[0].forEach((q, i) => (worst = Math.max(worst, Math.abs(q - both.volume[k][i]) / peak)));
      separateKg += alone.account.massOutKg;
    });
    console.log(`${name}, two mouths against two engines: ${worst.toExponential(1)} of the peak`);
    expect(worst).toBeLessThan(limit);
    expect(Math.abs(separateKg / both.account.massOutKg - 1)).toBeLessThan(limit);
    const tickS = both.account.seconds / both.mass[0].length;
    const summedKg = both.mass.flat().reduce((sum, flow) => sum + flow, 0) * tickS;
    expect(Math.abs(summedKg / both.account.massOutKg - 1)).toBeLessThan(1e-12);
    expect(both.account.massResidualRatio).toBeLessThan(1e-9);
    expect(both.account.energyResidualRatio).toBeLessThan(1e-9);
  });

  it("shares what the cylinders share: real ones draw on one chest", () => {
    const real = { ...open, idealised: false };
    const both = mouthFlows(new Turning(real));
    const alone = mouthFlows(new Turning(withGear(real, { crankAnglesRad: [0] })));
    const peak = Math.max(...alone.volume[0]);
    const worst = Math.max(...alone.volume[0].map((q, i) => Math.abs(q - both.volume[0][i]))) / peak;
    expect(worst).toBeGreaterThan(1e-3);
    expect(both.account.massResidualRatio).toBeLessThan(1e-9);
  });
});
