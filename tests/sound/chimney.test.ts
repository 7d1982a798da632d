import { describe, expect, it } from "vitest";
import { helmholtzResonanceHz, wallLossNpPerM } from "../../src/sound/acoustics.js";
import type { ChimneyShape } from "../../src/sound/chimney.js";
import { Chimney } from "../../src/sound/chimney.js";
import { levineSchwingerCorrectionRatio } from "./levine-schwinger.js";
import { cents, gainDbAt, impulseResponse, ringingHz, rms } from "./signal-measures.js";

const RATES = [44100, 48000, 96000];
const SMOOTH_AND_LOSSLESS = { wallLossRatio: 0 };

function ringing(
  shape: ChimneyShape,
  soundSpeed: number,
  rate: number,
  seconds: number,
  density = 1.2041,
): Float64Array {
  const chimney = new Chimney(rate, shape);
  chimney.setGas(density, soundSpeed);
  chimney.reset();
  return impulseResponse((a, b, n) => chimney.process(a, b, n), Math.round(seconds * rate));
}

describe("chimney pitch", () => {
  // Worked out from Levine & Schwinger's own integral for the end correction (Phys. Rev. 73 (1948)). A smokebox of 1
  // mm3 stops the foot.
  const rows = [
    { lengthM: 1, boreM: 0.05, soundSpeed: 343.2, stopped: true, expected: [84.51, 253.53, 422.59] },
    { lengthM: 1, boreM: 0.05, soundSpeed: 343.2, stopped: false, expected: [166.51, 333.06, 499.69] },
    { lengthM: 0.5, boreM: 0.1, soundSpeed: 343.2, stopped: true, expected: [161.75, 486.25, 812.8] },
    { lengthM: 1, boreM: 0.15, soundSpeed: 475, stopped: true, expected: [113.55, 340.99, 569.19] },
  ];
  for (const rate of RATES) {
    it(`is that of the published pipes within 5 cents, air and steam, at ${rate} Hz`, () => {
      for (const row of rows) {
        const shape = {
          ...SMOOTH_AND_LOSSLESS,
          smokeboxVolumeM3: row.stopped ? 1e-9 : 1000,
          lengthM: row.lengthM,
          boreM: row.boreM,
          footEndCorrectionRatio: row.stopped ? 0 : 0.6133,
        };
        const signal = ringing(shape, row.soundSpeed, rate, 1);
        for (const hz of row.expected) {
          expect(Math.abs(cents(ringingHz(signal, hz, rate, 0.12), hz))).toBeLessThan(5);
        }
      }
    });
  }

  it.each(RATES)("is flattened by the wall as Kirchhoff's loss says, within 5 cents, at %d Hz", (rate) => {
    const gas = {
      densityKgPerM3: 1.2041,
      soundSpeedMPerS: 343.2,
      viscosityPaS: 1.8144e-5,
      isentropicExponentRatio: 1.4019,
      prandtlRatio: 0.8422 ** 2,
    };
    const radiusM = 0.0125;
    const shape = { smokeboxVolumeM3: 1e-9, lengthM: 1, boreM: 2 * radiusM, footEndCorrectionRatio: 0 };
    const signal = ringing(shape, 343.2, rate, 1);
    [1, 3, 5].forEach((quarters) => {
      // (w / c + alpha) L + (w / c) l = quarters pi / 2
      let hz = (quarters * 343.2) / 4;
      for (let round = 0; round < 30; round++) {
        const k = (2 * Math.PI * hz) / 343.2;
        const correction = levineSchwingerCorrectionRatio(k * radiusM) * radiusM;
        const turned = (quarters * Math.PI) / 2 - wallLossNpPerM(hz, radiusM, gas);
        hz = (343.2 * turned) / (2 * Math.PI * (1 + correction));
      }
      expect(Math.abs(cents(ringingHz(signal, hz, rate, 0.12), hz))).toBeLessThan(5);
    });
  });

  it("rises with the sound speed: steam against air, in the ratio of the sound speeds", () => {
    const shape = {
      ...SMOOTH_AND_LOSSLESS,
      smokeboxVolumeM3: 1e-9,
      lengthM: 1,
      boreM: 0.05,
      footEndCorrectionRatio: 0,
    };
    const air = ringingHz(ringing(shape, 343.2, 48000, 1), 84.51, 48000, 0.12);
    const steam = ringingHz(ringing(shape, 475, 48000, 1), (84.51 * 475) / 343.2, 48000, 0.12);
    expect(Math.abs(cents(steam / air, 475 / 343.2))).toBeLessThan(1);
  });

  it.each(RATES)("together with its smokebox is Helmholtz's within a hundredth at low frequency, at %d Hz", (rate) => {
    // Rayleigh's formula (The Theory of Sound, 303 on, from memory): V = 1 L, r = 10 mm, L = 50 mm, both end
    // corrections: 120.69 Hz.
    expect(helmholtzResonanceHz(1e-3, Math.PI * 1e-4, 0.05 + 1.4349 * 0.01, 343.2)).toBeCloseTo(120.69, 1);
    const flask = { ...SMOOTH_AND_LOSSLESS, smokeboxVolumeM3: 1e-3, lengthM: 0.05, boreM: 0.02 };
    expect(ringingHz(ringing(flask, 343.2, rate, 2), 120.69, rate, 0.4) / 120.69).toBeCloseTo(1, 2);
    const smokebox = { ...SMOOTH_AND_LOSSLESS, smokeboxVolumeM3: 10, lengthM: 0.5, boreM: 0.2 };
    const hz = helmholtzResonanceHz(10, Math.PI * 0.01, 0.5 + 1.4349 * 0.1, 470);
    expect(ringingHz(ringing(smokebox, 470, rate, 6), hz, rate, 2) / hz).toBeCloseTo(1, 2);
  });

  it("of a chimney too short for a waveguide is Helmholtz's too", () => {
    const shape = { ...SMOOTH_AND_LOSSLESS, smokeboxVolumeM3: 1e-3, lengthM: 0.01, boreM: 0.012 };
    const chimney = new Chimney(44100, shape);
    expect(chimney.isLumped).toBe(true);
    const hz = helmholtzResonanceHz(1e-3, Math.PI * 0.006 ** 2, 0.01 + 1.4349 * 0.006, 343.2);
    expect(ringingHz(ringing(shape, 343.2, 44100, 1), hz, 44100, 0.3) / hz).toBeCloseTo(1, 2);
  });
});

