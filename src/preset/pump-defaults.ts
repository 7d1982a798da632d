import type { PumpDescription } from "../engine/direct-acting.js";
import type { CylinderGeometry, TrippedGear } from "../gear/gear-description.js";
import type { GivenMachine, WrittenSpeed } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Assumed, type Sheet } from "./sheet.js";

/** Proportions of pumps without a crank where the owner does not say. */
export const PUMP_DEFAULTS = {
  /** Mean speed of the pistons, by which valves and supply are sized, 60 ft/min. [common practice: boiler feed 50 to 100 ft/min] */
  pistonMPerS: 0.3,
  /** Plunger over steam bore: 6 x 4 in. [common practice: boiler feed pumps 1.5 to 1] */
  waterBores: 2 / 3,
  /** Moving mass over swept volume of an end, kg/m3: twice that of an engine's piston, rod and crosshead, for plunger and water. [common practice] */
  movingKgPerM3: 6000,
  /** Lost in the water valves at 0.5 m/s, 4 m of water. [common practice] */
  valveLossPa: 40_000,
  /** Friction over the boiler's pressure above the air. [common practice: mechanical efficiency 80 to 90 % in good order] */
  frictionShare: 0.1,
  /** [common practice: the valve waits through the middle half of the stroke, to be thrown at its end] */
  lostMotionRatio: 0.55,
  /** The same of a single pump, whose pilot is tripped just before the end. [common practice] */
  singleLostMotionRatio: 0.85,
  /** Speed of steam through the throttle, full open, at the strokes it may be expected to make. [common practice: near the greatest that a pump is let run at] */
  throttleMPerS: 250,
  /** Next to none, so that one port is always open. [common practice] */
  steamLapRatio: 0.05,
  /** [common practice: the piston covers the exhaust port an eighth of the stroke before its end] */
  cushionRatio: 0.12,
  /** [common practice: dash-relief valves a little open] */
  cushionLeakRatio: 0.08,
  /** [common practice: thrown in less than a tenth of a second] */
  throwOverS: 0.08,
} as const;

/** Plunger speed at which the loss in the water valves is told. [common practice: 100 ft/min] */
const LOSS_AT_M_PER_S = 0.5;

/**
 * Double strokes in a minute that a pump without a crank is expected to make, as `speed`: as written, or by the usual speed
 * of its pistons. Ports and supply are sized by it; how fast it strokes is for steam and water to decide.
 */
export function strokesWritten(sheet: Sheet, given: GivenMachine): WrittenSpeed {
  const strokeM = given.cylinders?.stroke ?? 0.4;
  const written = sheet.take<WrittenSpeed>("speed", given.speed, () => {
    const rpm = Math.min(6000, Math.max(1, (60 * PUMP_DEFAULTS.pistonMPerS) / (2 * strokeM)));
    const { text, rule, from } = assumedQuantity(
      rpm,
      "rotationSpeed",
      "double strokes in a minute at 0.3 m/s, for sizes alone",
      ["cylinders.stroke"],
    );
    return { value: { rpm }, text, rule, from };
  });
  sheet.rule("speed", [], "rpm" in written && written.rpm >= 0, () => {
    return "must be in rpm and not negative for a pump without a crank: the double strokes it may be expected to make. Or leave it out.";
  });
  return "rpm" in written ? { rpm: Math.abs(written.rpm) } : { rpm: 60 };
}

type GivenTripped = Extract<NonNullable<GivenMachine["valveGear"]>, { kind: "tripped" }>;

/** Whether the pistons trip the valves, so that there is no crank. */
export function isCrankless(given: GivenMachine): boolean {
  return given.valveGear === undefined ? given.pump !== undefined : given.valveGear.kind === "tripped";
}

/** Fills in what a tripped gear has beside its ports. */
export function fillTripped(
  sheet: Sheet,
  gear: Partial<GivenTripped>,
  ports: Pick<TrippedGear, "portLengthM" | "portWidthM">,
  isSingle: boolean,
): TrippedGear {
  const share = (key: "lostMotion" | "steamLap" | "cushion" | "cushionLeak", ratio: number, rule: string): number =>
    sheet.take(`valveGear.${key}`, gear[key], () => assumedQuantity(ratio, "ratio", rule));
  return {
    kind: "tripped",
    ...ports,
    lostMotionRatio: share(
      "lostMotion",
      isSingle ? PUMP_DEFAULTS.singleLostMotionRatio : PUMP_DEFAULTS.lostMotionRatio,
      "the valve is moved towards the stroke's end",
    ),
    steamLapRatio: share("steamLap", PUMP_DEFAULTS.steamLapRatio, "next to none, so that one port is always open"),
    cushionRatio: share("cushion", PUMP_DEFAULTS.cushionRatio, "an eighth of the stroke before its end"),
    cushionLeakRatio: share("cushionLeak", PUMP_DEFAULTS.cushionLeakRatio, "relief of the cushion a little open"),
    throwOverS: sheet.take("valveGear.throwOver", gear.throwOver, () =>
      assumedQuantity(PUMP_DEFAULTS.throwOverS, "time", "usual of valves thrown by steam"),
    ),
  };
}

