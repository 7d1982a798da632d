import { describe, expect, it } from "vitest";
import { ControlTrack } from "../../src/machine/control-track.js";
import { TimedDrive, type SideTracks } from "../../src/machine/drive.js";
import { Machine } from "../../src/machine/machine.js";
import { settle } from "../../src/machine/settle.js";
import { preset } from "../offline/renders.js";

const rateHz = 48_000;
const settings = { sampleRateHz: rateHz, fidelity: 4, seed: 1, distanceM: 7.5 } as const;
const hold = (value: number) => new ControlTrack(value, []);

interface Played {
  readonly stems: Float64Array[];
  readonly names: readonly string[];
  /** Shaft angle at the end of every stretch of `stretchS`. */
  readonly angles: number[];
}

const stretchS = 0.01;

function play(machine: Machine, seconds: number): Played {
  settle(machine, 0, 0);
  const block = Math.round(stretchS * rateHz);
  const count = Math.round(seconds / stretchS);
  const stems = machine.stemNames.map(() => new Float64Array(block * count));
  const angles: number[] = [];
  for (let b = 0; b < count; b++) {
    machine.process(
      stems.map((stem) => stem.subarray(b * block, (b + 1) * block)),
      block,
    );
    angles.push(machine.engine.record.shaftRad);
  }
  return { stems, names: machine.stemNames, angles };
}

const rms = (samples: Float64Array) => Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

/** A machine let go by itself, and the same machine turned from outside along the very speed that it took. */
function bothWays(name: Parameters<typeof preset>[0], seconds: number, side: SideTracks) {
  const { description } = preset(name);
  const regulator = () => new ControlTrack(0, [{ atS: 0.6, overS: 0.5, value: 0.7 }]);
  const cutoff = 0.7;
  // Speed tick by tick, as straight lines from one to the next.
  const itself = new Machine(
    description,
    { ...settings, turnsItself: true },
    new TimedDrive(hold(0), regulator(), hold(cutoff), side),
  );
  const { tickS } = itself;
  const path: { atS: number; overS: number; value: number }[] = [];
  const { advance } = itself.iron;
  let last = 0;
  itself.iron.advance = (drive) => {
    advance.call(itself.iron, drive);
    const angle = itself.iron.running!.shaft.angleRad;
    const endS = itself.tick * tickS;
    if (endS > 0) {
      path.push({ atS: endS, overS: 0, value: ((angle - last) / tickS) * (30 / Math.PI) });
      last = angle;
    }
  };
  const free = play(itself, seconds);
  // Each speed holds for the tick that ends at its time.
  const stairs = path.map(({ value }, i) => ({ atS: tickS * i + 1e-9, overS: 0, value }));
  const turned = new Machine(
    description,
    { ...settings, turnsItself: false },
    new TimedDrive(new ControlTrack(0, stairs), regulator(), hold(cutoff)),
  );
  return { free, led: play(turned, seconds) };
}

describe("a machine that turns itself", () => {
  it.each([
    ["harrow-tank", 8, {}],
    // Before its governor takes the regulator in hand.
    ["oxmoor-mill", 8, { barring: new ControlTrack(5, [{ atS: 4, overS: 0, value: 0 }]), load: hold(0.3) }],
  ] as const)("%s sounds as it does when led along the same speed, within 0.1 dB", (name, seconds, side) => {
    const { free, led } = bothWays(name, seconds, side);
    const turns = free.angles.at(-1)! / (2 * Math.PI);
    expect(turns).toBeGreaterThan(1);
    expect(Math.abs(led.angles.at(-1)! - free.angles.at(-1)!)).toBeLessThan(0.01);
    for (const stem of ["exhaust-pulse", "exhaust-noise", "exhaust-jet", "inlet", "leaks"]) {
      const s = free.names.indexOf(stem);
      const [a, b] = [rms(free.stems[s]), rms(led.stems[s])];
      expect(Math.abs(20 * Math.log10(a / b)), `${name}: ${stem}`).toBeLessThan(0.1);
    }
  });

  it("stands until it is let go, and until the regulator is opened", () => {
    const { free } = bothWays("harrow-tank", 1.5, {});
    expect(free.angles[8]).toBe(0);
    expect(free.angles.at(-1)).toBeGreaterThan(0);
  });
});