/**
 * Flow out of the mouth over flow into the smokebox, dB, in closed form: vessel V/(S c), pipe exp(-jkL), mouth R = -(1 + n1 s)/
 * (1 + d1 s + d2 s^2) (Silva et al. 2009) with the flow loss m in series. H = e (1 - R) / ((1 - R e^2) + j w V/(S c) (1 + R e^2)).
 */
function closedFormDb(shape: ChimneyShape, soundSpeed: number, flowLoss: number, hz: number): number {
  const radius = shape.boreM / 2;
  const w = 2 * Math.PI * hz;
  const ka = (w * radius) / soundSpeed;
  const below = complex(1 - 0.457 * ka * ka, 1.393 * ka);
  const plain = over(complex(-1, -0.167 * ka), below);
  const load = plus(over(plus(one, plain), minus(one, plain)), complex(flowLoss, 0));
  const reflected = over(minus(load, one), plus(load, one));
  const kL = (w / soundSpeed) * (shape.lengthM + 0.8216 * radius);
  const returned = times(reflected, complex(Math.cos(2 * kL), -Math.sin(2 * kL)));
  const filling = complex(0, (w * shape.smokeboxVolumeM3) / (Math.PI * radius * radius * soundSpeed));
  const ratio = over(minus(one, reflected), plus(minus(one, returned), times(filling, plus(one, returned))));
  return 20 * Math.log10(Math.hypot(ratio.re, ratio.im));
}