/** The throttle of a pump without a crank, full open: by how fast it is to stroke, for nothing else holds it back. */
export function assumedThrottle(cylinder: CylinderGeometry, count: number, speedRpm: number): Assumed<number> {
  const pistonMPerS = (2 * cylinder.strokeM * speedRpm) / 60;
  const areaM2 = (count * (Math.PI / 4) * cylinder.boreM * cylinder.boreM * pistonMPerS) / PUMP_DEFAULTS.throttleMPerS;
  const from = ["cylinders.bore", "cylinders.stroke", "cylinders.count", "speed"];
  return assumedQuantity(areaM2, "area", `steam at ${PUMP_DEFAULTS.throttleMPerS} m/s for that many strokes`, from);
}

const CRANKED_BLOCKS = ["motion", "flywheel", "load", "train", "governor", "gearing", "brake"] as const;

/** Fills in `pump` and holds it against the rest; null where there is a crank. */
export function fillPump(
  sheet: Sheet,
  given: GivenMachine,
  cylinder: CylinderGeometry,
  gaugePa: number,
): PumpDescription | null {
  if (!isCrankless(given)) {
    sheet.rule("pump", ["valveGear"], given.pump === undefined, () => {
      return "must be left out where a crank moves the valves: give it a load instead. Or write valveGear: { kind: tripped }.";
    });
    return null;
  }
  for (const block of CRANKED_BLOCKS) {
    sheet.rule(block, [], given[block] === undefined, () => {
      return "must be left out for a pump without a crank, which has no shaft. What it works against stands under pump.";
    });
  }
  sheet.rule("wheels", [], given.wheels === undefined, () => {
    return "must be left out for a pump without a crank, which turns none. Leave out the block.";
  });
  sheet.rule("kind", [], given.kind === undefined || given.kind === "pump", () => {
    return `must be pump where the pistons trip the valves, as there is no crank, got ${given.kind}. Write kind: pump.`;
  });
  const part = given.pump ?? {};
  const waterBoreM = sheet.take("pump.waterBore", part.waterBore, () =>
    assumedQuantity(PUMP_DEFAULTS.waterBores * cylinder.boreM, "length", "two thirds of the steam bore", [
      "cylinders.bore",
    ]),
  );
  const liftPa = sheet.take("pump.lift", part.lift, () =>
    assumedQuantity(Math.max(0, gaugePa), "pressureDifference", "it feeds its own boiler", ["boiler.pressure"]),
  );
  const vesselM3 = sheet.isNone("pump.airVessel")
    ? 0
    : sheet.take("pump.airVessel", part.airVessel, () => ({
        ...assumedWord(0, "its delivery is open, against the lift"),
        text: "none",
      }));
  const movingKg = sheet.take("pump.movingMass", part.movingMass, () => {
    const sweptM3 = (Math.PI / 4) * cylinder.boreM * cylinder.boreM * cylinder.strokeM;
    const rule = "6 g for each cm3 of swept volume, water that goes along counted";
    return assumedQuantity(PUMP_DEFAULTS.movingKgPerM3 * sweptM3, "mass", rule, ["cylinders.bore", "cylinders.stroke"]);
  });
  const valveLossPa = sheet.take("pump.valveLoss", part.valveLoss, () =>
    assumedQuantity(PUMP_DEFAULTS.valveLossPa, "pressureDifference", "some 4 m of water at 0.5 m/s"),
  );
  const frictionPa = sheet.take("pump.friction", part.friction, () =>
    assumedQuantity(
      PUMP_DEFAULTS.frictionShare * Math.max(0, gaugePa),
      "pressureDifference",
      "a tenth of the boiler's pressure",
      ["boiler.pressure"],
    ),
  );
  const areaRatio = (waterBoreM / cylinder.boreM) * (waterBoreM / cylinder.boreM);
  sheet.query(
    ["pump.lift", "pump.waterBore", "cylinders.bore", "boiler.pressure", "pump.friction"],
    vesselM3 === 0 && liftPa * areaRatio + frictionPa >= gaugePa,
    () => {
      const got = sheet.got("pump.lift", liftPa, "pressureDifference");
      return `pump.lift of ${got} holds the pistons against all the steam there is: the pump stands.`;
    },
  );
  return { waterBoreM, liftPa, vesselM3, movingKg, valveLossPa, lossAtMPerS: LOSS_AT_M_PER_S, frictionPa };
}
