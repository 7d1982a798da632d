import type { Dimension } from "./unit-table.js";
import { formatQuantity, type FormatOptions } from "./units.js";

/** A unit and the size from which it reads well, in the dimension's base unit; the smallest unit starts at 0. */
const READABLE: Readonly<Record<Dimension, readonly (readonly [number, string])[]>> = {
  length: [
    [0, "mm"],
    [1, "m"],
    [10_000, "km"],
  ],
  area: [
    [0, "mm2"],
    [1e-3, "cm2"],
    [1, "m2"],
  ],
  volume: [
    [0, "cm3"],
    [1e-3, "L"],
    [1, "m3"],
  ],
  pressure: [[0, "bar abs"]],
  pressureDifference: [[0, "kPa"]],
  soundPressure: [[0, "Pa"]],
  temperature: [[0, "degC"]],
  temperatureDifference: [[0, "K"]],
  angle: [[0, "deg"]],
  rotationSpeed: [[0, "rpm"]],
  roadSpeed: [[0, "km/h"]],
  ratio: [[0, "%"]],
  mass: [
    [0, "g"],
    [1, "kg"],
    [10_000, "t"],
  ],
  power: [
    [0, "W"],
    [1000, "kW"],
    [1e7, "MW"],
  ],
  massFlow: [
    [0, "g/min"],
    [0.01, "kg/h"],
  ],
  torque: [
    [0, "N m"],
    [1e4, "kN m"],
  ],
  inertia: [
    [0, "g cm2"],
    [1e-4, "kg cm2"],
    [0.1, "kg m2"],
  ],
  time: [
    [0, "ms"],
    [0.1, "s"],
  ],
  level: [[0, "dB"]],
};

/** A value in a unit that suits its size, four significant digits unless told otherwise: for reports, not for reading back. */
export function readableQuantity(value: number, dimension: Dimension, options: FormatOptions = {}): string {
  let unit = READABLE[dimension][0]![1];
  for (const [from, name] of READABLE[dimension]) if (Math.abs(value) >= from) unit = name;
  return formatQuantity(value, dimension, unit, { digits: 4, ...options });
}
