import { describe, expect, it } from "vitest";
import { AbsorptionTable, airAbsorptionDbPerM } from "../../src/sound/air-absorption.js";
import { GRASS, groundFilter, groundImpedanceRatio, sphericalReflection } from "../../src/sound/ground-reflection.js";
import { type OpenAir, type PathSettings, SoundPath } from "../../src/sound/propagation.js";
import { gainDbAt, phaseDelayAt, rms } from "./signal-measures.js";

const RATE = 48000;
const C = 343.2;
const ROW = 64;
const dryAir: OpenAir = { soundSpeedMPerS: C, absorption: null, ground: null };
const hard: OpenAir = { ...dryAir, ground: { kind: "hard", reflectionRatio: 1 } };
const settings: PathSettings = {
  sampleRateHz: RATE,
  rowSamples: ROW,
  farthestM: 400,
  givenAtM: 1,
  pickUp: Float64Array.of(1, 0, 0, 0),
};

/** Impulse response over a horizontal distance, source and ear at their heights. */
function impulse(air: OpenAir, horizontalM: number, sourceM = 1.5, earM = 1.5, length = 8192): Float64Array {
  const path = new SoundPath(air, settings, sourceM, earM, horizontalM);
  path.place.set([0, horizontalM, sourceM - earM, 0]);
  path.reset();
  const input = new Float64Array(length);
  input[0] = 1;
  const output = new Float64Array(length);
  path.process(input, 0, [output], 0, length);
  return output;
}

