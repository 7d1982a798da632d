import { ZERO_CELSIUS_K } from "./constants.js";

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

/** value in the base unit = number x factor / divisor + offset; the divisor keeps 118 mm at 0.118 m to the last bit */
export interface Unit {
  readonly name: string;
  readonly factor: number;
  readonly divisor: number;
  readonly offset: number;
  /** Other spellings that are read as this unit. */
  readonly spellings: readonly string[];
}

/** A dimension as it is written: its noun, the unit its values have inside the program, and the units it may carry. */
export interface DimensionUnits {
  readonly noun: string;
  /** Unit of the parsed value. SI everywhere, save that rotation is counted in rpm, as the engine's own fields are. */
  readonly baseUnit: string;
  readonly units: readonly Unit[];
  /** What a bare number stands for: nothing (a fault), or a unit by name. A bare 0 is read wherever 0 is the same in every unit. */
  readonly bareUnit: string | null;
  readonly zeroNeedsNoUnit: boolean;
  /** Shown as the way out. */
  readonly example: string;
}

function unit(
  name: string,
  size: number | readonly [factor: number, divisor: number],
  spellings: readonly string[] = [],
  offset = 0,
): Unit {
  const [factor, divisor] = typeof size === "number" ? ([size, 1] as const) : size;
  return { name, factor, divisor, offset, spellings };
}

// International definitions, exact. [source: NIST SP 811 (2008), appendix B: inch 25.4 mm, pound 0.453 592 37 kg,
// pound-force from standard gravity, mile 1609.344 m; horsepower 550 ft·lbf/s; degree Fahrenheit 5/9 K;
// kilogram-force 9.806 65 N; conventional inch of mercury 3386.389 Pa, to its seven digits; long ton 2240 lb, short 2000]
const INCH_M = 0.0254;
const FOOT_M = 0.3048;
const POUND_KG = 0.45359237;
const POUND_FORCE_N = 4.4482216152605;
const KILOGRAM_FORCE_N = 9.80665;
const INCH_OF_MERCURY_PA = 3386.389;

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
  mass: {
    noun: "a mass",
    baseUnit: "kg",
    units: [
      unit("g", [1, 1000]),
      unit("kg", 1),
      unit("t", 1000, ["tonne", "tonnes"]),
      unit("lb", POUND_KG, ["lbs"]),
      unit("long ton", 2240 * POUND_KG, ["long tons"]),
      unit("short ton", 2000 * POUND_KG, ["short tons"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "200 kg",
  },
  power: {
    noun: "a power",
    baseUnit: "W",
    units: [unit("W", 1), unit("kW", 1000), unit("MW", 1e6), unit("hp", 550 * FOOT_M * POUND_FORCE_N, ["ihp", "bhp"])],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "75 kW or 100 hp",
  },
  massFlow: {
    noun: "a mass flow",
    baseUnit: "kg/s",
    units: [
      unit("kg/s", 1),
      unit("kg/min", [1, 60]),
      unit("kg/h", [1, 3600]),
      unit("g/s", [1, 1000]),
      unit("g/min", [1, 60_000]),
      unit("lb/h", [POUND_KG, 3600], ["lbs/h", "lb/hr", "lbs/hr"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "2000 kg/h",
  },
  torque: {
    noun: "a torque",
    baseUnit: "N m",
    units: [
      unit("N m", 1, ["Nm", "N·m", "N*m"]),
      unit("kN m", 1000, ["kNm", "kN·m", "kN*m"]),
      unit("lbf ft", POUND_FORCE_N * FOOT_M, ["lbf·ft", "lb ft", "lb·ft", "ft lbf", "ft lb", "ft·lbf"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "500 N m or 370 lbf ft",
  },
  inertia: {
    noun: "a moment of inertia",
    baseUnit: "kg m2",
    units: [
      unit("g cm2", [1, 1e7], ["g cm²", "g·cm2", "g·cm²"]),
      unit("kg cm2", [1, 1e4], ["kg cm²", "kg·cm2", "kg·cm²"]),
      unit("kg m2", 1, ["kg m²", "kg·m2", "kg·m²"]),
      unit("lb ft2", POUND_KG * FOOT_M * FOOT_M, ["lb ft²", "lb·ft2", "lb·ft²"]),
    ],
    bareUnit: null,
    zeroNeedsNoUnit: true,
    example: "12 kg m2",
  },
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
