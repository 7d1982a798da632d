import { beforeAll, describe, expect, it } from "vitest";
import { ControlTrack } from "../../src/machine/control-track.js";
import { TimedDrive } from "../../src/machine/drive.js";
import { airDensityKgPerM3 } from "../../src/machine/ambient-air.js";
import { Machine, stemNames } from "../../src/machine/machine.js";
import { settle } from "../../src/machine/settle.js";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { bandLevelDb } from "../sound/jet-measures.js";
import {
  changed,
  decibels,
  exhaustOnly,
  greatestOf,
  preset,
  pulsesOf,
  rendered,
  request,
  rmsOf,
} from "../offline/renders.js";

type Stems = Readonly<Record<(typeof stemNames)[number], Float64Array>>;

interface Asked {
  readonly seconds: number;
  readonly speedRpm?: number;
  readonly regulatorRatio?: number;
  readonly seed?: number;
}

/** Every stem of a settled machine, in pascals at 7.5 m. */
function stemsOf(machine: MachineFile, asked: Asked): Stems {
  const { description } = machine;
  const speedRpm = asked.speedRpm ?? description.speedRpm;
  const isHooked = description.gear.valveGear.kind === "oscillating";
  const steady = (value: number) => new ControlTrack(value, []);
  const drive = new TimedDrive(steady(speedRpm), steady(asked.regulatorRatio ?? 1), steady(isHooked ? 1 : 0.75));
  const settings = { sampleRateHz: 48_000, fidelity: 4, seed: asked.seed ?? 1, distanceM: 7.5 } as const;
  const running = new Machine(description, settings, drive);
  settle(running, speedRpm, 6000);
  const frames = Math.round(48_000 * asked.seconds);
  // The first moments after running in silently are thrown away.
  const lead = stemNames.map(() => new Float64Array(24_000));
  running.process(lead, 24_000);
  const stems = stemNames.map(() => new Float64Array(frames));
  running.process(stems, frames);
  return Object.fromEntries(stemNames.map((name, i) => [name, stems[i]])) as Stems;
}

const levelDb = (stem: Float64Array): number => decibels(rmsOf(stem) / 20e-6);
const noisy = ["exhaust-noise", "exhaust-jet", "inlet", "leaks"] as const;
const harrow = preset("harrow-tank");

describe("another seed", () => {
  let one: Stems;
  let other: Stems;
  beforeAll(() => {
    [one, other] = [1, 2].map((seed) => stemsOf(harrow, { seconds: 20, speedRpm: 60, seed }));
  });

  it("changes every noise sample by sample and none of their levels by 0.2 dB: 20 s at 60 rpm", () => {
    for (const name of noisy) {
      const difference = one[name].map((x, i) => x - other[name][i]);
      // Noises that know nothing of each other differ by as much as both together: 3 dB more than one.
      expect(Math.abs(levelDb(difference) - levelDb(one[name]) - 3), name).toBeLessThan(0.5);
      const change = levelDb(one[name]) - levelDb(other[name]);
      console.log(`${name}: ${levelDb(one[name]).toFixed(1)} dB, another seed ${change.toFixed(3)} dB less`);
      expect(Math.abs(change), name).toBeLessThan(0.2);
    }
  });

  it("changes nothing of the pulse", () => {
    expect(other["exhaust-pulse"]).toEqual(one["exhaust-pulse"]);
    expect(levelDb(one["exhaust-pulse"])).toBeGreaterThan(40);
  });
});

describe("a machine at rest or let go", () => {
  const tight = changed(harrow, { leaks: { valveM2: 0, ringsM2: 0 } });

  it("is silent with the shaft standing, the regulator shut and no leaks: noises below -120 dBFS of 20 Pa", () => {
    const stems = stemsOf(tight, { seconds: 3, speedRpm: 0, regulatorRatio: 0 });
    const peakDb = (stem: Float64Array): number => decibels(Math.max(greatestOf(stem), 1e-30) / 20);
    for (const name of noisy) expect(peakDb(stems[name]), name).toBeLessThan(-120);
    // What the gas was doing before it came to rest dies away in smokebox and chimney; cold and full of air it does nothing.
    const [first, last] = [stems["exhaust-pulse"].subarray(0, 48_000), stems["exhaust-pulse"].subarray(96_000)];
    console.log(`pulse at rest: ${peakDb(first).toFixed(1)} dBFS, two seconds later ${peakDb(last).toFixed(1)}`);
    expect(peakDb(first)).toBeLessThan(-100);
    expect(peakDb(last)).toBeLessThan(Math.max(peakDb(first) - 6, -200));
  });

  it("drifts with the regulator shut at least 25 dB quieter than it works, from 60 Hz to 10 kHz", () => {
    // Below that pistons pump smokebox and chimney whether there is steam or not.
    const heardDb = (regulatorRatio: number): number => {
      const { mix, fullScalePa } = rendered(request(exhaustOnly(harrow), { seconds: 4, speedRpm: 60, regulatorRatio }));
      return bandLevelDb(
        mix.map((x) => fullScalePa * x),
        60,
        10_000,
        48_000,
      );
    };
    const [working, drifting] = [heardDb(1), heardDb(0)];
    console.log(`working ${working.toFixed(1)} dB, drifting ${drifting.toFixed(1)} dB`);
    expect(working - drifting).toBeGreaterThan(25);
    expect(drifting).toBeGreaterThan(20);
  });
});

