import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { microphonesOf, standingPoint } from "../../src/machine/listener-place.js";
import { Listener, type ListenerSettings } from "../../src/machine/listener.js";
import { type MachinePoint, sourcePlaces, stemParts } from "../../src/machine/source-places.js";
import { stemNames } from "../../src/machine/machine.js";
import { GRASS } from "../../src/sound/ground-reflection.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { locomotive, millEngine, oscillatingModel, presetMachine, presetNames } from "../engine/descriptions.js";
import { rms } from "../sound/signal-measures.js";

const RATE = 48000;
const ROW = 64;
const names = [...stemNames, "whistle", "knocks", "wheels", "background"];
const settings: ListenerSettings = {
  sampleRateHz: RATE,
  stemNames: names,
  distanceM: 7.5,
  place: "lineside",
  format: "mono",
  ground: null,
  airAbsorbs: false,
  rowSamples: ROW,
  farthestM: 400,
};
const unwheeled = millEngine({ wheelDiameterM: null });
const still = new Float64Array(10_000);

const noise = (length: number, seed: number) =>
  Float64Array.from({ length }, (_, i) => Math.sin(i * 12.9898 + Math.sin(i * (seed + 1)) * 78.233));

function heard(listener: Listener, stems: readonly Float64Array[], block = stems[0]!.length): Float64Array[] {
  const length = stems[0]!.length;
  const outputs = Array.from({ length: listener.channelCount }, () => new Float64Array(length));
  for (let at = 0; at < length; at += block) {
    const end = Math.min(length, at + block);
    listener.process(
      stems.map((stem) => stem.subarray(at, end)),
      still,
      still,
      outputs.map((output) => output.subarray(at, end)),
      end - at,
    );
  }
  return outputs;
}

const only = (name: string, signal: Float64Array, all = names) =>
  all.map((own) => (own === name ? signal : new Float64Array(signal.length)));

/** A machine whose chimney's mouth is where a test wants it, seen from a free place. */
function fromDirection(azimuthDeg: number, elevationDeg: number, format: "stereo" | "ambisonics", distanceM = 50) {
  const { chimney } = sourcePlaces(unwheeled);
  const [a, e] = [(azimuthDeg * Math.PI) / 180, (elevationDeg * Math.PI) / 180];
  const place = {
    xM: chimney.xM - distanceM * Math.cos(e) * Math.cos(a),
    yM: chimney.yM - distanceM * Math.cos(e) * Math.sin(a),
    zM: chimney.zM - distanceM * Math.sin(e),
    facingRad: 0,
  };
  return new Listener(unwheeled, { ...settings, place, format, distanceM });
}

