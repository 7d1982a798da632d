import type { EngineDescription } from "../engine/engine-description.js";
import type { Sheet } from "./sheet.js";
import { portAreaM2 } from "./valve-defaults.js";

/** Warns of leaks wider than what they leak past opens. */
export function applyLeakRules(sheet: Sheet, engine: EngineDescription): void {
  if (engine.idealised) return;
  const portM2 = portAreaM2(engine.gear.valveGear);
  const port = `${Number((1e6 * portM2).toPrecision(3))} mm2`;
  for (const [name, areaM2] of [
    ["leaks.valve", engine.leaks.valveM2],
    ["leaks.rings", engine.leaks.ringsM2],
  ] as const) {
    sheet.query([name, "valveGear", "cylinders.bore"], areaM2 > portM2, () => {
      return `${name} of ${sheet.got(name, areaM2, "area")} is more than a whole steam port, ${port}. Is it in the wrong unit?`;
    });
  }
}