describe("what kind of machine it is", () => {
  it("a condensing one sends nothing of its exhaust into the air, and is heard by its inlet", () => {
    const stems = stemsOf(preset("lingmere-condensing"), { seconds: 2 });
    for (const name of ["exhaust-pulse", "exhaust-noise", "exhaust-jet"] as const) {
      expect(greatestOf(stems[name]), name).toBe(0);
    }
    expect(levelDb(stems.inlet)).toBeGreaterThan(0);
  });

  it("a single-acting one lets its rings be heard in `leaks`, a double-acting one does not", () => {
    const wobbler = preset("pocket-wobbler");
    const withLeaks = (machine: MachineFile, valveM2: number, ringsM2: number): Float64Array =>
      stemsOf(changed(machine, { leaks: { valveM2, ringsM2 } }), { seconds: 1 }).leaks;
    expect(greatestOf(withLeaks(wobbler, 0, 0))).toBe(0);
    const small = levelDb(withLeaks(wobbler, 0, 1e-8));
    const large = levelDb(withLeaks(wobbler, 0, 4e-8));
    console.log(`rings of 0.01 mm2 ${small.toFixed(1)} dB, of 0.04 mm2 ${large.toFixed(1)} dB`);
    expect(small).toBeGreaterThan(0);
    // Four times the mass at the same speed has four times the power: 6 dB. [source: Lighthill 1952]
    expect(Math.abs(large - small - 6)).toBeLessThan(1.5);
    expect(greatestOf(withLeaks(preset("bench-slide"), 0, 1e-7))).toBe(0);
  });

  it("an idealised one has as its pulse the simple source of the volume flow in its pulse record", () => {
    const ideal = changed(preset("oxmoor-mill"), { idealised: true });
    const asked = request(ideal, { seconds: 2 });
    const { stems, fullScalePa } = rendered(asked);
    const flow = pulsesOf(asked).get("nozzleVolumeFlowM3PerS")!;
    // p = rho / (4 pi r) dQ/dt [source: Pierce, Acoustics, 1989, 4-3], the slope by nine points [source: Abramowitz & Stegun,
    // 25.2], then the render's own high-pass: second-order Butterworth at 8 Hz, its transform by hand.
    const ambient = ideal.description.ambient;
    const perSlope = (airDensityKgPerM3(ambient) * 48_000) / (4 * Math.PI * 7.5 * fullScalePa);
    const weights = [4 / 5, -1 / 5, 4 / 105, -1 / 280];
    const k = Math.tan((Math.PI * 8) / 48_000);
    const scale = 1 / (1 + Math.SQRT2 * k + k * k);
    const wanted = new Float64Array(flow.length);
    let [x1, x2, y1, y2] = [0, 0, 0, 0];
    for (let i = 4; i < flow.length - 4; i++) {
      let slope = 0;
      for (let d = 1; d <= 4; d++) slope += weights[d - 1] * (flow[i + d] - flow[i - d]);
      const x = perSlope * slope;
      const y = scale * (x - 2 * x1 + x2 - 2 * (k * k - 1) * y1 - (1 - Math.SQRT2 * k + k * k) * y2);
      [x2, x1, y2, y1] = [x1, x, y1, y];
      wanted[i] = y;
    }
    // The render's filter has run before it begins: a second later both have forgotten that.
    const [got, expected] = [stems[0], wanted].map((signal) => signal.subarray(48_000, flow.length - 4));
    const error = decibels(rmsOf(got.map((x, i) => x - expected[i])) / rmsOf(expected));
    console.log(`pulse against the simple source of its flow: ${error.toFixed(1)} dB`);
    expect(error).toBeLessThan(-60);
    // Dry air at this pressure and temperature by the gas law; moist air is up to 1 % lighter.
    const dry = ambient.pressurePa / (287.05 * ambient.temperatureK);
    expect(Math.abs(airDensityKgPerM3(ambient) / dry - 1)).toBeLessThan(0.01);
  });
});
