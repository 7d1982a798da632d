import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { fluidStates, makeFluid } from "../../src/engine/engine-fluid.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { millEngine, plainPipe, steamBoiler, toCondenser, withCylinder } from "../engine/descriptions.js";
import { Turning } from "../engine/turning.js";
import { cardVolumes, hyperbolicMeanEffectivePa, idealCard } from "./indicator-ideal-card.js";

const speedRpm = 10;

/** The mill engine without losses, admitting at dead centre, its ports and exhaust far wider than any engine's. */
function slow(
  cutoff: number,
  releaseDeg: number,
  clearanceRatio: number,
  changes: Partial<EngineDescription> = {},
): EngineDescription {
  const base = withCylinder(millEngine({ idealised: true, exhaust: plainPipe(1.2, 1), ...changes }), {
    clearanceRatio,
  });
  return {
    ...base,
    gear: {
      ...base.gear,
      valveGear: {
        kind: "events",
        admission: "outside",
        fullGearCutoffRatio: cutoff,
        leadM: 0,
        releaseRad: (releaseDeg * Math.PI) / 180,
        portLengthM: 4,
        portWidthM: 0.05,
      },
    },
  };
}

// Compression stays below the boiler's pressure in all of them: above it the charge would go back through the steam port.
const superheated = { boiler: steamBoiler(101_325 + 160 * 6894.757, 90) };
const onAir = { workingFluid: "air", boiler: { pressurePa: 6e5, temperatureK: 290, superheatK: 0 } } as const;
const condensing = { exhaust: toCondenser({ lengthM: 1.2, boreM: 1 }, 2e4) };
const engines: readonly (readonly [string, EngineDescription])[] = [
  ["80 psi saturated, cut-off 40 %", slow(0.4, 130, 0.1)],
  ["80 psi saturated, cut-off 25 %", slow(0.25, 125, 0.12)],
  ["80 psi saturated, cut-off 60 %", slow(0.6, 165, 0.12)],
  ["160 psi with 90 K of superheat, cut-off 33 %", slow(0.33, 135, 0.1, superheated)],
  ["80 psi to a condenser at 0.2 bar, cut-off 25 %", slow(0.25, 140, 0.05, condensing)],
  ["air of 6 bar, cut-off 50 %", slow(0.5, 140, 0.12, onAir)],
];

describe("a slow idealised engine with very large ports draws the card that isentropes give, each end and its steam within 1 %", () => {
  // [source: isentropes of IAPWS-IF97 (steam) and of ideal-gas air for the same events; assumptions at `idealCard`;
  // handbook: M70 1911, Table II, c + (c + k) ln((1 + k)/(c + k)), which knows neither early release nor compression]
  it.each(engines)("%s", (name, description) => {
    const fluid = makeFluid(description.workingFluid);
    const { boiler, outsidePa } = fluidStates(description, fluid);
    const turning = new Turning(description, { speedRpm }).settle(3);
    const { motion, ends } = turning.engine;
    // A wide open pipe to a condenser breathes its vapour; the residue is then taken as the engine has it at closure.
    const residueJPerKg: (number | null)[] = motion.ends.map(() => null);
    const wasOpen = motion.ends.map(() => false);
    const account = turning.turns(1, () => {
      for (let i = 0; i < ends.count; i++) {
        const isOpen = motion.exhaustAreaM2[i] > 0;
        if (wasOpen[i] && !isOpen && description.exhaust.condenser !== null) residueJPerKg[i] = ends.enthalpyJPerKg[i];
        wasOpen[i] = isOpen;
      }
    });
    const clearance = description.gear.cylinder.clearanceRatio;
    let steamKg = 0;
    eventsOfTurn(motion, 1).forEach((events, i) => {
      const at = cardVolumes(events, motion.sweptM3[i], clearance);
      const card = idealCard(fluid, boiler, outsidePa, at, residueJPerKg[i]);
      steamKg += card.steamKg;
      const handbookPa = hyperbolicMeanEffectivePa(boiler.pressurePa, outsidePa, events.cutoffStrokeRatio!, clearance);
      const got = account.meanEffectivePa[i];
      const bar = (pa: number) => (pa / 1e5).toFixed(3);
      const percent = (pa: number) => (100 * (got / pa - 1)).toFixed(2);
      console.log(
        `${name}, ${events.end}: ${bar(got)} bar; isentropes ${bar(card.meanEffectivePa)} (${percent(card.meanEffectivePa)} %); ` +
          `handbook ${bar(handbookPa)} (${percent(handbookPa)} %)`,
      );
      expect(card.compressedPa).toBeLessThan(boiler.pressurePa);
      expect(Math.abs(got / card.meanEffectivePa - 1)).toBeLessThan(0.01);
    });
    console.log(`${name}: steam ${(100 * (account.massInKg / steamKg - 1)).toFixed(2)} %`);
    expect(Math.abs(account.massInKg / steamKg - 1)).toBeLessThan(0.01);
  });

  it("the handbook's factor is near where its own assumptions hold: late release, little compression", () => {
    // Full stroke but for the last of it: release close to dead centre leaves out only the toe.
    const description = slow(0.75, 172, 0.05);
    const { boiler, outsidePa } = fluidStates(description, makeFluid("steam"));
    const turning = new Turning(description, { speedRpm }).settle(3);
    const account = turning.turns(1);
    eventsOfTurn(turning.engine.motion, 1).forEach((events, i) => {
      const handbookPa = hyperbolicMeanEffectivePa(boiler.pressurePa, outsidePa, events.cutoffStrokeRatio!, 0.05);
      const ratio = account.meanEffectivePa[i] / handbookPa;
      console.log(`cut-off 75 %, ${events.end}: ${(100 * (ratio - 1)).toFixed(2)} % against the handbook`);
      // Exhaust closes at 308 deg: the corner that compression takes is a few hundredths of the card.
      expect(ratio).toBeGreaterThan(0.93);
      expect(ratio).toBeLessThan(1.0);
    });
  });
});
