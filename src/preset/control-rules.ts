import type { EngineDescription } from "../engine/engine-description.js";
import type { MachineFile } from "./machine-file.js";
import { listed } from "./near-word.js";
import type { GivenControl } from "./run-schema.js";
import type { Sheet } from "./sheet.js";

type Control = Exclude<keyof GivenControl, "at" | "over">;

/** What a control works on, in words, and whether this machine has it. */
const WORKED_ON: Readonly<
  Partial<Record<Control, { readonly what: string; readonly isThere: (engine: EngineDescription) => boolean }>>
> = {
  drains: { what: "drains", isThere: ({ fittings }) => (fittings?.drainAreaM2 ?? 0) > 0 },
  whistle: { what: "whistle", isThere: ({ fittings }) => (fittings?.whistle ?? null) !== null },
  blower: { what: "blower", isThere: ({ plant }) => (plant?.blowerAreaM2 ?? 0) > 0 },
  brake: { what: "brake", isThere: ({ running }) => (running?.brakeTorqueNm ?? 0) > 0 },
  load: {
    what: "load",
    isThere: ({ running, pump }) => (running?.load ?? running?.train ?? null) !== null || pump?.vesselM3 === 0,
  },
  gradient: { what: "train", isThere: ({ running }) => (running?.train ?? null) !== null },
  grip: { what: "rails", isThere: ({ running }) => (running?.train ?? null) !== null },
  barring: { what: "moving parts", isThere: ({ running }) => (running ?? null) !== null },
  fire: { what: "fire", isThere: ({ plant }) => (plant?.fire ?? null) !== null },
  feed: { what: "feed", isThere: ({ plant }) => (plant?.feed ?? null) !== null },
  blowdown: { what: "blow-down cock", isThere: ({ plant }) => (plant?.blowdownAreaM2 ?? 0) > 0 },
  priming: { what: "water to carry over", isThere: ({ workingFluid }) => workingFluid === "steam" },
};

type Controls = readonly (GivenControl | undefined)[];

/** Holds the controls against the machine, and against each other. */
export function applyControlRules(
  sheet: Sheet,
  controls: Controls,
  start: "cold" | "steaming",
  machine: MachineFile,
): void {
  const engine = machine.description;
  const isNamed = (control: Control): boolean => controls.some((one) => one?.[control] !== undefined);

  const missing = (Object.keys(WORKED_ON) as Control[]).filter(
    (control) => isNamed(control) && !WORKED_ON[control]!.isThere(engine),
  );
  if (missing.length > 0) {
    const what = listed(missing.map((control) => WORKED_ON[control]!.what));
    sheet.warn(`Without effect: ${missing.join(", ")}. The machine has no ${what}.`);
  }
  if (engine.pump) applyPumpRules(sheet, controls);
  else if (isNamed("speed")) {
    controls.forEach((control, index) => {
      const name = `controls[${index}].load`;
      sheet.rule(name, [], control?.load === undefined, () => {
        return "must be left out where a speed is given: speed turns the shaft from outside; a load then has nothing to work on. Keep one of them.";
      });
    });
    const idle = (["brake", "gradient", "grip", "barring"] as const).filter(
      (control) => isNamed(control) && !missing.includes(control),
    );
    if (idle.length > 0) {
      sheet.warn(`Without effect: ${idle.join(", ")}. A speed is given, which turns the shaft from outside.`);
    }
  }
  if (start === "cold") applyColdRules(sheet, controls, engine);
}

function applyPumpRules(sheet: Sheet, controls: Controls): void {
  controls.forEach((control, index) => {
    sheet.rule(`controls[${index}].speed`, [], control?.speed === undefined, () => {
      return "must be left out for a pump without a crank: steam and water decide how fast it strokes. Throttle it by its regulator, or by its load.";
    });
  });
}

function applyColdRules(sheet: Sheet, controls: Controls, engine: EngineDescription): void {
  const plant = engine.plant ?? null;
  sheet.rule("start", [], engine.workingFluid === "steam" && plant !== null, () => {
    const why = engine.workingFluid === "air" ? "an air supply" : "a boiler that holds its pressure";
    return `must be steaming with ${why}, which has no fire to be lit, got cold. Write start: steaming.`;
  });
  if (plant === null || engine.workingFluid === "air") return;
  sheet.rule("start", [], plant.fire !== null, () => {
    return "must be steaming where the boiler has no fire to raise steam with, got cold. Give boiler.fire, or write start: steaming.";
  });
  const isNamedSpeed = controls.some((control) => control?.speed !== undefined);
  let isLit = false;
  controls.forEach((control, index) => {
    if (control === undefined) return;
    if ((control.fire ?? 0) > 0) isLit = true;
    const name = `controls[${index}].whistle`;
    sheet.rule(name, ["start"], isLit || (control.whistle ?? 0) === 0, () => {
      return `must wait for steam: the start is cold, and no fire is lit by then, got ${sheet.got(name, control.whistle ?? 0, "ratio")}. Name fire: 100 % in an earlier entry.`;
    });
  });
  sheet.query(["controls", "start"], !isLit && plant.fire !== null, () => {
    return isNamedSpeed
      ? "The start is cold and no control lights the fire: no steam is raised."
      : "The start is cold and no control lights the fire: nothing will move.";
  });
}