interface Complex {
  readonly re: number;
  readonly im: number;
}
const complex = (re: number, im: number): Complex => ({ re, im });
const one = complex(1, 0);
const plus = (a: Complex, b: Complex): Complex => complex(a.re + b.re, a.im + b.im);
const minus = (a: Complex, b: Complex): Complex => complex(a.re - b.re, a.im - b.im);
const times = (a: Complex, b: Complex): Complex => complex(a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re);
function over(a: Complex, b: Complex): Complex {
  const size = b.re * b.re + b.im * b.im;
  return complex((a.re * b.re + a.im * b.im) / size, (a.im * b.re - a.re * b.im) / size);
}

describe("chimney response", () => {
  const largestErrorDb = (shape: ChimneyShape, rate: number, fromHz: number, toHz: number): number => {
    const flowLoss = 0.1;
    const chimney = new Chimney(rate, { ...shape, ...SMOOTH_AND_LOSSLESS });
    chimney.setGas(0.6, 470);
    chimney.setFlowLossRatio(flowLoss);
    chimney.reset();
    const h = impulseResponse((a, b, n) => chimney.process(a, b, n), 4 * rate);
    let worst = 0;
    for (let hz = fromHz; hz <= toHz; hz *= 1.13) {
      worst = Math.max(worst, Math.abs(gainDbAt(h, hz, rate) - closedFormDb(shape, 470, flowLoss, hz)));
    }
    return worst;
  };

  it.each(RATES)("of a locomotive and of a 40 mm model is the closed form's, 5 Hz to 2 kHz, at %d Hz", (rate) => {
    const locomotive = { smokeboxVolumeM3: 3, lengthM: 1.2, boreM: 0.4 };
    const model = { smokeboxVolumeM3: 1e-3, lengthM: 0.04, boreM: 0.012 };
    expect(largestErrorDb(locomotive, rate, 5, 500)).toBeLessThan(0.01);
    expect(largestErrorDb(locomotive, rate, 500, 2000)).toBeLessThan(0.1);
    expect(largestErrorDb(model, rate, 20, 2000)).toBeLessThan(0.1);
  });

  it("of a lump is the waveguide's closed form where it is short against the wave", () => {
    expect(largestErrorDb({ smokeboxVolumeM3: 1e-4, lengthM: 0.005, boreM: 0.01 }, 48000, 20, 1500)).toBeLessThan(0.2);
  });
});

