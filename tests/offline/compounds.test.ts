import { describe, expect, it } from "vitest";
import { checkMachine } from "../../src/offline/check.js";
import {
  decibels,
  eventsOf,
  greatestOf,
  preset,
  pulsesOf,
  type Rendered,
  rendered,
  request,
  rmsOf,
  runOfText,
  withFaults,
  withoutLeaks,
  wrapped180,
} from "./renders.js";

function stemOf(made: Rendered, name: string): Float64Array {
  return made.stems[made.stemNames.indexOf(name)];
}

describe("a cross compound to the air", () => {
  it("beats twice a turn, as one double-acting cylinder does, from its low pressure alone [common practice]", () => {
    const report = eventsOf(preset("tarnside-compound"));
    expect(report.ends.length).toBe(4);
    expect(report.beatsPerTurn).toBe(2);
    expect(report.beats.every(({ cylinder }) => cylinder === 2)).toBe(true);
    const { beats } = rendered(request(preset("tarnside-compound"), { turns: 4 }));
    expect(beats.length).toBe(8);
    for (const { cylinder, shaftDeg } of beats) {
      expect(cylinder).toBe(2);
      const nearest = report.beats.map((beat) => Math.abs(wrapped180(shaftDeg - beat.shaftDeg)));
      expect(Math.min(...nearest)).toBeLessThan(0.5);
    }
  });

  it("its exhaust falls silent with the ports of the low pressure shut, whatever the high pressure lets go", () => {
    const machine = withoutLeaks(preset("tarnside-compound"));
    const open = rendered(request(machine, { turns: 2 }));
    const shut = (end: "head" | "crank") => ({ kind: "portChoke", cylinder: 2, end, toRatio: 0 }) as const;
    const closed = rendered(request(withFaults(machine, shut("head"), shut("crank")), { turns: 2 }));
    // No port to the pipes opens, and nothing leaks. [common practice: a closed port passes nothing]
    const ratio = rmsOf(stemOf(closed, "exhaust-pulse")) / rmsOf(stemOf(open, "exhaust-pulse"));
    expect(decibels(ratio)).toBeLessThan(-60);
    expect(closed.beats.length).toBeLessThanOrEqual(4);
  });

  it("check tells the receiver's pressure and closes its books, and neither machine shows a warning", () => {
    for (const name of ["tarnside-compound", "corrie-triple"] as const) {
      const report = checkMachine(preset(name));
      expect(report.warnings).toEqual([]);
      expect(report.massResidualRatio).toBeLessThan(1e-9);
      expect(report.energyResidualRatio).toBeLessThan(1e-9);
      const pressures = report.receiverPressurePa!;
      expect(pressures.length).toBe(name === "corrie-triple" ? 2 : 1);
      // From the boiler down, stage by stage.
      const chain = [report.boilerPressurePa, ...pressures, 13e3];
      for (let i = 1; i < chain.length; i++) expect(chain[i]).toBeLessThan(chain[i - 1]);
      expect(report.meanEffectivePressurePa.every((pa) => pa > 0)).toBe(true);
    }
    expect("receiverPressurePa" in checkMachine(preset("oxmoor-mill"))).toBe(false);
  });
});

describe("triple expansion into a condenser", () => {
  it("makes no beat: its exhaust is silent to the air, and the air pump clicks once a turn instead", () => {
    const machine = preset("corrie-triple");
    expect(eventsOf(machine).beatsPerTurn).toBe(0);
    const made = rendered(request(machine, { turns: 6 }));
    for (const name of ["exhaust-pulse", "exhaust-noise", "exhaust-jet"])
      expect(greatestOf(stemOf(made, name))).toBe(0);
    const pump = stemOf(made, "condenser");
    // Within 30 dB of the mix somewhere, as what is heard must be: here all bands together.
    expect(decibels(rmsOf(pump) / rmsOf(made.mix))).toBeGreaterThan(-30);
    // The valve's click comes at one place of the turn in every turn, over gulp and hiss: by what is new in 5 ms.
    const turn = (60 / 110) * 48_000;
    const cells = 109;
    const energyAt = (place: number) => {
      const first = Math.round((place / cells) * turn);
      let sum = 0;
      for (let i = first + 1; i < Math.min(pump.length, first + turn / cells); i++) sum += (pump[i] - pump[i - 1]) ** 2;
      return sum;
    };
    const turns = Array.from({ length: 5 }, (_, t) =>
      Array.from({ length: cells }, (__, c) => energyAt(t * cells + c)),
    );
    const folded = Array.from({ length: cells }, (_, c) => turns.reduce((sum, energies) => sum + energies[c], 0));
    const click = folded.indexOf(Math.max(...folded));
    for (const energies of turns) {
      const middle = [...energies].sort((x, y) => x - y)[Math.floor(cells / 2)];
      expect(energies[click]).toBeGreaterThan(3 * middle);
    }
  });

  it("is reversed through mid gear by its links, all gears together, and stands when the steam is cut off", () => {
    const machine = preset("corrie-triple");
    const run = runOfText(
      `seconds: 36
controls:
  - { at: 0 s, regulator: 0 %, barring: 8 rpm }
  - { at: 1 s, regulator: 100 %, over: 1 s }
  - { at: 4 s, barring: 0 rpm }
  - { at: 12 s, cutoff: 0 %, over: 2 s }
  - { at: 15 s, cutoff: -60 %, over: 2 s }
  - { at: 25 s, regulator: 0 % }
`,
      machine,
    );
    const shaftDeg = pulsesOf(request(machine, { run })).get("shaftDeg")!;
    const degOf = (seconds: number) => shaftDeg[Math.min(shaftDeg.length - 1, seconds * 48_000)];
    expect(degOf(11) - degOf(9)).toBeGreaterThan(360);
    expect(degOf(24) - degOf(22)).toBeLessThan(-360);
    // Nothing but the screw and its own friction holds it then. [common practice: it runs down]
    expect(Math.abs(degOf(36) - degOf(34))).toBeLessThan(0.5 * Math.abs(degOf(24) - degOf(22)));
  });
});
