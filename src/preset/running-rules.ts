import type { EngineDescription } from "../engine/engine-description.js";
import type { RunningDescription, TrainDescription } from "../engine/running-description.js";
import type { Dimension } from "../quantities/unit-table.js";
import { stagesOf } from "../gear/stages.js";
import type { GivenMachine } from "./machine-schema.js";
import type { Sheet } from "./sheet.js";

// Beyond these a value is legal but odd. [common practice]
const ODD_GRIP_RATIO = 0.4;
const ODD_RAIL_GRADIENT_RATIO = 0.08;
const ODD_GOVERNOR_RATIO = 0.2;
const ODD_RIM_M_PER_S = 40;
const ODD_SLACK_BORES = 0.01;

/** Holds moving iron, load, train and governor against each other. */
export function applyRunningRules(sheet: Sheet, given: GivenMachine, engine: EngineDescription): void {
  const running = engine.running ?? null;
  if (running === null) return;
  sheet.rule("motion.inertia", ["flywheel"], running.inertiaKgM2 > 0, () => {
    return "must be more than nothing, as something must turn, got 0. Give a mass that turns.";
  });
  const { boreM } = engine.gear.cylinder;
  sheet.query(
    ["motion.slack", "cylinders.bore"],
    running.slackM > ODD_SLACK_BORES * boreM && running.slackM > 0.0002,
    () => {
      return `motion.slack of ${sheet.got("motion.slack", running.slackM, "length")} is very much: bearings are taken up long before.`;
    },
  );
  const gaugePa = engine.boiler.pressurePa - engine.ambient.pressurePa;
  const frictionName = "motion.friction";
  sheet.query([frictionName, "boiler.pressure"], gaugePa > 0 && running.frictionPa > 0.5 * gaugePa, () => {
    const got = sheet.got(frictionName, running.frictionPa, "pressureDifference");
    return `${frictionName} of ${got} is more than half of the boiler's pressure: the engine hardly turns itself.`;
  });
  applyFlywheelRules(sheet, given, engine);
  if (running.train !== null) applyTrainRules(sheet, running.train, engine);
  applyGovernorRules(sheet, running, engine);
  applyLoadRules(sheet, given, running, engine);
}

function applyFlywheelRules(sheet: Sheet, given: GivenMachine, engine: EngineDescription): void {
  const diameterM = given.flywheel?.diameter;
  if (diameterM === undefined) return;
  const rimMPerS = (Math.PI * diameterM * Math.abs(engine.speedRpm)) / 60;
  sheet.query(["flywheel.diameter", "speed"], rimMPerS > ODD_RIM_M_PER_S, () => {
    const shown = Number(rimMPerS.toPrecision(3));
    return `The rim of the flywheel runs at ${shown} m/s. Cast iron is not run over ${ODD_RIM_M_PER_S} m/s.`;
  });
}

function applyTrainRules(sheet: Sheet, train: TrainDescription, engine: EngineDescription): void {
  const atMost = (
    name: string,
    value: number,
    limitName: string,
    limit: number,
    dimension: Dimension,
    what: string,
  ): void => {
    // An assumed limit is shown to four digits; a value within that is the limit itself.
    sheet.rule(name, [limitName], value <= limit * (1 + 1e-3), () => {
      const most = sheet.got(limitName, limit, dimension);
      return `must be at most ${what}, ${most}, got ${sheet.got(name, value, dimension)}. Lessen it, or give ${limitName}.`;
    });
  };
  atMost("train.adhesion", train.adhesionKg, "train.engine", train.engineKg, "mass", "the engine's mass");
  atMost(
    "train.slipGrip",
    train.slipRatio,
    "train.grip",
    train.adhesionRatio,
    "ratio",
    "the grip of a wheel that holds",
  );
  sheet.rule("train.mass", ["train.engine"], train.trainKg >= train.engineKg * (1 - 1e-3), () => {
    const least = sheet.got("train.engine", train.engineKg, "mass");
    return `must be at least the engine's mass, ${least}, got ${sheet.got("train.mass", train.trainKg, "mass")}. The engine is counted in it.`;
  });
  const isRail = (engine.running?.gearing ?? null) === null;
  sheet.query(["train.grip"], isRail && train.adhesionRatio > ODD_GRIP_RATIO, () => {
    return `train.grip of ${sheet.got("train.grip", train.adhesionRatio, "ratio")} is much for steel on steel. Usual are 10 to 33 %.`;
  });
  sheet.query(["train.gradient"], isRail && Math.abs(train.gradientRatio) > ODD_RAIL_GRADIENT_RATIO, () => {
    const oneIn = Number((1 / Math.abs(train.gradientRatio)).toPrecision(3));
    return `train.gradient of ${sheet.got("train.gradient", train.gradientRatio, "ratio")} is 1 in ${oneIn}, steeper than wheels climb by adhesion.`;
  });
}

function applyGovernorRules(sheet: Sheet, running: RunningDescription, engine: EngineDescription): void {
  const { governor } = running;
  if (governor === null) return;
  sheet.rule(
    "governor.acts",
    ["valveGear"],
    governor.acts !== "cutoff" || engine.gear.valveGear.kind !== "oscillating",
    () => {
      return "must be regulator for an oscillating cylinder, which has no cut-off to move, got cutoff. Write acts: regulator.";
    },
  );
  const off = governor.speedRpm / Math.abs(engine.speedRpm) - 1;
  sheet.query(["governor.speed", "speed", "wheels"], Math.abs(off) > ODD_GOVERNOR_RATIO, () => {
    const got = sheet.got("governor.speed", governor.speedRpm, "rotationSpeed");
    const own = `${Number(Math.abs(engine.speedRpm).toPrecision(4))} rpm`;
    return `The governor holds ${got}, and the machine's own speed is ${own}: it stands at its one end there.`;
  });
  sheet.query(["governor", "train"], running.train !== null, () => {
    return "A governor beside a train: the driver's regulator and it work against each other.";
  });
}

function applyLoadRules(
  sheet: Sheet,
  given: GivenMachine,
  running: RunningDescription,
  engine: EngineDescription,
): void {
  const { load } = running;
  if (load === null || given.load === undefined) return;
  const { strokeM } = engine.gear.cylinder;
  const pistonsM2 = stagesOf(engine.gear).reduce(
    (sum, { cylinder, cylinderCount }) => sum + cylinderCount * (Math.PI / 4) * cylinder.boreM * cylinder.boreM,
    0,
  );
  const gaugePa = engine.boiler.pressurePa - engine.ambient.pressurePa;
  // No cylinder gives more than full pressure on its whole piston at the longest lever.
  const mostNm = gaugePa * pistonsM2 * (strokeM / 2);
  const name = given.load.power === undefined ? "load.torque" : "load.power";
  sheet.query([name, "load.speed", "cylinders", "boiler.pressure"], gaugePa > 0 && load.torqueNm > mostNm, () => {
    const got =
      given.load?.power === undefined
        ? sheet.got(name, load.torqueNm, "torque")
        : sheet.got(name, given.load.power, "power");
    return `${name} of ${got} is more than the pistons can give with full pressure on them: the shaft stands.`;
  });
}
