import { describe, expect, it } from "vitest";
import { DelayLine } from "../../src/sound/delay-line.js";
import { ScatteringJunction } from "../../src/sound/scattering-junction.js";
import { gainDbAt } from "./signal-measures.js";

/** Waves that leave a meeting of pipes of these areas when 1 arrives in the first. */
function scatter(areas: number[], arriving = areas.map((_, i): number => (i === 0 ? 1 : 0))): number[] {
  const junction = new ScatteringJunction(areas.length);
  areas.forEach((area, i) => junction.setAdmittance(i, area));
  const waves = Float64Array.from(arriving);
  junction.process(waves, waves, 1);
  return Array.from(waves);
}

describe("scattering junction", () => {
  // Area step, pressure waves: R = (S1 - S2)/(S1 + S2), transmitted 1 + R, power share [source: Munjal, Acoustics of
  // Ducts and Mufflers (1987), from memory].
  it.each([
    [0.25, 0.6, 0.64],
    [0.5, 1 / 3, 8 / 9],
    [2, -1 / 3, 8 / 9],
    [4, -0.6, 0.64],
    [10, -9 / 11, 40 / 121],
  ])("a step of area by %f reflects %f and passes a share of %f of the power", (ratio, reflected, power) => {
    const [back, on] = scatter([1, ratio]);
    expect(Math.abs(back - reflected)).toBeLessThan(1e-12);
    expect(Math.abs(on - 1 - reflected)).toBeLessThan(1e-12);
    expect(Math.abs(ratio * on * on - power)).toBeLessThan(1e-12);
  });

  it("of three equal pipes reflects -1/3 and sends 2/3 on", () => {
    const [back, first, second] = scatter([0.3, 0.3, 0.3]);
    expect(Math.abs(back + 1 / 3)).toBeLessThan(1e-12);
    expect(Math.abs(first - 2 / 3)).toBeLessThan(1e-12);
    expect(Math.abs(second - 2 / 3)).toBeLessThan(1e-12);
  });

  it("neither makes nor loses energy: sum of S (p+^2 - p-^2) = 0 to 1e-12", () => {
    for (let trial = 1; trial <= 50; trial++) {
      const areas = Array.from({ length: 2 + (trial % 5) }, (_, i) => 0.01 + Math.abs(Math.sin(trial * (i + 1.3))));
      const waves = areas.map((_, i) => Math.cos(trial * 7 + i * i));
      const left = scatter(areas, waves);
      const arrived = areas.reduce((sum, area, i) => sum + area * waves[i] ** 2, 0);
      const leaving = areas.reduce((sum, area, i) => sum + area * left[i] ** 2, 0);
      expect(Math.abs(leaving / arrived - 1)).toBeLessThan(1e-12);
      // One pressure, and flows that sum to nothing.
      areas.forEach((_, i) => expect(Math.abs(waves[i] + left[i] - waves[0] - left[0])).toBeLessThan(1e-12));
      expect(Math.abs(areas.reduce((sum, area, i) => sum + area * (waves[i] - left[i]), 0))).toBeLessThan(1e-12);
    }
  });

  it("refuses a meeting of no pipes", () => {
    expect(() => new ScatteringJunction(0)).toThrow(/whole number from 1 to 64, got 0/);
  });
});

/** Waves arriving and leaving, one pipe of this many samples between two places; both ends are stepped a sample at a time. */
class Pipe {
  private readonly there = new DelayLine(4096);
  private readonly back = new DelayLine(4096);
  readonly atNear = new Float64Array(1);
  readonly atFar = new Float64Array(1);

  constructor(samples: number) {
    for (const line of [this.there, this.back]) {
      line.setDelaySamples(samples);
      line.reset();
    }
  }

  read(): void {
    this.there.read(this.atFar, 0, 1);
    this.back.read(this.atNear, 0, 1);
  }

  write(fromNear: number, fromFar: number): void {
    this.there.write(Float64Array.of(fromNear), 0, 1);
    this.back.write(Float64Array.of(fromFar), 0, 1);
  }
}

describe("silencer elements made of delay lines and junctions", () => {
  // Munjal, Acoustics of Ducts and Mufflers (1987), from memory: m = area ratio, kL = wave number times length.
  it.each([
    [4, 0.25, 4.406],
    [4, 0.5, 6.547],
    [9, 0.25, 10.365],
    [9, 0.5, 13.171],
    [16, 0.5, 18.096],
    [4, 1, 0],
    [16, 2, 0],
  ])("an expansion chamber of %d times the area, kL = %f pi, loses %f dB", (ratio, kLOverPi, expected) => {
    const samples = 64;
    const chamber = new Pipe(samples);
    const inlet = new ScatteringJunction(2);
    const outlet = new ScatteringJunction(2);
    inlet.setAdmittance(1, ratio);
    outlet.setAdmittance(0, ratio);
    const passed = new Float64Array(1 << 14);
    const near = new Float64Array(2);
    const far = new Float64Array(2);
    for (let i = 0; i < passed.length; i++) {
      chamber.read();
      near[0] = i === 0 ? 1 : 0;
      near[1] = chamber.atNear[0];
      far[0] = chamber.atFar[0];
      far[1] = 0; // nothing comes back from beyond
      inlet.process(near, near, 1);
      outlet.process(far, far, 1);
      chamber.write(near[1], far[0]);
      passed[i] = far[1];
    }
    // kL = w L: f = kL rate / (2 pi samples).
    expect(Math.abs(-gainDbAt(passed, (kLOverPi * 48000) / (2 * samples), 48000) - expected)).toBeLessThan(0.01);
  });

  it.each([
    [0.25, 0.182],
    [0.5, 0.969],
    [0.9, 10.4],
  ])("a closed side branch of equal area at %f of its quarter-wave frequency loses %f dB", (ratio, expected) => {
    const { passed, quarterWaveHz } = sideBranch();
    expect(Math.abs(-gainDbAt(passed, ratio * quarterWaveHz, 48000) - expected)).toBeLessThan(0.01);
  });

  it("a closed side branch passes nothing at its quarter-wave frequency", () => {
    const { passed, quarterWaveHz } = sideBranch();
    expect(gainDbAt(passed, quarterWaveHz, 48000)).toBeLessThan(-150);
  });
});

function sideBranch(): { passed: Float64Array; quarterWaveHz: number } {
  const samples = 50;
  const branch = new Pipe(samples);
  const junction = new ScatteringJunction(3);
  const passed = new Float64Array(1 << 14);
  const waves = new Float64Array(3);
  for (let i = 0; i < passed.length; i++) {
    branch.read();
    waves[0] = i === 0 ? 1 : 0;
    waves[1] = 0;
    waves[2] = branch.atNear[0];
    junction.process(waves, waves, 1);
    branch.write(waves[2], branch.atFar[0]); // shut far end: all comes back
    passed[i] = waves[1];
  }
  return { passed, quarterWaveHz: 48000 / (4 * samples) };
}
