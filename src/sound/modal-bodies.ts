/** Iron as a body that rings. */
export interface IronStuff {
  readonly densityKgPerM3: number;
  readonly modulusPa: number;
  readonly poissonRatio: number;
}

/** Mild steel. [source: handbook values, as used with Hertz contact: 205 GPa, 0.29, 7850 kg/m3] */
export const STEEL: IronStuff = { densityKgPerM3: 7850, modulusPa: 205e9, poissonRatio: 0.29 };

/** Grey cast iron. [source: handbook values, from memory] */
export const CAST_IRON: IronStuff = { densityKgPerM3: 7200, modulusPa: 110e9, poissonRatio: 0.26 };

// Roots of cos b cosh b = 1 and cos b cosh b = -1; later ones are odd multiples of a quarter turn to all digits given.
// [source: Blevins, Formulas for Natural Frequency and Mode Shape, 1979, table 8-1]
const FREE_ROOTS = [4.73004074, 7.85320462, 10.9956078];
const CLAMPED_ROOTS = [1.87510407, 4.69409113, 7.85475744, 10.9955407];

/** A straight bar of rectangular section, free at both ends or built in at one; thin against its length. */
export interface BarShape {
  readonly ends: "free" | "clamped";
  readonly lengthM: number;
  /** Across, in the direction in which it bends. */
  readonly depthM: number;
}

/** Bending frequency of a bar, Hz; `order` 1 is the lowest. [source: Blevins, Formulas for Natural Frequency and Mode Shape, 1979, table 8-1] */
export function barModeHz(shape: BarShape, stuff: IronStuff, order: number): number {
  const { ends, lengthM, depthM } = shape;
  const root =
    ends === "free"
      ? (FREE_ROOTS[order - 1] ?? (order + 0.5) * Math.PI)
      : (CLAMPED_ROOTS[order - 1] ?? (order - 0.5) * Math.PI);
  const waveMPerS = Math.sqrt(stuff.modulusPa / stuff.densityKgPerM3);
  return (root * root * waveMPerS * depthM) / (2 * Math.PI * Math.sqrt(12) * lengthM * lengthM);
}

/** Bending stiffness over mass per area, as its root, m2/s. */
function plateFactor(thicknessM: number, stuff: IronStuff): number {
  const { modulusPa, densityKgPerM3, poissonRatio } = stuff;
  return thicknessM * Math.sqrt(modulusPa / (12 * (1 - poissonRatio * poissonRatio) * densityKgPerM3));
}

/** A flat plate whose edges are held but free to tilt. */
export interface PlateShape {
  readonly lengthM: number;
  readonly widthM: number;
  readonly thicknessM: number;
}

/** Bending frequency of a plate with so many half waves along and across, Hz. [source: Leissa, Vibration of Plates, NASA SP-160, 1969, 4.1] */
export function plateModeHz(plate: PlateShape, stuff: IronStuff, along: number, across: number): number {
  const x = along / plate.lengthM;
  const y = across / plate.widthM;
  return (Math.PI / 2) * plateFactor(plate.thicknessM, stuff) * (x * x + y * y);
}

/** Frequency above which bending waves outrun sound and a plate radiates in full, Hz. [source: Cremer & Heckl, Structure-Borne Sound, 1973, VI.5] */
export function coincidenceHz(thicknessM: number, stuff: IronStuff, soundSpeedMPerS: number): number {
  return (soundSpeedMPerS * soundSpeedMPerS) / (2 * Math.PI * plateFactor(thicknessM, stuff));
}

/** Bending frequency of a free ring in its own plane with so many waves (2 or more) around, Hz. [source: Love, Mathematical Theory of Elasticity, 1927, 293, from memory] */
export function ringModeHz(radiusM: number, depthM: number, stuff: IronStuff, waves: number): number {
  const waveMPerS = Math.sqrt(stuff.modulusPa / stuff.densityKgPerM3);
  const square = waves * waves;
  const shape = (waves * (square - 1)) / Math.sqrt(square + 1);
  return (waveMPerS * depthM * shape) / (2 * Math.PI * Math.sqrt(12) * radiusM * radiusM);
}

/** Time in which a mode falls by 60 dB, s. `lossRatio` is the loss factor, 1/Q: 2.2 / (f eta). */
export function fallTimeS(frequencyHz: number, lossRatio: number): number {
  return Math.LN10 * (3 / (Math.PI * frequencyHz * lossRatio));
}