describe("sound on its way", () => {
  it("loses 6.0206 dB for each doubling of the distance", () => {
    // Spherical spreading. [source: ISO 9613-2:1996, 7.1]
    const levels = [1, 2, 4, 8, 16, 32].map((m) => gainDbAt(impulse(dryAir, m), 400, RATE));
    expect(levels[0]).toBeCloseTo(0, 3);
    for (let k = 1; k < levels.length; k++) expect(levels[k - 1]! - levels[k]!).toBeCloseTo(6.0206, 3);
  });

  it.each([0.5, 1, 7.5, 33.333, 100])("takes r/c over %f m, to 0.0025 of a sample", (m) => {
    const travel = (m / C) * RATE;
    expect(Math.abs(phaseDelayAt(impulse(dryAir, m, 1.5, 1.5, 32768), 500, RATE, travel) - travel)).toBeLessThan(
      2.5e-3,
    );
  });

  // Rigid ground as an image source, at c = 343.2 m/s: nulls where the paths differ by odd half waves, and the sum of 1/r1 and
  // 1/r2 at low frequencies. [textbook; closed form]
  it.each([
    [4, 1.5, 10, [155.3, 465.9, 776.5], 5.59, -20.28],
    [4, 1.5, 30, [433.3, 1300.0, 2166.6], 5.964, -37.7],
    [2, 1.5, 10, [294.7, 884.1, 1473.4], 5.779, -25.2],
  ] as const)(
    "source at %f m, ear at %f m, %f m apart: the ground's comb",
    (sourceM, earM, d, nulls, lowDb, depthDb) => {
      const air = { ...hard, soundSpeedMPerS: 343.2 };
      const direct = impulse(dryAir, d, sourceM, earM);
      const both = impulse(air, d, sourceM, earM);
      const level = (hz: number) => gainDbAt(both, hz, RATE) - gainDbAt(direct, hz, RATE);
      expect(level(1)).toBeCloseTo(lowDb, 2);
      for (const hz of nulls) {
        let deepest: number = hz;
        for (let f = hz - 3; f <= hz + 3; f += 0.05) if (level(f) < level(deepest)) deepest = f;
        expect(Math.abs(deepest - hz)).toBeLessThan(0.11);
        expect(Math.abs(level(deepest) - depthDb)).toBeLessThan(0.3);
      }
      const [r1, r2] = [Math.hypot(d, sourceM - earM), Math.hypot(d, sourceM + earM)];
      for (let hz = 50; hz < 8000; hz += 97) {
        const phase = (2 * Math.PI * hz * (r2 - r1)) / C;
        const closed = 20 * Math.log10(Math.hypot(1 + (r1 / r2) * Math.cos(phase), (r1 / r2) * Math.sin(phase)));
        if (closed > -10) expect(Math.abs(level(hz) - closed)).toBeLessThan(0.02);
      }
    },
  );

  it("ground that is hard doubles the pressure of a source that lies on it: +6.02 dB at all frequencies", () => {
    for (const hz of [50, 500, 5000]) {
      const gain = gainDbAt(impulse(hard, 5, 0, 1.5), hz, RATE) - gainDbAt(impulse(dryAir, 5, 0, 1.5), hz, RATE);
      expect(gain).toBeCloseTo(6.0206, 4);
    }
  });

  it("the air takes at 100 m what ISO 9613-1 says", () => {
    const still = { temperatureK: 283.15, pressurePa: 101_325, humidityRatio: 0.7, soundSpeedMPerS: C };
    const air = { ...dryAir, absorption: new AbsorptionTable(RATE, still, 400) };
    for (const hz of [501.19, 1000, 3981.07, 7943.28]) {
      const loss =
        gainDbAt(impulse(dryAir, 100, 1.5, 1.5, 32768), hz, RATE) -
        gainDbAt(impulse(air, 100, 1.5, 1.5, 32768), hz, RATE);
      expect(Math.abs(loss - 100 * airAbsorptionDbPerM(hz, still))).toBeLessThan(0.5);
    }
  });

  it("a source passing at 30 m/s is heard with f'/f = 1/(1 - v cos/c), cos seen from where the sound left", () => {
    const v = 30;
    const path = new SoundPath(dryAir, settings, 1.5, 1.5, 7.5);
    const place = (s: number) => {
      path.place.set([-30 + v * s, 7.5, 0, v]);
    };
    place(0);
    path.reset();
    const hz = 2000;
    const input = Float64Array.from({ length: 2 * RATE }, (_, i) => Math.sin((2 * Math.PI * hz * i) / RATE));
    const output = new Float64Array(2 * RATE);
    for (let at = 0; at < 2 * RATE; at += ROW) {
      place((at + ROW) / RATE);
      path.process(input, at, [output], at, ROW);
    }
    for (const t of [0.3, 0.8, 1.0, 1.1, 1.3, 1.8]) {
      const te = retardedS(t, v);
      const x = -30 + v * te;
      const r = Math.hypot(x, 7.5);
      const cos = -x / r;
      const expected = hz / (1 - (v * cos) / C);
      // Pitch from the phase gained between two short windows either side of t.
      const phase = (from: number) => {
        let re = 0;
        let im = 0;
        for (let i = 0; i < 256; i++) {
          const n = Math.round(t * RATE) + from + i;
          const hann = 1 - Math.cos((2 * Math.PI * i) / 256);
          re += hann * output[n]! * Math.cos((2 * Math.PI * expected * n) / RATE);
          im -= hann * output[n]! * Math.sin((2 * Math.PI * expected * n) / RATE);
        }
        return { angle: Math.atan2(im, re), size: (2 * Math.hypot(re, im)) / 256 };
      };
      const [a, b] = [phase(-256), phase(0)];
      const found =
        expected + (Math.atan2(Math.sin(b.angle - a.angle), Math.cos(b.angle - a.angle)) * RATE) / (2 * Math.PI * 256);
      expect(Math.abs(found / expected - 1)).toBeLessThan(2e-5);
      // Convective gain of a moving simple source. [source: Morse & Ingard, Theoretical Acoustics, 1968, 11.2]
      expect(phase(-128).size * r * (1 - (v * cos) / C) ** 2).toBeCloseTo(1, 2);
    }
  });

  it("what no longer sounds costs no samples: silence after a sound is silence", () => {
    const path = new SoundPath(hard, settings, 3, 1.5, 7.5);
    path.place.set([0, 7.5, 1.5, 0]);
    path.reset();
    const noise = Float64Array.from({ length: 4800 }, (_, i) => Math.sin(i * i));
    const output = new Float64Array(4800);
    path.process(noise, 0, [output], 0, 4800);
    expect(rms(output)).toBeGreaterThan(0.05);
    const silence = new Float64Array(240_000);
    const rest = new Float64Array(240_000);
    path.process(silence, 0, [rest], 0, 240_000);
    expect(rest.subarray(200_000).every((x) => x === 0)).toBe(true);
    // And it wakes with the first sample, where it should.
    const again = new Float64Array(4800);
    path.process(noise, 0, [again], 0, 4800);
    expect(Array.from(again)).toEqual(Array.from(output));
  });
});

function retardedS(t: number, v: number): number {
  const qa = C * C - v * v;
  const qb = -2 * (C * C * t - 30 * v);
  const qc = C * C * t * t - 7.5 * 7.5 - 900;
  return (-qb - Math.sqrt(qb * qb - 4 * qa * qc)) / (2 * qa);
}

