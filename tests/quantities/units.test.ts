import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readableQuantity } from "../../src/quantities/readable-quantity.js";
import { DIMENSION_UNITS } from "../../src/quantities/unit-table.js";
import { formatQuantity, parseQuantity, requireQuantity, type Dimension } from "../../src/quantities/units.js";

function value(text: string, dimension: Dimension, atmospherePa?: number): number {
  const parsed = parseQuantity(text, dimension, atmospherePa === undefined ? {} : { atmospherePa });
  if (!parsed.ok) throw new Error(`${text}: ${parsed.rule}, got ${parsed.got}. ${parsed.wayOut}`);
  return parsed.value;
}

function fault(text: string, dimension: Dimension): string {
  const parsed = parseQuantity(text, dimension);
  return parsed.ok ? `read as ${parsed.value}` : `must be ${parsed.rule}, got ${parsed.got}. ${parsed.wayOut}`;
}

describe("units against their definitions", () => {
  // NIST SP 811 (2008), appendix B.8 and B.9 (factors in bold there are exact; psi and hp to the digits printed).
  it.each([
    ["1 in", "length", 0.0254, 0],
    ["1 ft", "length", 0.3048, 0],
    ["1 mm", "length", 0.001, 0],
    ["1 cm", "length", 0.01, 0],
    ["1 km", "length", 1000, 0],
    ["1 in2", "area", 6.4516e-4, 0],
    ["1 ft2", "area", 9.290304e-2, 0],
    ["1 mm2", "area", 1e-6, 0],
    ["1 cm2", "area", 1e-4, 0],
    ["1 in3", "volume", 1.6387064e-5, 0],
    ["1 ft3", "volume", 0.028316846592, 1e-15],
    ["1 L", "volume", 1e-3, 0],
    ["1 mm3", "volume", 1e-9, 0],
    ["1 cc", "volume", 1e-6, 0],
    ["1 psia", "pressure", 6.894757e3, 1e-7],
    ["1 bar abs", "pressure", 1e5, 0],
    ["1 mbar abs", "pressure", 100, 0],
    ["1 hPa abs", "pressure", 100, 0],
    ["1 kPa abs", "pressure", 1e3, 0],
    ["1 MPa abs", "pressure", 1e6, 0],
    ["1 inHg abs", "pressure", 3.386389e3, 0], // conventional inch of mercury
    ["29.92 in Hg abs", "pressure", 1.01320759e5, 1e-7],
    ["1 mmHg abs", "pressure", 1.333224e2, 1e-6],
    ["1 kg/cm2 abs", "pressure", 9.80665e4, 0],
    ["1 kgf/cm2 abs", "pressure", 9.80665e4, 0],
    ["1 lbf/in2 abs", "pressure", 6.894757e3, 1e-7],
    ["1 kPa", "soundPressure", 1e3, 0],
    ["1 psi", "pressureDifference", 6.894757e3, 1e-7],
    ["20 Pa", "soundPressure", 20, 0],
    ["0 degC", "temperature", 273.15, 0],
    ["32 degF", "temperature", 273.15, 1e-15],
    ["212 °F", "temperature", 373.15, 1e-15],
    ["-40 F", "temperature", 233.15, 1e-15],
    ["300 K", "temperature", 300, 0],
    ["9 degF", "temperatureDifference", 5, 1e-15],
    ["80 °C", "temperatureDifference", 80, 0],
    ["80 K", "temperatureDifference", 80, 0],
    ["180 deg", "angle", Math.PI, 1e-15],
    ["1 rad", "angle", 1, 0],
    ["1 Hz", "rotationSpeed", 60, 0],
    ["97rpm", "rotationSpeed", 97, 0],
    ["-90 rpm", "rotationSpeed", -90, 0],
    ["1 rad/s", "rotationSpeed", 9.549296585513721, 1e-15],
    ["1 mph", "roadSpeed", 0.44704, 1e-15],
    ["36 km/h", "roadSpeed", 10, 1e-15],
    ["75 %", "ratio", 0.75, 1e-15],
    ["75%", "ratio", 0.75, 1e-15],
    ["1 lb", "mass", 0.45359237, 0],
    ["1 t", "mass", 1000, 0],
    ["250 g", "mass", 0.25, 0],
    ["1 hp", "power", 745.69987, 1e-8],
    ["2.5 kW", "power", 2500, 0],
    ["1 MW", "power", 1e6, 0],
    ["1 long ton", "mass", 1016.0469088, 1e-15],
    ["1 short ton", "mass", 907.18474, 1e-15],
    ["3600 kg/h", "massFlow", 1, 0],
    ["60 g/min", "massFlow", 1e-3, 1e-15],
    ["1 lb/h", "massFlow", 1.259979e-4, 4e-7],
    ["1 kN m", "torque", 1000, 0],
    ["1 lbf ft", "torque", 1.355818, 1e-6],
    ["3 Nm", "torque", 3, 0],
    ["1 kg cm2", "inertia", 1e-4, 0],
    ["1 g cm2", "inertia", 1e-7, 0],
    ["1 lb ft2", "inertia", 4.214011e-2, 1e-6],
    ["30", "time", 30, 0],
    ["2 min", "time", 120, 0],
    ["250 ms", "time", 0.25, 0],
    ["1 h", "time", 3600, 0],
    ["45 dB", "level", 45, 0],
    ["-6 dB", "level", -6, 0],
  ] as const)("%s", (text, dimension, expected, tolerance) => {
    expect(Math.abs(value(text, dimension) - expected)).toBeLessThanOrEqual(Math.abs(expected) * (tolerance || 2e-16));
  });

  it("counts pressures from the atmosphere given, unless abs is written", () => {
    expect(value("0 psi", "pressure")).toBe(101325);
    expect(value("10 bar", "pressure", 95_000)).toBe(1_095_000);
    expect(value("10 bar g", "pressure", 95_000)).toBe(1_095_000);
    expect(value("10 bar gauge", "pressure", 95_000)).toBe(1_095_000);
    expect(value("-0.5 bar", "pressure", 100_000)).toBe(50_000);
    for (const text of ["0.15 bar abs", "0.15bar abs", "0.15 bara", "0.15 bar(a)", "0.15 bar absolute", "15 kPa abs"]) {
      expect(value(text, "pressure", 95_000)).toBeCloseTo(15_000, 8);
    }
    for (const text of ["14.7 psia", "14.7 psi abs", "14.7psi(a)"])
      expect(value(text, "pressure")).toBeCloseTo(101352.93, 2);
  });
});

