import { describe, expect, it } from "vitest";
import {
  butterworthBandPass,
  butterworthHighPass,
  butterworthLowPass,
  octaveBandPass,
  powerGain,
  type SectionChain,
} from "../../src/listening/band-filter.js";
import { filterZeroPhase } from "../../src/listening/zero-phase.js";

const signal = Float64Array.from(
  { length: 400 },
  (_, i) => Math.sin(0.05 * i) + 0.3 * Math.cos(1.1 * i) + 0.002 * i + 0.5,
);

describe("zero-phase Butterworth filters give the values of SciPy 1.17.1, sosfiltfilt(butter(...)), default padding", () => {
  const places = [0, 1, 57, 200, 399];
  it.each<[string, SectionChain, number[]]>([
    [
      "band-pass order 4, 300-4000 Hz at 22.05 kHz",
      butterworthBandPass(4, 300, 4000, 22050),
      [-0.000545202281883761, -0.29602511849950425, 0.17717369955156936, 0.17453125350497373, 0.006819967362841933],
    ],
    [
      "high-pass order 2, 300 Hz at 22.05 kHz",
      butterworthHighPass(2, 300, 22050),
      [-0.15707997585847877, -0.28078838128605366, 0.34010066950138607, 0.24189726257022845, -0.00589992646378254],
    ],
    [
      "low-pass order 3, 1 kHz at 8 kHz",
      butterworthLowPass(3, 1000, 8000),
      [0.8008944981794209, 0.652826228881166, 0.9273018515194107, 0.38192690201643925, 2.3715564898443025],
    ],
    [
      "octave band 125 Hz at 48 kHz",
      octaveBandPass(125, 48000),
      [0.021407232454512787, 0.022122301881742086, 0.03701852793951117, -0.008710495847663018, 7.494904849510574e-7],
    ],
    [
      "high-pass order 5, 200 Hz at 8 kHz",
      butterworthHighPass(5, 200, 8000),
      [0.00529289056539739, -0.13062152788887477, 0.3012675793174292, 0.29881989334944037, -0.04897925061708577],
    ],
    [
      "band-pass order 3 with two real poles, 100-3500 Hz at 8 kHz",
      butterworthBandPass(3, 100, 3500, 8000),
      [-0.040568237805755344, -0.17963327052386718, 0.32704937385018124, 0.26585570401356656, -0.04261084845275373],
    ],
  ])("%s", (_name, filter, expected) => {
    const output = filterZeroPhase(filter, signal);
    places.forEach((place, k) => expect(Math.abs(output[place] - expected[k])).toBeLessThan(1e-9));
    expect(output.length).toBe(400);
  });
});

describe("Butterworth gain, closed form 1 / (1 + u^2N) of the warped frequency", () => {
  const warp = (hz: number) => Math.tan((Math.PI * hz) / 48000);
  it.each([1, 2, 3, 4, 7])("low-pass and high-pass of order %i", (order) => {
    for (const hz of [30, 250, 1000, 3000, 15000]) {
      const u = warp(hz) / warp(1000);
      const low = 1 / (1 + u ** (2 * order));
      expect(powerGain(butterworthLowPass(order, 1000, 48000), 48000, hz) / low).toBeCloseTo(1, 6);
      const high = 1 / (1 + u ** (-2 * order));
      if (high > 1e-9) expect(powerGain(butterworthHighPass(order, 1000, 48000), 48000, hz) / high).toBeCloseTo(1, 3);
    }
  });

  it.each([1, 2, 3, 4, 5])("band-pass of order %i", (order) => {
    const [low, high] = [warp(500), warp(2000)];
    for (const hz of [200, 500, 1000, 1300, 2000, 6000]) {
      const u = (warp(hz) ** 2 - low * high) / (warp(hz) * (high - low));
      const gain = powerGain(butterworthBandPass(order, 500, 2000, 48000), 48000, hz);
      expect(gain * (1 + u ** (2 * order))).toBeCloseTo(1, 6);
    }
  });
});

describe("the limits of the filters", () => {
  it("refuses corners and edges it cannot place, and arrays it cannot lengthen", () => {
    expect(() => butterworthLowPass(2, 24000, 48000)).toThrow(/cornerHz must be above 0 and below half/);
    expect(() => butterworthBandPass(2, 900, 400, 48000)).toThrow(/lowHz must be below highHz/);
    expect(() => butterworthHighPass(0, 100, 48000)).toThrow(/order must be a whole number of 1 to 12/);
    expect(() => filterZeroPhase(butterworthLowPass(4, 100, 48000), new Float64Array(15))).toThrow(/more than 15 long/);
  });

  it("leaves its input alone and shifts nothing in time", () => {
    const pulse = new Float64Array(2001);
    pulse[1000] = 1;
    const output = filterZeroPhase(butterworthBandPass(4, 300, 4000, 48000), pulse);
    for (let k = 1; k < 700; k++) expect(Math.abs(output[1000 + k] - output[1000 - k])).toBeLessThan(1e-9);
    expect(pulse.reduce((a, b) => a + b)).toBe(1);
  });
});
