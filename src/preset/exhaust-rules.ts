import type { EngineDescription } from "../engine/engine-description.js";
import { lastStageOf } from "../gear/stages.js";
import type { GivenMachine } from "./machine-schema.js";
import type { Sheet } from "./sheet.js";

/** Piston area over that of the narrowest nozzle in use. [source: Bourne, A Catechism of the Steam Engine, Q320] */
const NARROWEST_NOZZLE = 22;

/** Holds the exhaust against what can be joined together. */
export function applyExhaustRules(sheet: Sheet, given: GivenMachine, engine: EngineDescription): void {
  const { passage, blastPipe, nozzle, smokebox, chimney, condenser } = engine.exhaust;
  const { boreM } = lastStageOf(engine.gear).cylinder;
  const isWrong = (name: string): boolean => !sheet.isSound(name);

  if (condenser !== null) {
    for (const part of ["smokebox", "chimney"] as const) {
      sheet.rule(`exhaust.${part}`, [], engine.exhaust[part] === null, () => {
        return "must be left out beside a condenser, which takes the place of the open end. Keep one of them.";
      });
    }
    const name = "exhaust.condenser.pressure";
    sheet.rule(name, ["boiler.pressure", "ambient.pressure"], condenser.pressurePa < engine.boiler.pressurePa, () => {
      const boiler = sheet.got("boiler.pressure", engine.boiler.pressurePa, "pressure");
      return `must be below the boiler's, ${boiler}, got ${sheet.got(name, condenser.pressurePa, "pressure")}. Lessen it.`;
    });
    sheet.query([name, "ambient.pressure"], condenser.pressurePa >= engine.ambient.pressurePa, () => {
      const got = sheet.got(name, condenser.pressurePa, "pressure");
      return `The condenser's pressure, ${got}, is not below that of the air outside. Was abs left out?`;
    });
  } else {
    if (chimney !== null && smokebox === null && !isWrong("exhaust.smokebox")) {
      sheet.complain(
        "exhaust.chimney",
        "must stand on a smokebox, got none. Add smokebox: {} or use blastPipe for a plain pipe.",
      );
    }
    if (smokebox !== null && chimney === null && !isWrong("exhaust.chimney")) {
      sheet.complain("exhaust.smokebox", "must have a chimney, got none. Add chimney: {} or leave the smokebox out.");
    }
  }

  if (nozzle !== null) {
    const pipe = blastPipe ?? passage;
    const pipeName = blastPipe === null ? "exhaust.passage" : "exhaust.blastPipe";
    if (pipe === null) {
      if (!isWrong("exhaust.blastPipe") && !isWrong("exhaust.passage")) {
        sheet.complain(
          "exhaust.nozzle",
          "must end a pipe, and this exhaust block names none. Add blastPipe: {} or passage: {} beside it.",
        );
      }
    } else {
      const boreName = "exhaust.nozzle.bore";
      sheet.rule(boreName, [`${pipeName}.bore`], nozzle.boreM < pipe.boreM, () => {
        const limit = sheet.got(`${pipeName}.bore`, pipe.boreM, "length");
        return `must be less than the bore of the pipe it ends, ${limit}, got ${sheet.got(boreName, nozzle.boreM, "length")}. Lessen it or widen ${pipeName}.`;
      });
      const name = "exhaust.nozzle.contraction";
      sheet.rule(name, [`${pipeName}.length`], nozzle.contractionM <= pipe.lengthM, () => {
        const limit = sheet.got(`${pipeName}.length`, pipe.lengthM, "length");
        return `must be at most the length of the pipe it ends, ${limit}, got ${sheet.got(name, nozzle.contractionM, "length")}. Shorten it.`;
      });
      const share = (boreM / nozzle.boreM) * (boreM / nozzle.boreM);
      const isNarrow = given.exhaust?.nozzle?.bore !== undefined && share > NARROWEST_NOZZLE;
      sheet.query([boreName, "cylinders.bore"], isNarrow, () => {
        const shown = Number(share.toPrecision(3));
        return `The nozzle has 1/${shown} of a piston's area. Usual are 1/10 to 1/${NARROWEST_NOZZLE}: expect a high back pressure.`;
      });
    }
    sheet.query(
      ["exhaust.chimney.bore", "exhaust.nozzle.bore"],
      chimney !== null && chimney.boreM < nozzle.boreM,
      () => {
        return "The chimney is narrower than the nozzle below it.";
      },
    );
  }
  for (const [name, pipe] of [
    ["exhaust.passage.bore", passage],
    ["exhaust.blastPipe.bore", blastPipe],
  ] as const) {
    sheet.query([name, "cylinders.bore"], pipe !== null && pipe.boreM > 1.5 * boreM, () => {
      return `${name} is wider than one and a half cylinders, ${sheet.got(name, pipe!.boreM, "length")}. Is it in the wrong unit?`;
    });
  }
  sheet.query([], given.exhaust !== undefined && passage === null && blastPipe === null && condenser === null, () => {
    return "The exhaust block names no pipe: the ports open straight to what is left of it.";
  });
}