describe("numbers as the trade writes them", () => {
  it.each([
    ["7 1/2 in", 7.5 * 0.0254],
    ["7 1/2in", 7.5 * 0.0254],
    ["7-1/2 in", 7.5 * 0.0254],
    ["7½ in", 7.5 * 0.0254],
    ["1/4in", 0.25 * 0.0254],
    ["1/4 in", 0.25 * 0.0254],
    ['1/16"', 0.0254 / 16],
    ["-1/16 in", -0.0254 / 16],
    ["−1/16 in", -0.0254 / 16],
    ["- 1/16 in", -0.0254 / 16],
    ["-7 1/2 in", -7.5 * 0.0254],
    ["¾ in", 0.75 * 0.0254],
    ["5 ft 6 in", 66 * 0.0254],
    ["5 ft 6 1/2 in", 66.5 * 0.0254],
    ["5' 6\"", 66 * 0.0254],
    [".5 m", 0.5],
    ["5. m", 5],
    ["+2 m", 2],
    ["1.5e-3 m", 0.0015],
    ["  17   in  ", 17 * 0.0254],
    ["17 IN", 17 * 0.0254],
    ["0", 0],
  ])("%s", (text, expected) => {
    expect(value(text, "length")).toBeCloseTo(expected, 14);
  });
});

describe("what is not a quantity", () => {
  it.each([
    [
      "17",
      "length",
      'must be a length in mm, cm, m, km, in or ft, got "17". Add the unit, for example 430 mm or 17 in.',
    ],
    [
      "17 parsec",
      "length",
      'must be a length in mm, cm, m, km, in or ft, got "17 parsec". The unit "parsec" is not known.',
    ],
    ["17 bar", "length", 'got "17 bar". "bar" is the unit of a pressure.'],
    ["mm", "length", "Put a number before mm."],
    ["", "length", "For example 430 mm or 17 in."],
    ["long", "length", "For example 430 mm or 17 in."],
    ["1,5 m", "length", "decimal sign as a point"],
    ["1,000 mm", "length", "decimal sign as a point"],
    ["1.000.000 mm", "length", "decimal sign as a point"],
    ["1/0 m", "length", "not finite"],
    ["0/0 m", "length", "not finite"],
    ["1e999 m", "length", "not finite"],
    ["1e308 km", "length", "too large"],
    ["NaN m", "length", "For example"],
    ["Infinity m", "length", "For example"],
    ["--5 m", "length", "For example"],
    ["5 m 3", "length", "not known"],
    ["1 mPa", "pressure", "Write MPa for megapascals."],
    ["10 psia abs", "pressure", "not known"],
    ["0", "pressure", "Add the unit"],
    ["-2 bar", "pressure", "must be a pressure not below a perfect vacuum (0 bar abs)"],
    ["-1 bar abs", "pressure", "must be a pressure not below a perfect vacuum (0 bar abs)"],
    ["20 Pa abs", "soundPressure", '"Pa abs" is the unit of a pressure'],
    ["-300 degC", "temperature", "must be a temperature not below absolute zero (0 K, -273.15 degC)"],
    ["-1 K", "temperature", "absolute zero"],
    ["0.75", "ratio", "Write 75 % for it."],
    ["75", "ratio", "Add the unit, for example 75 %."],
    ["90", "rotationSpeed", "Add the unit, for example 90 rpm."],
    ["60 mph", "rotationSpeed", '"mph" is the unit of a road speed.'],
    ["1 ton", "mass", 'The unit "ton" is not known.'],
    ["5 kW", "torque", '"kW" is the unit of a power.'],
    ["5 kg", "massFlow", '"kg" is the unit of a mass.'],
  ] as const)("%s as %s", (text, dimension, expected) => {
    expect(fault(text, dimension)).toContain(expected);
  });

  it("keeps a message to one short line whatever the text", () => {
    const nasty = fault(`${"x".repeat(5000)}\n\u001b[31mred\u202e`, "length");
    expect(nasty.length).toBeLessThan(250);
    expect(fault("1 \u001b[31m\nred\u202e", "length")).not.toMatch(/[\u0000-\u001f\u202e]/);
  });

  it("the throwing form names the option", () => {
    expect(() => requireQuantity("fast", "rotationSpeed", "--speed")).toThrow(
      /^--speed must be a speed of rotation in rpm, Hz or rad\/s, got "fast"\. For example 90 rpm\.$/,
    );
    expect(requireQuantity("90 rpm", "rotationSpeed", "--speed")).toBe(90);
  });
});

