import type { EngineDescription } from "../engine/engine-description.js";
import { SMALL_BORE_M } from "./cylinder-defaults.js";
import type { GivenMachine, MachineKind, WrittenSpeed } from "./machine-schema.js";
import type { Sheet } from "./sheet.js";

/** Slowest and fastest shaft either way, for complaints. [common practice] */
export const SPEED_LIMITS_RPM = { least: 1, most: 6000 } as const;

/** Mean piston speed beyond which a unit must be wrong; the fastest steam engines reach about 12. [common practice] */
export const MOST_PISTON_SPEED_M_PER_S = 50;

// Beyond these a value is legal but odd. [common practice]
const ODD_SMALL_GAUGE_PA = 25e5;
const ODD_PISTON_SPEED_M_PER_S = 10;

// Levels, beats and power are judged at a machine's own speed; at none there is nothing to judge.
const STANDING_WAY_OUT =
  "Give its working speed; it can stand still in a run file, or be rendered with --speed '0 rpm'.";

/** Turns of a shaft on wheels of this diameter, rpm; signs kept. */
export function rpmOfRoadSpeed(speedMPerS: number, wheelDiameterM: number): number {
  return (60 * speedMPerS) / (Math.PI * wheelDiameterM);
}

/** Shaft speed of a written speed, `leastRpm` or more either way. Complains where a road speed has no wheels to stand on, or the shaft stands or races. */
export function shaftSpeedRpm(
  sheet: Sheet,
  name: string,
  written: WrittenSpeed,
  wheelDiameterM: number | null,
  leastRpm: number,
): number {
  const standIn = 60;
  let rpm: number;
  if ("rpm" in written) rpm = written.rpm;
  else if (wheelDiameterM === null) {
    if (sheet.isSound("wheels", "wheels.diameter")) {
      sheet.complain(
        name,
        "must be in rpm, Hz or rad/s where there are no wheels. Add wheels: { diameter: 5 ft } or give rpm.",
      );
    }
    sheet.spoil(name);
    return standIn;
  } else rpm = rpmOfRoadSpeed(written.mPerS, wheelDiameterM);
  const size = Math.abs(rpm);
  const { most } = SPEED_LIMITS_RPM;
  if (size >= leastRpm && size <= most * (1 + 1e-12)) return rpm;
  if (sheet.isSound(name, "wheels.diameter")) {
    const turns = "rpm" in written ? "" : `, that is ${Number(rpm.toPrecision(4))} rpm`;
    const got = `${sheet.got(name, rpm, "rotationSpeed")}${turns}`;
    const wayOut = rpm === 0 ? STANDING_WAY_OUT : "Check the unit.";
    sheet.complain(name, `must be between ${leastRpm} rpm and ${most} rpm, either way, got ${got}. ${wayOut}`);
  }
  sheet.spoil(name);
  return standIn;
}

/** Looks at the machine at its own speed and pressure. */
export function applySpeedRules(
  sheet: Sheet,
  given: GivenMachine,
  kind: MachineKind,
  engine: EngineDescription,
  pistonSpeedMPerS: number,
): void {
  const shown = `${Number(pistonSpeedMPerS.toPrecision(3))} m/s`;
  sheet.rule("speed", ["cylinders.stroke", "wheels"], pistonSpeedMPerS <= MOST_PISTON_SPEED_M_PER_S, () => {
    const got = sheet.got("speed", engine.speedRpm, "rotationSpeed");
    return `must keep the mean piston speed within ${MOST_PISTON_SPEED_M_PER_S} m/s, got ${got}, which makes it ${shown}. Check speed and stroke.`;
  });
  const isFast = pistonSpeedMPerS > ODD_PISTON_SPEED_M_PER_S && pistonSpeedMPerS <= MOST_PISTON_SPEED_M_PER_S;
  sheet.query(["speed", "cylinders.stroke"], isFast, () => {
    return `The mean piston speed is ${shown} at that speed. Usual are 1 to 6 m/s, rarely over 10.`;
  });
  const boreM = engine.gear.cylinder.boreM;
  const gaugePa = engine.boiler.pressurePa - engine.ambient.pressurePa;
  const isSmall = kind === "model" || boreM < SMALL_BORE_M;
  sheet.query(["boiler.pressure", "cylinders.bore"], isSmall && gaugePa > ODD_SMALL_GAUGE_PA, () => {
    const got = sheet.got("boiler.pressure", engine.boiler.pressurePa, "pressure");
    const meant = /^([\d./ ]+?)\s*bar\b/.exec(got)?.[1];
    const wayOut = meant === undefined ? "" : ` Did you mean ${meant} psi?`;
    return `boiler.pressure of ${got} is high for so small an engine.${wayOut}`;
  });
  const leaksGiven =
    (given.leaks?.valve ?? 0) > 0 || (given.leaks?.rings ?? 0) > 0 || (given.leaks?.regulator ?? 0) > 0;
  sheet.query(["idealised"], engine.idealised && leaksGiven, () => "leaks are not used: an idealised engine has none.");
}
