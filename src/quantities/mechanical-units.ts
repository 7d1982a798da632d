import { FOOT_M, POUND_FORCE_N, POUND_KG, unit, type DimensionUnits } from "./unit-definition.js";

/** Units of what moves and of what drives it. [source: NIST SP 811 (2008), appendix B, exact definitions] */
export const MECHANICAL_UNITS = {
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
} as const satisfies Record<string, DimensionUnits>;
