import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { troubleWarnings } from "../../src/offline/trouble-warnings.js";
import {
  airModel,
  exhaustClearance,
  locomotive,
  oscillatingModel,
  plainPipe,
  steamBoiler,
  withCylinder,
  withGear,
} from "./descriptions.js";
import { Turning, type TurningSettings } from "./turning.js";

const gear = locomotive().gear.valveGear;
if (gear.kind !== "eccentric") throw new Error("the locomotive has an eccentric");
const sixteenBar = steamBoiler(17e5);

interface Violence {
  readonly turns?: number;
  readonly settings?: TurningSettings;
  readonly note?: (turning: Turning, tick: number) => void;
}

const cases: readonly (readonly [string, EngineDescription, Violence])[] = [
  [
    "motored with the regulator shut, 120 rpm",
    locomotive(),
    { settings: { regulatorRatio: 0, speedRpm: 120 }, turns: 6 },
  ],
  [
    "regulator slammed open and shut, 120 rpm",
    locomotive(),
    {
      settings: { regulatorRatio: 0, speedRpm: 120 },
      turns: 6,
      note: (turning, tick) => turning.engine.setRegulator(Math.floor((3 * tick) / turning.ticksPerTurn) % 2),
    },
  ],
  [
    "gear thrown from full forward to full backward each tick",
    locomotive(),
    { note: (t, tick) => t.engine.setCutoff(tick % 2 === 0 ? 0.7 : -0.7) },
  ],
  ["300 rpm at 16 bar", locomotive({ boiler: sixteenBar }), { settings: { speedRpm: 300 }, turns: 6 }],
  [
    "300 rpm at 16 bar, idealised",
    locomotive({ boiler: sixteenBar, idealised: true }),
    { settings: { speedRpm: 300 }, turns: 6 },
  ],
  [
    "16 bar without a nozzle",
    locomotive({ boiler: sixteenBar, exhaust: { ...locomotive().exhaust, nozzle: null } }),
    { settings: { speedRpm: 150 } },
  ],
  [
    "16 bar into passages open to the air",
    locomotive({ boiler: sixteenBar, exhaust: plainPipe(1.4, 0.15) }),
    { settings: { speedRpm: 150 } },
  ],
  ["a 60 mm pipe of 4 mm bore", airModel(), { turns: 12 }],
  ["a 60 mm pipe of 4 mm bore at 2500 rpm", airModel(), { settings: { speedRpm: 2500 }, turns: 20 }],
  ["a 6 m pipe of 0.6 m bore", locomotive({ exhaust: plainPipe(6, 0.6) }), {}],
  ["no pipe at all", locomotive({ exhaust: { ...plainPipe(1, 1), passage: null } }), {}],
  ["an 8 mm pipe on a wobbler", oscillatingModel({ exhaust: plainPipe(0.008, 0.0025) }), { turns: 10 }],
  ["a vacuum of 0.03 bar", locomotive({ exhaust: { ...plainPipe(3, 0.2), condenser: { pressurePa: 3e3 } } }), {}],
  [
    "no leads, laps, leaks or rods",
    withCylinder(
      withGear(locomotive({ leaks: { valveM2: 0, ringsM2: 0 } }), {
        valveGear: { ...gear, steamLapM: 0, exhaustLapM: 0, leadM: 0 },
      }),
      { pistonRodM: 0 },
    ),
    {},
  ],
  ["both exhaust ports of a cylinder open round mid stroke", exhaustClearance(), { settings: { speedRpm: 250 } }],
  [
    "four ports into one pipe",
    locomotive({ exhaust: { ...locomotive().exhaust, passage: null }, boiler: sixteenBar }),
    { settings: { speedRpm: 200 } },
  ],
  ["3 % cut-off", locomotive(), { settings: { cutoffRatio: 0.03, speedRpm: 100 }, turns: 6 }],
  [
    "3 % cut-off at 16 bar, superheated, 220 rpm",
    locomotive({ boiler: steamBoiler(17e5, 120) }),
    { settings: { cutoffRatio: 0.03, speedRpm: 220 }, turns: 6 },
  ],
  ["running backwards in forward gear", locomotive(), { settings: { speedRpm: -60, cutoffRatio: 0.7 } }],
  ["running backwards in backward gear", locomotive(), { settings: { speedRpm: -60 } }],
  ["a chest of a thimble behind a great regulator", locomotive({ chestVolumeM3: 1e-6, regulatorAreaM2: 1e-2 }), {}],
  ["a regulator of a pinhole", locomotive({ regulatorAreaM2: 1e-7 }), {}],
  ["1 % clearance", withCylinder(locomotive(), { clearanceRatio: 0.01 }), {}],
  [
    "ring leak of a hand's breadth",
    withGear(locomotive(), { faults: [{ kind: "ringLeak", cylinder: 1, areaM2: 0.01 }] }),
    {},
  ],
  // The widest leak that a machine file may name is 100 cm2.
  ...[1e-4, 1e-3, 1e-2].flatMap((valveM2): (typeof cases)[number][] => {
    const leaks = { valveM2, ringsM2: 0 };
    const size = `valves that leak ${1e4 * valveM2} cm2 each`;
    return [
      [`${size} on a wobbler`, oscillatingModel({ leaks }), { turns: 10 }],
      [`${size} on an air model`, airModel({ leaks }), { turns: 10 }],
      [`${size} on a locomotive, a thimble for a chest`, locomotive({ leaks, chestVolumeM3: 2e-8 }), {}],
      [
        `${size} and rings as much, a thimble for a chest`,
        oscillatingModel({ leaks: { valveM2, ringsM2: valveM2 }, chestVolumeM3: 2e-8 }),
        { turns: 10 },
      ],
    ];
  }),
  ["3 rpm", locomotive(), { settings: { speedRpm: 3 }, turns: 0.5 }],
  ...[8000, 44_100, 96_000, 192_000].map(
    (rateHz) => [`${rateHz} Hz of audio`, locomotive(), { settings: { rateHz }, turns: 2 }] as const,
  ),
];

