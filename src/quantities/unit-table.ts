import { ZERO_CELSIUS_K } from "./constants.js";
import { MECHANICAL_UNITS } from "./mechanical-units.js";
import {
  FOOT_M,
  INCH_M,
  INCH_OF_MERCURY_PA,
  KILOGRAM_FORCE_N,
  POUND_FORCE_N,
  unit,
  type DimensionUnits,
} from "./unit-definition.js";

export type { DimensionUnits, Unit } from "./unit-definition.js";

/**
 * What a written value can be. `temperature` is a point on the scale, `temperatureDifference` a width on it;
 * `pressureDifference` and `soundPressure` are never gauge.
 */
export type Dimension =
  | "length"
  | "area"
  | "volume"
  | "pressure"
  | "pressureDifference"
  | "soundPressure"
  | "temperature"
  | "temperatureDifference"
  | "angle"
  | "rotationSpeed"
  | "roadSpeed"
  | "ratio"
  | "mass"
  | "power"
  | "massFlow"
  | "torque"
  | "inertia"
  | "time"
  | "level";

/** Every unit that may be written. [source: NIST SP 811 (2008), appendix B, exact definitions] */
export const DIMENSION_UNITS: Readonly<Record<Dimension, DimensionUnits>> = {
  length: {
    noun: "a length",
    baseUnit: "m",
    units: [
      unit("mm", [1, 1000], ["millimetre", "millimetres"]),
      unit("cm", [1, 100]),
      unit("m", 1, ["metre", "metres"]),
      unit("km", 1000),
      unit("in", [127, 5000], ["inch", "inches", '"', "″", "''"]),
      unit("ft", [381, 1250], ["foot", "feet", "'", "′"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "430 mm or 17 in",
  },
  area: {
    noun: "an area",
    baseUnit: "m2",
    units: [
      unit("mm2", [1, 1e6], ["mm²", "mm^2", "sq mm"]),
      unit("cm2", [1, 1e4], ["cm²", "cm^2", "sq cm"]),
      unit("m2", 1, ["m²", "m^2", "sq m"]),
      unit("in2", INCH_M * INCH_M, ["in²", "in^2", "sq in"]),
      unit("ft2", FOOT_M * FOOT_M, ["ft²", "ft^2", "sq ft"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "40 cm2",
  },
  volume: {
    noun: "a volume",
    baseUnit: "m3",
    units: [
      unit("mm3", [1, 1e9], ["mm³", "mm^3"]),
      unit("cm3", [1, 1e6], ["cm³", "cm^3", "cc", "mL", "ml"]),
      unit("L", [1, 1000], ["l", "litre", "litres", "dm3", "dm³"]),
      unit("m3", 1, ["m³", "m^3"]),
      unit("in3", INCH_M * INCH_M * INCH_M, ["in³", "in^3", "cu in"]),
      unit("ft3", FOOT_M * FOOT_M * FOOT_M, ["ft³", "ft^3", "cu ft"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "12 L",
  },
  pressure: {
    noun: "a pressure",
    baseUnit: "Pa",
    units: [
      unit("Pa", 1),
      unit("hPa", 100),
      unit("kPa", 1000),
      unit("MPa", 1e6),
      unit("mbar", 100),
      unit("bar", 1e5),
      unit("psi", POUND_FORCE_N / (INCH_M * INCH_M), [
        "lb/in2",
        "lbf/in2",
        "lb/in²",
        "lbf/in²",
        "lb/sq in",
        "lbf/sq in",
      ]),
      unit("kg/cm2", KILOGRAM_FORCE_N * 1e4, ["kgf/cm2", "kg/cm²", "kgf/cm²", "kp/cm2", "kp/cm²"]),
      unit("inHg", INCH_OF_MERCURY_PA, ["in Hg", "in.Hg", '"Hg']),
      unit("mmHg", INCH_OF_MERCURY_PA / 25.4, ["mm Hg"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: false,
    example: "10 bar, 150 psi or 0.15 bar abs",
  },
  pressureDifference: {
    noun: "a difference of pressure",
    baseUnit: "Pa",
    units: [
      unit("Pa", 1),
      unit("kPa", 1000),
      unit("mbar", 100),
      unit("bar", 1e5),
      unit("psi", POUND_FORCE_N / (INCH_M * INCH_M), ["lb/in2", "lbf/in2", "lb/in²", "lbf/in²"]),
      unit("kg/cm2", KILOGRAM_FORCE_N * 1e4, ["kgf/cm2", "kg/cm²", "kgf/cm²"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "1 psi or 7 kPa",
  },
  soundPressure: {
    noun: "a sound pressure",
    baseUnit: "Pa",
    units: [unit("Pa", 1), unit("hPa", 100), unit("kPa", 1000)],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "20 Pa",
  },
  temperature: {
    noun: "a temperature",
    baseUnit: "K",
    units: [
      unit("K", 1, ["kelvin"]),
      unit("degC", 1, ["°C", "℃", "C", "deg C"], ZERO_CELSIUS_K),
      unit("degF", [5, 9], ["°F", "℉", "F", "deg F"], ZERO_CELSIUS_K - 160 / 9),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: false,
    example: "15 degC or 300 K",
  },
  temperatureDifference: {
    noun: "a difference of temperature",
    baseUnit: "K",
    units: [
      unit("K", 1, ["kelvin"]),
      unit("degC", 1, ["°C", "℃", "C", "deg C"]),
      unit("degF", [5, 9], ["°F", "℉", "F", "deg F"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "80 K",
  },
  angle: {
    noun: "an angle",
    baseUnit: "rad",
    units: [unit("deg", [Math.PI, 180], ["°", "degree", "degrees"]), unit("rad", 1, ["radian", "radians"])],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "90 deg",
  },
  rotationSpeed: {
    noun: "a speed of rotation",
    baseUnit: "rpm",
    units: [unit("rpm", 1, ["rev/min", "r/min"]), unit("Hz", 60, ["rev/s", "r/s"]), unit("rad/s", [30, Math.PI])],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "90 rpm",
  },
  roadSpeed: {
    noun: "a road speed",
    baseUnit: "m/s",
    units: [
      unit("m/s", 1),
      unit("km/h", [1000, 3600], ["kph", "kmh", "kmph"]),
      unit("mph", [1609.344, 3600], ["mi/h"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "30 mph or 50 km/h",
  },
  ratio: {
    noun: "a percentage",
    baseUnit: "1",
    units: [unit("%", [1, 100], ["percent", "per cent"])],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "75 %",
  },
  ...MECHANICAL_UNITS,
  time: {
    noun: "a time",
    baseUnit: "s",
    units: [
      unit("ms", [1, 1000]),
      unit("s", 1, ["sec", "second", "seconds"]),
      unit("min", 60, ["minute", "minutes"]),
      unit("h", 3600, ["hour", "hours"]),
    ],
    bareUnit: "s",
    zeroNeedsNoUnit: true,
    example: "30 s",
  },
  level: {
    noun: "a level",
    baseUnit: "dB",
    units: [unit("dB", 1, ["dB(A)", "dBA", "dB SPL"])],
    bareUnit: null,
    zeroNeedsNoUnit: false,
    example: "45 dB",
  },
};
