import { describe, expect, it } from "vitest";
import { DraughtBox } from "../../src/flow/draught-box.js";
import type { FiniteVolumePipe } from "../../src/flow/finite-volume-pipe.js";
import { Junction } from "../../src/flow/junction.js";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import { Vessel } from "../../src/flow/vessel.js";
import { createAir } from "../../src/steam/working-fluid.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { exhaustOf, makePipe, steam, stillSurroundings } from "./perfect-gas.js";

const stepS = 4 / 48_000;
const ambientPa = 101_325;

/** A unit at work, with whatever it needs around it. */
interface Bench {
  /** State only, of everything on the bench. */
  reset(): void;
  /** One tick under a load that depends on the tick's number. */
  tick(index: number): void;
  readonly units: readonly object[];
}

function pipeOf(cellCount: number, boreM: number, nozzle = false): FiniteVolumePipe {
  const shape = nozzle ? { mouthBoreM: 0.8 * boreM, contractionM: 0.15 } : {};
  return makePipe(steam, { lengthM: 0.08 * cellCount, boreM, cellCount, stepS, frictionFactor: 0.02, ...shape });
}

const resetPipe = (pipe: FiniteVolumePipe) => pipe.reset(ambientPa, 390, 0);

function pipeBench(): Bench {
  const pipe = pipeOf(14, 0.15, true);
  return {
    units: [pipe],
    reset: () => resetPipe(pipe),
    tick: (i) => {
      pipe.process();
      // A piston of gas at the left, an opening held at the outside pressure at the right.
      const u = 150 * Math.sin(i / 40) ** 2;
      const pa = pipe.leftArrivalPa + pipe.leftImpedance * u;
      const mass = 0.6 * u * pipe.leftAreaM2;
      pipe.closeLeft(mass, u, pa, u * pipe.leftAreaM2 * (1.3 / 0.3) * pa + 0.5 * mass * u * u);
      const v = (pipe.rightArrivalPa - ambientPa) / pipe.rightImpedance;
      const out = pipe.rightDensity * v * pipe.rightAreaM2;
      pipe.closeRight(out, v, ambientPa, v * pipe.rightAreaM2 * (1.3 / 0.3) * ambientPa + 0.5 * out * v * v);
    },
  };
}

function networkBench(): Bench {
  const gas = exhaustOf(steam, 8e6);
  const passages = [pipeOf(16, 0.13), pipeOf(12, 0.13)];
  const blast = pipeOf(13, 0.16, true);
  const ports = makePorts(4);
  const ends = passages.map((pipe, i) => new PortEnd(pipe, gas, ports, 2 * i, 2, 1.3, stepS));
  const junction = new Junction(passages, blast, steam);
  const box = new DraughtBox(stepS, 2, 1.38 * ambientPa, 0.12, 1.5, 0.62, 1);
  const boxRise = 0.5 * box.risePerFlowPaSPerM3 * blast.rightAreaM2;
  const mouth = new Mouth(blast, gas, stillSurroundings(steam, ambientPa, 390, true), stepS, boxRise);
  return {
    units: [...passages, blast, ...ends, junction, box, mouth],
    reset: () => {
      for (const pipe of [...passages, blast]) resetPipe(pipe);
      for (const end of ends) end.reset();
      junction.reset();
      mouth.reset(0);
      box.reset();
    },
    tick: (i) => {
      for (let j = 0; j < 4; j++) {
        ports.areaM2[j] = Math.max(0, 0.006 * Math.sin(i / 60 + 1.6 * j));
        ports.pressurePa[j] = 2.5e5 + 2e5 * Math.sin(i / 47 + j);
        ports.densityKgPerM3[j] = ports.pressurePa[j] / (461.5 * 430);
        ports.massKg[j] = 0.05 * ports.densityKgPerM3[j];
        ports.enthalpyJPerKg[j] = steam.specificHeatJPerKgK * 430;
      }
      for (let p = 0; p < 2; p++) passages[p].process();
      blast.process();
      for (let p = 0; p < 2; p++) ends[p].process();
      junction.process();
      mouth.outsideRisePa = box.risePa;
      mouth.process();
      box.process(mouth.volumeFlowM3PerS);
    },
  };
}

function vesselBench(): Bench {
  const vessel = new Vessel(0.012, createAir(), false);
  return {
    units: [vessel],
    reset: () => vessel.reset(6, 2.1e5),
    tick: (i) => {
      const flow = 0.02 * Math.sin(i / 30);
      vessel.addFlow(flow, flow * 3e5);
      vessel.integrate(stepS);
      vessel.observe();
    },
  };
}