describe("porous ground", () => {
  it("has the impedance of Delany and Bazley: 10.08 - 12.9j where frequency and resistivity are alike in cgs units", () => {
    const z = groundImpedanceRatio(200, 2e5);
    expect(z[0]).toBeCloseTo(10.08, 6);
    expect(z[1]).toBeCloseTo(-11.9, 6);
  });

  it("reflects everything as it grows hard, and a plane wave's share far above it", () => {
    const stone = sphericalReflection(groundImpedanceRatio(500, 2e11), 0.3, 100);
    expect(Math.hypot(stone[0]! - 1, stone[1]!)).toBeLessThan(0.02);
    // Normal incidence at a great distance: (Z - 1)/(Z + 1). [closed form]
    const [x, y] = groundImpedanceRatio(1000, 2e5) as unknown as [number, number];
    const q = sphericalReflection(Float64Array.of(x, y), 1, 1e5);
    const size = (x + 1) ** 2 + y * y;
    expect(q[0]).toBeCloseTo((x * x + y * y - 1) / size, 3);
    expect(q[1]).toBeCloseTo((2 * y) / size, 3);
  });

  it("grazing, a low note near the ground is carried by the ground wave: Q near 1, where a plane wave would be turned round", () => {
    const q = sphericalReflection(groundImpedanceRatio(63, 2e5), 1e-6, (2 * Math.PI * 63 * 10) / C);
    expect(Math.hypot(q[0]! - 1, q[1]!)).toBeLessThan(0.35);
  });

  it("boundary loss agrees with numerical integration of the error function", () => {
    // F of the plane-wave limit at grazing incidence: Q = -1 + 2 F, F = 1 - sqrt(pi) x w(jx).
    for (const [hz, m] of [
      [100, 10],
      [500, 30],
      [2000, 50],
    ] as const) {
      const z = groundImpedanceRatio(hz, 2e5) as unknown as [number, number];
      const k = (2 * Math.PI * hz) / C;
      const q = sphericalReflection(Float64Array.of(z[0], z[1]), 0, k * m);
      const size = z[0] ** 2 + z[1] ** 2;
      const [bx, by] = [z[0] / size, -z[1] / size];
      // x = sqrt(j k r / 2) beta
      const s = Math.sqrt(k * m) / 2;
      const [xr, xi] = [s * (bx - by), s * (bx + by)];
      // exp(x^2) erfc(x) = 2/sqrt(pi) integral of exp(-t^2 - 2 x t) over t from 0.
      let [re, im] = [0, 0];
      const dt = 1e-4;
      for (let t = dt / 2; t < 12; t += dt) {
        const g = Math.exp(-t * t - 2 * xr * t) * dt;
        re += g * Math.cos(2 * xi * t);
        im -= g * Math.sin(2 * xi * t);
      }
      const f = [1 - 2 * (xr * re - xi * im), -2 * (xr * im + xi * re)] as const;
      expect(q[0]).toBeCloseTo(-1 + 2 * f[0], 5);
      expect(q[1]).toBeCloseTo(2 * f[1], 5);
    }
  });

  it.each([
    [4, 1.5, 7.5, 0.5],
    [0.6, 1.5, 7.5, 0.7],
    [4, 1.5, 30, 0.9],
    [0.6, 1.5, 30, 0.9],
    [4, 1.5, 150, 1.9],
  ])(
    "over grass, source at %f m, ear at %f m, %f m apart: octave bands of both waves within %f dB of the impedance model",
    (sourceM, earM, d, withinDb) => {
      const [r1, r2] = [Math.hypot(d, sourceM - earM), Math.hypot(d, sourceM + earM)];
      const f = groundFilter(GRASS, RATE, (sourceM + earM) / r2, r2, C);
      let worst = 0;
      for (const octave of [63, 125, 250, 500, 1000, 2000, 4000]) {
        let [wanted, got] = [0, 0];
        for (let k = -20; k <= 20; k++) {
          const hz = octave * 2 ** (k / 40);
          const wave = (2 * Math.PI * hz) / C;
          const q = sphericalReflection(groundImpedanceRatio(hz, 2e5), (sourceM + earM) / r2, wave * r2);
          const w = (2 * Math.PI * hz) / RATE;
          const [nr, ni] = [f[0]! + f[1]! * Math.cos(w), -f[1]! * Math.sin(w)];
          const [dr, di] = [1 + f[2]! * Math.cos(w), -f[2]! * Math.sin(w)];
          const size = dr * dr + di * di;
          const both = (re: number, im: number) => {
            const [c, s] = [Math.cos(wave * (r2 - r1)), -Math.sin(wave * (r2 - r1))];
            return (1 + (r1 / r2) * (re * c - im * s)) ** 2 + ((r1 / r2) * (re * s + im * c)) ** 2;
          };
          wanted += both(q[0]!, q[1]!);
          got += both((nr * dr + ni * di) / size, (ni * dr - nr * di) / size);
        }
        worst = Math.max(worst, Math.abs(10 * Math.log10(got / wanted)));
      }
      expect(worst).toBeLessThan(withinDb);
    },
  );
});