describe("chimney flow", () => {
  const shapes: ChimneyShape[] = [
    { smokeboxVolumeM3: 3, lengthM: 1.2, boreM: 0.4 },
    { smokeboxVolumeM3: 1e-3, lengthM: 0.04, boreM: 0.012 },
    { smokeboxVolumeM3: 1e-3, lengthM: 0.2, boreM: 0.6 },
    { smokeboxVolumeM3: 10, lengthM: 10, boreM: 0.05 },
    { smokeboxVolumeM3: 1e-3, lengthM: 10, boreM: 0.6 },
    { smokeboxVolumeM3: 10, lengthM: 6, boreM: 0.6 },
    { smokeboxVolumeM3: 1e-3, lengthM: 0.01, boreM: 0.012 },
  ];

  it("passes a steady flow unchanged, from the first sample after a reset to it", () => {
    for (const shape of shapes) {
      const chimney = new Chimney(48000, shape);
      for (const lossRatio of [0, 0.1]) {
        chimney.setGas(0.6, 480);
        chimney.setFlowLossRatio(lossRatio);
        chimney.reset(0.7);
        const block = new Float64Array(48000).fill(0.7);
        chimney.process(block, block, block.length);
        for (let i = 0; i < block.length; i += 101) expect(Math.abs(block[i] / 0.7 - 1)).toBeLessThan(1e-10);
      }
    }
  });

  it("lets out all that comes in: gain 1 at 0 Hz", () => {
    // The flow loss lets the slow swing die within the test; 10 m3 behind a 50 mm pipe would take minutes.
    for (const shape of shapes.filter((one) => one.smokeboxVolumeM3 < 10 || one.boreM > 0.1)) {
      const chimney = new Chimney(48000, shape);
      chimney.setFlowLossRatio(1);
      chimney.reset();
      const h = impulseResponse((a, b, n) => chimney.process(a, b, n), 48000 * 8);
      let sum = 0;
      for (const q of h) sum += q;
      expect(Math.abs(sum - 1)).toBeLessThan(1e-9);
    }
  });

  it("keeps a steady flow steady while its gas changes", () => {
    const chimney = new Chimney(48000, shapes[0]);
    chimney.setGas(0.6, 480);
    chimney.reset(0.7);
    const block = new Float64Array(128);
    for (let n = 0; n < 400; n++) {
      chimney.setGas(0.6 + n * 0.001, 480 - n * 0.3);
      block.fill(0.7);
      chimney.process(block, block, 128);
      for (const q of block) expect(Math.abs(q / 0.7 - 1)).toBeLessThan(1e-9);
    }
  });

  it("stays finite and dies away at every size, with and without losses", () => {
    for (const rate of RATES) {
      for (const shape of shapes) {
        for (const wallLossRatio of [0, 1]) {
          const chimney = new Chimney(rate, { ...shape, wallLossRatio });
          chimney.setGas(0.6, 480);
          chimney.reset();
          const noise = Float64Array.from({ length: rate }, (_, i) => Math.sin(i * i * 0.37) * 1e3);
          chimney.process(noise, noise, rate);
          const later: number[] = [];
          for (let second = 0; second < 3; second++) {
            noise.fill(0);
            chimney.process(noise, noise, rate);
            later.push(rms(noise));
          }
          expect(later.every(Number.isFinite)).toBe(true);
          expect(later[2]).toBeLessThanOrEqual(later[0]);
        }
      }
    }
  });

  it("has a 6 m stack of 0.6 m bore sound its quarter-wave notes", () => {
    const shape = { smokeboxVolumeM3: 1e-3, lengthM: 6, boreM: 0.6, footEndCorrectionRatio: 0 };
    const h = ringing(shape, 480, 48000, 4, 0.6);
    const hz = 480 / (4 * (6 + 0.61 * 0.3));
    expect(gainDbAt(h, hz, 48000)).toBeGreaterThan(gainDbAt(h, 2 * hz, 48000) + 15);
    expect(gainDbAt(h, 3 * hz, 48000)).toBeGreaterThan(gainDbAt(h, 2 * hz, 48000) + 10);
  });

  it("damps the slow swing when the mean flow loses head", () => {
    const swing = (lossRatio: number): number => {
      const chimney = new Chimney(48000, { smokeboxVolumeM3: 3, lengthM: 1.2, boreM: 0.4 });
      chimney.setGas(0.6, 470);
      chimney.setFlowLossRatio(lossRatio);
      chimney.reset();
      return rms(
        impulseResponse((a, b, n) => chimney.process(a, b, n), 96000),
        48000,
      );
    };
    expect(swing(0.1)).toBeLessThan(swing(0) / 10);
  });

  it("names the range of a gas that is out of it", () => {
    const chimney = new Chimney(48000, shapes[0]);
    expect(() => chimney.setGas(0.6, 4700)).toThrow(
      /Chimney: soundSpeedMPerS must be between 150 m\/s and 700 m\/s, got 4700/,
    );
    expect(() => new Chimney(48000, { ...shapes[0], boreM: 400 })).toThrow(
      /boreM must be between 0.001 m and 5 m, got 400/,
    );
  });
});