describe("both ways", () => {
  const pairs = (Object.keys(DIMENSION_UNITS) as Dimension[]).flatMap((dimension) =>
    DIMENSION_UNITS[dimension].units.flatMap((unit) =>
      dimension === "pressure"
        ? ([
            [dimension, unit.name],
            [dimension, `${unit.name} abs`],
          ] as [Dimension, string][])
        : ([[dimension, unit.name]] as [Dimension, string][]),
    ),
  );
  it.each(pairs)("%s in %s comes back within 1e-9", (dimension, unit) => {
    fc.assert(
      fc.property(fc.double({ min: -7, max: 7, noNaN: true }), fc.boolean(), (decade, negative) => {
        const canBeNegative = dimension !== "pressure" && dimension !== "temperature";
        const original = (negative && canBeNegative ? -1 : 1) * 10 ** decade;
        const text = formatQuantity(original, dimension, unit, { atmospherePa: 100_000 });
        const scale =
          dimension === "pressure" && !unit.endsWith("abs") ? 100_000 : dimension === "temperature" ? 273.15 : 0;
        const back = value(text, dimension, 100_000);
        expect(Math.abs(back - original)).toBeLessThanOrEqual(1e-9 * Math.max(Math.abs(original), scale));
      }),
      { seed: 2, numRuns: 100 },
    );
  });

  it("every spelling of a unit is read as that unit and as no other of its dimension", () => {
    for (const dimension of Object.keys(DIMENSION_UNITS) as Dimension[]) {
      for (const unit of DIMENSION_UNITS[dimension].units) {
        for (const spelling of [unit.name, ...unit.spellings]) {
          for (const gap of ["", " "]) {
            const suffix = dimension === "pressure" ? " abs" : "";
            const parsed = parseQuantity(`3${gap}${spelling}${suffix}`, dimension);
            expect(parsed.ok && parsed.value, `3${gap}${spelling}`).toBe(
              (3 * unit.factor) / unit.divisor + unit.offset,
            );
          }
        }
      }
    }
  });

  it("never throws, whatever the text", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          fc.string({ unit: "grapheme" }),
          fc.stringMatching(/^[-+0-9./ eE½]{0,9} ?(in|ft|bar|psi|abs|degC|%)*$/),
        ),
        (text) => {
          for (const dimension of Object.keys(DIMENSION_UNITS) as Dimension[]) {
            const parsed = parseQuantity(text, dimension);
            if (parsed.ok) expect(Number.isFinite(parsed.value)).toBe(true);
            else expect(parsed.rule.length * parsed.wayOut.length).toBeGreaterThan(0);
          }
        },
      ),
      { seed: 3, numRuns: 500 },
    );
  });

  it("readable values choose a unit that suits the size", () => {
    expect(readableQuantity(0.4318, "length")).toBe("431.8 mm");
    expect(readableQuantity(1.524, "length")).toBe("1.524 m");
    expect(readableQuantity(0.004, "area")).toBe("40 cm2");
    expect(readableQuantity(1e-6, "area")).toBe("1 mm2");
    expect(readableQuantity(0.012, "volume")).toBe("12 L");
    expect(readableQuantity(101325, "pressure")).toBe("1.013 bar abs");
    expect(readableQuantity(288.15, "temperature")).toBe("15 degC");
    expect(readableQuantity(-0.0015, "length")).toBe("-1.5 mm");
    expect(readableQuantity(2.5e6, "power")).toBe("2500 kW");
    expect(readableQuantity(1.2, "massFlow")).toBe("4320 kg/h");
    expect(readableQuantity(2.5e-5, "massFlow")).toBe("1.5 g/min");
    expect(readableQuantity(12_500, "torque")).toBe("12.5 kN m");
    expect(readableQuantity(0.00125, "inertia")).toBe("12.5 kg cm2");
  });
});
