import * as z from "zod";
import { quantity, whole } from "./fields.js";
import { isCrankless } from "./pump-defaults.js";
import { orNone } from "./none-word.js";
import type { GivenMachine } from "./machine-schema.js";
import { assumedWord, type Sheet } from "./sheet.js";

/** Engines alike on one boiler, each turning a shaft of its own. */
export interface EngineUnits {
  readonly count: number;
  /** By how much each turns faster than the one before. */
  readonly speedStepRatio: number;
  /** By how much each leads the one before where the first stands at 0. */
  readonly angleRad: number;
}

/** A machine that is one engine, as nearly all are. */
export const ONE_UNIT: EngineUnits = { count: 1, speedStepRatio: 0, angleRad: 0 };

// Tyres turned at different times, about 6 mm on a wheel of 1.2 m. [common practice]
const usualSpeedStepRatio = 0.005;

// Articulated locomotives had two, a few three; speeds drift by the wear of tyres. [common practice]
export const engineUnitsField = orNone(
  z.strictObject({
    count: whole(1, 4, "Engines alike on one boiler, each turning a shaft of its own.").optional(),
    speedStep: quantity("ratio", "-10 %", "10 %", "By how much each turns faster than the one before.").optional(),
    angle: quantity("angle", "-360 deg", "360 deg", "By how much each leads the one before at the start.").optional(),
  }),
).optional();

/** Fills in `engineUnits`; left out, the machine is one engine. */
export function fillEngineUnits(sheet: Sheet, given: GivenMachine): EngineUnits {
  const part = given.engineUnits;
  if (part === undefined) return ONE_UNIT;
  sheet.rule("engineUnits", [], !isCrankless(given), () => {
    return "must be left out for a pump without a crank: units are turned by a shaft each. Describe one pump.";
  });
  const count = sheet.take("engineUnits.count", part.count, () => assumedWord(2, "as of an articulated locomotive"));
  const speedStepRatio = sheet.take("engineUnits.speedStep", part.speedStep, () => ({
    value: usualSpeedStepRatio,
    text: "0.5 %",
    rule: "tyres worn unlike",
    from: [],
  }));
  const angleRad = sheet.take("engineUnits.angle", part.angle, () => ({
    value: 0,
    text: "0 deg",
    rule: "in step at the start",
    from: [],
  }));
  return { count, speedStepRatio, angleRad };
}