describe("violent but legal: everything stays finite, pressures positive", () => {
  it.each(cases)("%s", (name, description, { turns = 4, settings = {}, note }) => {
    const turning = new Turning(description, settings);
    const { engine } = turning;
    const { record, network, ends } = engine;
    let lowest = Infinity;
    let highest = 0;
    let isFinite = true;
    let worst = 0;
    for (let turn = 0; turn < Math.max(1, turns); turn++) {
      const account = turning.turns(Math.min(turns, 1), (tick) => {
        note?.(turning, tick);
        for (let i = 0; i < ends.count; i++) {
          lowest = Math.min(lowest, ends.pressurePa[i]);
          highest = Math.max(highest, ends.pressurePa[i]);
          isFinite &&=
            Number.isFinite(ends.massKg[i] + ends.energyJ[i] + record.endExhaustKgPerS[i] + record.endSteamKgPerS[i]) &&
            ends.massKg[i] > 0;
        }
        for (let m = 0; m < network.mouths.length; m++)
          isFinite &&= Number.isFinite(
            record.mouthMassKgPerS[m] + record.mouthVolumeM3PerS[m] + record.mouthPressurePa[m],
          );
        isFinite &&= Number.isFinite(record.chestPressurePa) && record.chestPressurePa > 0;
      });
      worst = Math.max(worst, account.massResidualRatio, account.energyResidualRatio);
    }
    const counts = engine.troubleCounts();
    console.log(
      `${name}: ${(lowest / 1e5).toFixed(3)} to ${(highest / 1e5).toFixed(2)} bar, residual ${worst.toExponential(1)}, ${JSON.stringify(counts)}`,
    );
    expect(isFinite).toBe(true);
    expect(lowest).toBeGreaterThan(0);
    // Compression may pass the boiler's pressure a little; anything more would be energy from nowhere.
    expect(highest).toBeLessThan(1.3 * description.boiler.pressurePa);
    expect(worst).toBeLessThan(1e-9);
    expect(counts).toMatchObject({ outOfRange: 0, rescued: 0 });
  });

  it("a pipe that had to be rescued is said, and the engine runs on", () => {
    const turning = new Turning(locomotive());
    const { engine } = turning;
    turning.turns(1);
    expect(troubleWarnings(engine)).toEqual([]);
    for (let i = 0; i < 3; i++) engine.network.pipes[0].state[i + 6] = [1e-9, -50, -1e6][i];
    for (let i = 0; i < 3; i++) turning.tick();
    expect(engine.troubleCounts().rescued).toBeGreaterThan(0);
    expect(troubleWarnings(engine).join()).toContain("beyond the pipe model");
    turning.turns(2);
    const [pressure] = engine.record.endPressurePa;
    expect(pressure).toBeGreaterThan(1e4);
    expect(pressure).toBeLessThan(15e5);
    expect(turning.turns(1).massResidualRatio).toBeLessThan(1e-9);
    engine.reset(0);
    expect(troubleWarnings(engine)).toEqual([]);
  });

  it("a junction that chokes is counted, and only then", () => {
    // Narrow passages into a wide pipe.
    const { exhaust } = locomotive();
    const narrow = { ...exhaust, passage: { lengthM: 1.4, boreM: 0.08 }, nozzle: null };
    const hard = new Turning(locomotive({ boiler: sixteenBar, exhaust: narrow }), { speedRpm: 150 });
    hard.turns(3);
    expect(hard.engine.network.troubleCounts().choked).toBeGreaterThan(0);
    hard.engine.reset(0);
    expect(hard.engine.network.troubleCounts().choked).toBe(0);
    const easy = new Turning(locomotive({ boiler: steamBoiler(3e5) }), { speedRpm: 60 });
    easy.turns(1);
    expect(easy.engine.network.troubleCounts().choked).toBe(0);
  });
});
