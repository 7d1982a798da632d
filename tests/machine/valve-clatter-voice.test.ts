import { describe, expect, it } from "vitest";
import { ValveClatterVoice } from "../../src/machine/valve-clatter-voice.js";
import { NoisePeriod } from "../../src/quantities/random.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { locomotive } from "../engine/descriptions.js";
import { energy, fittings, making, peak, rowS, sounded } from "./voice-rig.js";

const description = {
  ...locomotive(),
  fittings: fittings({ valvesLift: true, sniftingAreaM2: 1.5e-3, reliefAreaM2: 8e-4, reliefPa: 1.4e6 }),
};

/** Trapped steam lifts each valve twice a turn for an eighth of it, one turn a second. */
function lifting(record: ReturnType<typeof making>["record"], peakPa: number) {
  return (timeS: number): void => {
    for (let c = 0; c < 2; c++) {
      const turns = 2 * (timeS + 0.25 * c);
      const share = 4 * (turns - Math.floor(turns));
      record.valveLiftPa[c] = share < 1 ? peakPa * Math.sin(Math.PI * share) : 0;
    }
  };
}

describe("valve clatter", () => {
  it("is silent and idle while steam holds the valves on their faces", () => {
    const voice = new ValveClatterVoice(making(description));
    expect(peak(sounded(voice, 500, () => undefined))).toBe(0);
    expect(voice.isIdle).toBe(true);
  });

  // Common practice: slide valves slap when drifting notched up; below beats of 8 Pa, above the rods' 0.03 Pa of slow drifting.
  it("slaps with every lift when drifting, the harder the more it is lifted", () => {
    const loudness = [5e3, 2e4, 8e4].map((peakPa) => {
      const one = making(description);
      return peak(sounded(new ValveClatterVoice(one), 750, lifting(one.record, peakPa)));
    });
    expect(loudness[0]).toBe(0);
    expect(loudness[1]).toBeGreaterThan(0.03);
    expect(loudness[2]).toBeGreaterThan(loudness[1]);
    expect(loudness[2]).toBeLessThan(1);
  });

  it("has no valve to lift where the machine's valves cannot, and is silent for an oscillating cylinder", () => {
    const one = making({ ...description, fittings: fittings({ valvesLift: false }) });
    expect(peak(sounded(new ValveClatterVoice(one), 300, lifting(one.record, 8e4)))).toBe(0);
    const { gear } = description;
    const swinging = making({
      ...description,
      gear: {
        ...gear,
        valveGear: { kind: "oscillating", portDiameterM: 0.04, portRadiusM: 0.2, pivotDistanceM: 1 },
      },
    });
    expect(peak(sounded(new ValveClatterVoice(swinging), 300, lifting(swinging.record, 8e4)))).toBe(0);
  });

  it("rattles on while the snifting valve draws, and stops with the stream", () => {
    const one = making(description);
    const voice = new ValveClatterVoice(one);
    const drawing = sounded(voice, 750, () => {
      one.record.sniftKgPerS = 0.03;
      one.record.sniftMPerS = 100;
    });
    for (let part = 1; part < 4; part++)
      expect(peak(drawing.subarray(24_000 * part, 24_000 * (part + 1)))).toBeGreaterThan(1e-3);
    expect(peak(drawing)).toBeLessThan(0.5);
    one.record.sniftKgPerS = 0;
    const after = sounded(voice, 1500, () => undefined);
    expect(energy(after.subarray(96_000))).toBeLessThan(1e-12 * energy(drawing));
    expect(voice.isIdle).toBe(true);
  });

  it("rattles the relief valve of the end that blows", () => {
    const one = making(description);
    const blown = sounded(new ValveClatterVoice(one), 200, (timeS) => {
      one.record.reliefKgPerS[2] = 0.3 * Math.max(0, Math.sin(40 * timeS));
    });
    expect(peak(blown)).toBeGreaterThan(1e-3);
  });

  it("allocates less than half a byte per sample", () => {
    const one = making(description);
    const voice = new ValveClatterVoice(one);
    const lift = lifting(one.record, 3e4);
    const times = Float64Array.from({ length: 16 * 600 }, (_, row) => row * rowS);
    one.record.sniftKgPerS = 0.03;
    one.record.sniftMPerS = 100;
    let row = 0;
    const chunk = (): void => {
      for (let r = 0; r < 16; r++) {
        row = (row + 1) % times.length;
        if (row % 100 === 0) lift(times[row]);
        voice.take(r);
      }
      voice.process();
    };
    expect(allocatedBytesPerCall(chunk, 500) / 128).toBeLessThan(0.5);
  });

  // A loop is played end to end: its second pass must be its third.
  it("repeats with a loop though the snifting valve's rattle keeps no time with the shaft", () => {
    const noisePeriod = new NoisePeriod();
    noisePeriod.samples = 48_008;
    const one = making(description, { noisePeriod });
    const voice = new ValveClatterVoice(one);
    const fill = (timeS: number): void => {
      const inLoop = timeS % (48_008 / 48_000);
      one.record.sniftKgPerS = 0.03 * (1 + 0.5 * Math.sin((inLoop * 2 * Math.PI * 4 * 48_000) / 48_008));
      one.record.sniftMPerS = 100;
    };
    const made = sounded(voice, Math.ceil((4 * 48_008) / 128), fill);
    let [difference, level] = [0, 0];
    for (let i = 0; i < 48_008; i++) {
      difference += (made[2 * 48_008 + i] - made[48_008 + i]) ** 2;
      level += made[48_008 + i] ** 2;
    }
    expect(level).toBeGreaterThan(0);
    expect(difference).toBeLessThan(1e-12 * level);
  });
});