describe("who listens from where", () => {
  it("dry is the plain sum of the stems in their order, bit for bit", () => {
    const stems = names.map((_, k) => noise(3000, k));
    const [output] = heard(new Listener(locomotive(), { ...settings, place: "dry" }), stems);
    const sum = stems[0]!.slice();
    for (const stem of stems.slice(1)) stem.forEach((x, i) => (sum[i] = sum[i]! + x));
    expect(Array.from(output!)).toEqual(Array.from(sum));
    expect(() => new Listener(locomotive(), { ...settings, place: "dry", format: "stereo" })).toThrow(/format must be/);
  });

  it.each(["lineside", "footplate", "chimneyTop", "motion"] as const)(
    "%s: any cut of the blocks gives the same samples",
    (place) => {
      for (const format of ["mono", "stereo", "ambisonics"] as const) {
        const make = () => new Listener(locomotive(), { ...settings, place, format, ground: GRASS, airAbsorbs: true });
        const stems = names.map((_, k) => noise(2000, k));
        const whole = heard(make(), stems);
        for (const block of [1, 64, 100, 312]) {
          const cut = heard(make(), stems, block);
          cut.forEach((channel, c) => expect(Array.from(channel)).toEqual(Array.from(whole[c]!)));
        }
        const used = make();
        heard(used, stems);
        used.reset(0, 0);
        heard(used, stems).forEach((channel, c) => expect(Array.from(channel)).toEqual(Array.from(whole[c]!)));
      }
    },
  );

  it("every stem comes with the delay and the level of its own distance", () => {
    const { chimney, motion } = sourcePlaces(locomotive());
    const c = Math.sqrt(1.4 * 287.05287 * 288.15); // [source: ISO 2533:1975]
    for (const [name, point] of [
      ["exhaust-pulse", chimney],
      ["knocks", motion],
    ] as const) {
      const click = new Float64Array(8192);
      click[0] = 1;
      const [output] = heard(new Listener(locomotive(), settings), only(name, click));
      const r = Math.hypot(point.xM, 7.5, point.zM - 1.5);
      let [sum, moment] = [0, 0];
      output!.forEach((x, i) => {
        sum += x;
        moment += x * i;
      });
      expect(sum).toBeCloseTo(7.5 / r, 6);
      expect(Math.abs(moment / sum - (r / c) * RATE)).toBeLessThan(0.005);
    }
  });

  // AmbiX, first order, ACN and SN3D. [source: Nachbar et al., Ambisonics Symposium 2011; values of the spherical harmonics]
  it.each([
    [0, 0, [1, 0, 0, 1]],
    [45, 0, [1, 0.707107, 0, 0.707107]],
    [90, 30, [1, 0.866025, 0.5, 0]],
    [-90, 0, [1, -1, 0, 0]],
  ] as const)("AmbiX of a source at %d degrees, %d up", (azimuthDeg, elevationDeg, expected) => {
    const click = new Float64Array(12_000);
    click[0] = 1;
    const outputs = heard(fromDirection(azimuthDeg, elevationDeg, "ambisonics"), only("exhaust-pulse", click));
    expect(outputs.length).toBe(4);
    outputs.forEach((output, c) => {
      expect(output.reduce((sum, x) => sum + x, 0)).toBeCloseTo(expected[c]!, 5);
    });
  });

  it("AmbiX turns with the listener: what stands where he faces is in front", () => {
    const point = standingPoint("lineside", sourcePlaces(locomotive()), 7.5);
    const [microphone] = microphonesOf("ambisonics", point.facingRad);
    // From the right of the machine its middle is ahead: world +y; its front, world +x, is on the right hand.
    const take = (x: number, y: number) =>
      [0, 1, 2, 3].map(
        (k) => microphone!.pickUp[4 * k]! + x * microphone!.pickUp[4 * k + 1]! + y * microphone!.pickUp[4 * k + 2]!,
      );
    take(0, 1).forEach((value, k) => expect(value).toBeCloseTo([1, 0, 0, 1][k]!, 12));
    take(1, 0).forEach((value, k) => expect(value).toBeCloseTo([1, -1, 0, 0][k]!, 12));
  });

  it("the pair of cardioids: alike ahead, what stands on the axis of one is 55 and 110 degrees off", () => {
    // Cardioid (1 + cos)/2, axes 55 degrees to either side. [source: Sound on Sound, glossary, "ORTF"]
    const levels = (azimuthDeg: number) => {
      const click = new Float64Array(12_000);
      click[0] = 1;
      return heard(fromDirection(azimuthDeg, 0, "stereo"), only("exhaust-pulse", click)).map((output) =>
        output.reduce((sum, x) => sum + x, 0),
      );
    };
    const ahead = levels(0);
    expect(ahead[0]).toBeCloseTo(0.5 * (1 + Math.cos((55 * Math.PI) / 180)), 2);
    expect(ahead[1]).toBeCloseTo(ahead[0]!, 3);
    const left = levels(55);
    expect(left[0]).toBeCloseTo(1, 2);
    expect(left[1]).toBeCloseTo(0.5 * (1 + Math.cos((110 * Math.PI) / 180)), 2);
    const right = levels(-90);
    expect(right[1]).toBeCloseTo(0.5 * (1 + Math.cos((35 * Math.PI) / 180)), 2);
    expect(right[0]).toBeCloseTo(0.5 * (1 + Math.cos((145 * Math.PI) / 180)), 2);
  });

  it("a pass-by comes from the left of one who stands on the right of the line, and goes to his right", () => {
    const stems = [noise(6 * RATE, 3)];
    const listener = new Listener(locomotive(), {
      ...settings,
      stemNames: ["exhaust-pulse"],
      format: "stereo",
      ground: GRASS,
      airAbsorbs: true,
    });
    const v = 20;
    listener.reset(-60, v);
    const rows = Math.ceil((6 * RATE) / ROW);
    const roadM = Float64Array.from({ length: rows }, (_, k) => -60 + (v * (k + 1) * ROW) / RATE);
    const outputs = [new Float64Array(6 * RATE), new Float64Array(6 * RATE)];
    listener.process(stems, roadM, new Float64Array(rows).fill(v), outputs, 6 * RATE);
    const level = (channel: number, from: number, to: number) => rms(outputs[channel]!.slice(from * RATE, to * RATE));
    expect(level(0, 0.5, 1)).toBeGreaterThan(2 * level(1, 0.5, 1));
    expect(level(1, 5.2, 5.7)).toBeGreaterThan(2 * level(0, 5.2, 5.7));
    expect(level(0, 2.6, 3)).toBeGreaterThan(4 * level(0, 0.5, 1));
    expect(listener.heldCount).toBe(0);
  });

  it("one who rides along hears no Doppler: the road makes no difference", () => {
    const stems = names.map((_, k) => noise(4096, k));
    const make = () => new Listener(locomotive(), { ...settings, place: "footplate", format: "stereo" });
    const standing = heard(make(), stems);
    const riding = make();
    riding.reset(0, 30);
    const outputs = [new Float64Array(4096), new Float64Array(4096)];
    const roadM = Float64Array.from({ length: 64 }, (_, k) => (30 * (k + 1) * ROW) / RATE);
    riding.process(stems, roadM, new Float64Array(64).fill(30), outputs, 4096);
    outputs.forEach((output, c) => expect(Array.from(output)).toEqual(Array.from(standing[c]!)));
  });

  it("beyond the farthest distance kept the travel stands still, and that is counted", () => {
    const listener = new Listener(locomotive(), settings);
    listener.reset(390, 30);
    const roadM = Float64Array.from({ length: 3000 }, (_, k) => 390 + (30 * (k + 1) * ROW) / RATE);
    const stems = names.map((_, k) => noise(3000 * ROW, k));
    listener.process(stems, roadM, new Float64Array(3000).fill(30), [new Float64Array(3000 * ROW)], 3000 * ROW);
    expect(listener.heldCount).toBeGreaterThan(0);
  });

  it("the background surrounds the listener: as it is in mono and W, on both sides of a pair, in no direction", () => {
    const signal = noise(2000, 1);
    for (const [format, channels] of [
      ["mono", [true]],
      ["stereo", [true, true]],
      ["ambisonics", [true, false, false, false]],
    ] as const) {
      const outputs = heard(new Listener(locomotive(), { ...settings, format }), only("background", signal));
      channels.forEach((has, c) => {
        expect(Array.from(outputs[c]!)).toEqual(Array.from(has ? signal : new Float64Array(2000)));
      });
    }
  });

  it("every kind of machine has places that make sense, and every place can be taken on it", () => {
    const machines: EngineDescription[] = [
      locomotive(),
      unwheeled,
      oscillatingModel({ wheelDiameterM: null }),
      ...presetNames.map((name) => presetMachine(name).description),
    ];
    for (const description of machines) {
      const places = sourcePlaces(description);
      const points: MachinePoint[] = Object.values({ ...places });
      for (const point of points) expect(point.zM).toBeGreaterThan(0);
      expect(places.chimney.zM).toBeGreaterThanOrEqual(places.cylinders.zM);
      expect(places.boilerTop.zM).toBeGreaterThan(places.boiler.zM);
      // Loading gauge and roofs. [common practice]
      expect(places.chimney.zM).toBeLessThan(15);
      for (const place of ["lineside", "footplate", "chimneyTop", "motion"] as const) {
        for (const format of ["mono", "stereo", "ambisonics"] as const) {
          const all = Object.keys(stemParts);
          const listener = new Listener(description, { ...settings, stemNames: all, place, format, ground: GRASS });
          const stems = all.map((_, k) => noise(1024, k));
          for (const output of heard(listener, stems)) expect(output.every(Number.isFinite)).toBe(true);
        }
      }
    }
    // A locomotive of five-foot wheels: chimney near the loading gauge, 3.9 m. [common practice]
    const { chimney, cylinders, footplate, wheels } = sourcePlaces(locomotive());
    expect(chimney.zM).toBeGreaterThan(3.5);
    expect(chimney.zM).toBeLessThan(4.2);
    expect(cylinders.xM).toBeGreaterThan(wheels.xM);
    expect(footplate.xM).toBeLessThan(0);
  });

  it("allocates less than half a byte for each sample", () => {
    const listener = new Listener(locomotive(), { ...settings, format: "stereo", ground: GRASS, airAbsorbs: true });
    const stems = names.map((_, k) => noise(128, k));
    const outputs = [new Float64Array(128), new Float64Array(128)];
    const roadM = new Float64Array(2);
    const speeds = new Float64Array(2).fill(20);
    let at = -100;
    const perBlock = allocatedBytesPerCall(() => {
      roadM[0] = at += 0.02;
      roadM[1] = at += 0.02;
      listener.process(stems, roadM, speeds, outputs, 128);
    }, 200);
    console.log(`${(perBlock / 128).toFixed(3)} bytes a sample`);
    expect(perBlock / 128).toBeLessThan(0.5);
  });

  it("refuses a place within half a metre of what passes", () => {
    const place = { ...sourcePlaces(locomotive()).chimney, facingRad: 0 };
    expect(() => new Listener(locomotive(), { ...settings, place })).toThrow(/chimney passes, got 0.000 m/);
  });
});
