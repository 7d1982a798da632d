import { describe, expect, it } from "vitest";
import { TimedDrive } from "../../src/machine/drive.js";
import { ControlTrack } from "../../src/machine/control-track.js";
import { Machine } from "../../src/machine/machine.js";
import { settle } from "../../src/machine/settle.js";
import { unsettledWarnings } from "../../src/offline/trouble-warnings.js";
import { preset, pulsesOf, rendered, request, runOfText } from "../offline/renders.js";

const settings = { sampleRateHz: 48_000, fidelity: 4, seed: 1, distanceM: 7.5 } as const;

/** A steady shaft that counts the moments it is asked for, one a tick. */
class CountedDrive extends TimedDrive {
  count = 0;
  override advance(clockS: Float64Array): void {
    super.advance(clockS);
    this.count = (this.count ?? 0) + 1;
  }
}

function settled(speedRpm: number, leadTicks = 6000) {
  const drive = new CountedDrive(
    new ControlTrack(speedRpm, []),
    new ControlTrack(1, []),
    new ControlTrack(Math.sign(speedRpm), []),
  );
  const machine = new Machine(preset("pocket-wobbler").description, settings, drive);
  drive.count = 0;
  const how = settle(machine, speedRpm, leadTicks);
  return { machine, how, runS: drive.count * machine.tickS };
}

describe("running in", () => {
  it.each([-0.1, 2.5])("at %s rpm takes a minute of the machine's own time and not three turns", (rpm) => {
    const { how, runS, machine } = settled(rpm);
    // Beside the minute there are 0.3 s with sound before the lead.
    expect(runS).toBeGreaterThan(60);
    expect(runS).toBeLessThan(60.5);
    // One turn a minute for each rpm.
    expect(how.turns).toBeCloseTo(Math.abs(rpm), 9);
    // Nothing was compared in a tenth of a turn; two turns were in two and a half.
    expect(Number.isFinite(how.changeRatio)).toBe(rpm > 2);
    expect(machine.engine.record.shaftRad).toBeCloseTo((machine.tick * machine.tickS * rpm * Math.PI) / 30, 6);
  });

  it("says that a shaft this slow has not been seen to repeat, in a finite number of turns", () => {
    const [warning] = unsettledWarnings({ turns: 0.1000001, changeRatio: Infinity, isSettled: false });
    expect(warning).toContain("60 s and 0.1 turns, too few to tell");
    expect(unsettledWarnings({ turns: 40, changeRatio: 0.0123, isSettled: false })).toEqual([
      "After 40 turns of running in, a turn still differed from the last by 1.2 %.",
    ]);
    expect(unsettledWarnings({ turns: 5, changeRatio: 1e-4, isSettled: true })).toEqual([]);
  });

  it("leaves the clock at the lead, the shaft where steady running brings it to 0 at time 0, a turn more at most", () => {
    for (const rpm of [700, -600, 60]) {
      const { machine, how, runS } = settled(rpm);
      expect(how.isSettled).toBe(true);
      expect(machine.tick).toBeLessThanOrEqual(-6000);
      expect(machine.tick).toBeGreaterThan(-6200);
      expect(machine.engine.record.shaftRad).toBeCloseTo((machine.tick * machine.tickS * rpm * Math.PI) / 30, 6);
      expect(runS).toBeLessThan(((how.turns + 1) * 60) / Math.abs(rpm) + 0.35);
    }
  });
});

describe("a machine found cold with its regulator open", () => {
  // Before the fire has made steam there is air at the pressure outside, in boiler and cylinders alike. [common practice]
  it.each(["oxmoor-mill", "tarn-duplex"] as const)("%s: stands full of air, and nothing is heard of steam", (name) => {
    const machine = preset(name);
    const run = runOfText("seconds: 0.5\nstart: cold\ncontrols: [{ at: 0 s, fire: 100 %, regulator: 100 % }]", machine);
    const asked = request(machine, { run });
    const pressures = pulsesOf(asked);
    const ambientPa = machine.description.ambient.pressurePa;
    for (const end of ["c1HeadPressurePa", "c1CrankPressurePa"]) {
      for (const pa of pressures.get(end)!) expect(Math.abs(pa / ambientPa - 1)).toBeLessThan(1e-3);
    }
    expect(rendered(asked).beats).toEqual([]);
  });
});