/** Every number a unit keeps, and a pipe's cells; arrays that are filled afresh within a tick are not state. */
function shown(unit: object): number[] {
  const numbers: number[] = [];
  for (const [name, value] of Object.entries(unit)) {
    if (typeof value === "number") numbers.push(value);
    else if (name === "state") numbers.push(...(value as Float64Array));
  }
  return numbers;
}

const history = (bench: Bench, ticks: number): number[][] => {
  const rows: number[][] = [];
  for (let i = 0; i < ticks; i++) {
    bench.tick(i);
    if (i % 25 === 24) rows.push(bench.units.flatMap(shown));
  }
  return rows;
};

describe.each([
  ["a pipe", pipeBench],
  ["passages, junction, blast pipe, mouth and smokebox", networkBench],
  ["a vessel", vesselBench],
])("%s", (_, make) => {
  it("moves at all under the load of these tests", () => {
    const bench = make();
    bench.reset();
    const rows = history(bench, 400);
    expect(rows.flat().every(Number.isFinite)).toBe(true);
    expect(rows[3]).not.toEqual(rows[12]);
  });

  it("does after a reset what a fresh one does, to the bit", () => {
    const fresh = make();
    fresh.reset();
    const expected = history(fresh, 400);
    const used = make();
    used.reset();
    history(used, 733);
    used.reset();
    expect(history(used, 400)).toEqual(expected);
  });

  it("is not disturbed by another one beside it", () => {
    const alone = make();
    alone.reset();
    const expected = history(alone, 300);
    const one = make();
    const other = make();
    one.reset();
    other.reset();
    const rows: number[][] = [];
    for (let i = 0; i < 300; i++) {
      other.tick(3 * i + 100);
      one.tick(i);
      if (i % 25 === 24) rows.push(one.units.flatMap(shown));
    }
    expect(rows).toEqual(expected);
  });

  it("leaves nothing to speak of on the heap", () => {
    const bench = make();
    bench.reset();
    let index = 0;
    // Not before the loop is compiled: until then every number handed over is boxed.
    for (; index < 40_000; index++) bench.tick(index);
    const bytes = allocatedBytesPerCall(() => bench.tick(index++), 4000);
    console.log(`bytes a tick: ${bytes.toFixed(2)}`);
    // 0.5 byte an audio sample at four samples a tick.
    expect(bytes).toBeLessThan(2);
  });
});

describe("settings", () => {
  it("survive a reset: a pipe's shape, a mouth's area and load, a junction's branches", () => {
    const bench = networkBench();
    bench.reset();
    const [pipe, , blast] = bench.units as FiniteVolumePipe[];
    const before = [pipe.lengthM, pipe.leftAreaM2, blast.rightAreaM2, pipe.cellCount, blast.massKg()];
    history(bench, 200);
    expect(blast.massKg()).not.toBe(before[4]);
    bench.reset();
    expect([pipe.lengthM, pipe.leftAreaM2, blast.rightAreaM2, pipe.cellCount, blast.massKg()]).toEqual(before);
  });

  it("of a vessel that is a reservoir: nothing that flows changes it", () => {
    const vessel = new Vessel(0.012, createAir(), true);
    vessel.reset(6, 2.1e5);
    // The length of a tick is a setting, and shown with the rest.
    vessel.stepS = stepS;
    const before = shown(vessel);
    for (let i = 0; i < 100; i++) {
      vessel.addFlow(-0.1, -3e4);
      vessel.integrate(stepS);
      vessel.observe();
    }
    expect(shown(vessel)).toEqual(before);
  });
});

describe("the two passes of a pipe", () => {
  it("agree where nothing is violent", () => {
    const quick = pipeBench();
    const thorough = pipeBench();
    quick.reset();
    thorough.reset();
    const flag = thorough.units[0] as unknown as { isCalm: boolean };
    let quickTicks = 0;
    for (let i = 0; i < 800; i++) {
      flag.isCalm = false;
      quick.tick(i);
      thorough.tick(i);
      if ((quick.units[0] as unknown as { isCalm: boolean }).isCalm) quickTicks++;
    }
    const a = (quick.units[0] as FiniteVolumePipe).state;
    const b = (thorough.units[0] as FiniteVolumePipe).state;
    expect(quickTicks).toBeGreaterThan(500);
    for (let i = 0; i < a.length; i++) expect(Math.abs(a[i] - b[i])).toBeLessThan(1e-9 * Math.max(1, Math.abs(b[i])));
  });
});
