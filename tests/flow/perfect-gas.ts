import { ExhaustGas } from "../../src/flow/exhaust-gas.js";
import { FiniteVolumePipe, type PipeLayout } from "../../src/flow/finite-volume-pipe.js";
import type { MouthSurroundings } from "../../src/flow/mouth.js";
import type { PipeGas } from "../../src/steam/pipe-gas.js";

/** A perfect gas whose enthalpy is cp T. */
export function perfectGas(isentropicExponent: number, gasConstantJPerKgK: number): PipeGas {
  const k = isentropicExponent;
  return {
    gasConstantJPerKgK,
    isentropicExponent: k,
    specificHeatJPerKgK: (gasConstantJPerKgK * k) / (k - 1),
    enthalpyOffsetJPerKg: 0,
  };
}

/** Dry air and steam as perfect gases. */
export const air = perfectGas(1.4, 287.05);
export const steam = perfectGas(1.3, 461.5);

/** The exhaust gas of a machine that runs on this very perfect gas: nothing travels as latent energy. */
export function exhaustOf(gas: PipeGas, lastEnthalpyJPerKg = 5e6): ExhaustGas {
  const share = (gas.isentropicExponent - 1) / gas.isentropicExponent;
  return new ExhaustGas(gas, (enthalpy) => share * enthalpy, 0, lastEnthalpyJPerKg, 11);
}

export function soundSpeedOf(gas: PipeGas, temperatureK: number): number {
  return Math.sqrt(gas.isentropicExponent * gas.gasConstantJPerKgK * temperatureK);
}

/** A plain or narrowing pipe; what is not named is smooth and straight. */
export function makePipe(
  gas: PipeGas,
  layout: Pick<PipeLayout, "lengthM" | "boreM" | "cellCount" | "stepS"> & Partial<PipeLayout>,
): FiniteVolumePipe {
  return new FiniteVolumePipe({ mouthBoreM: 0, contractionM: 0, frictionFactor: 0, dragRatio: 0, ...layout }, gas);
}

/** Air of this gas at rest outside, which is also what is drawn in. */
export function stillSurroundings(
  gas: PipeGas,
  pressurePa: number,
  temperatureK: number,
  radiates: boolean,
): MouthSurroundings {
  const densityKgPerM3 = pressurePa / (gas.gasConstantJPerKgK * temperatureK);
  return {
    pressurePa,
    densityKgPerM3,
    soundSpeedMPerS: soundSpeedOf(gas, temperatureK),
    inflowDensityKgPerM3: densityKgPerM3,
    inflowEnthalpyJPerKg: gas.specificHeatJPerKgK * temperatureK,
    inflowAirRatio: 0,
    radiates,
  };
}

export function closeLeftEnd(pipe: FiniteVolumePipe): void {
  pipe.closeLeft(0, 0, pipe.leftArrivalPa, 0);
}

export function closeRightEnd(pipe: FiniteVolumePipe): void {
  pipe.closeRight(0, 0, pipe.rightArrivalPa, 0);
}

/** Fills one cell. */
export function setCell(
  pipe: FiniteVolumePipe,
  gas: PipeGas,
  cell: number,
  densityKgPerM3: number,
  velocityMPerS: number,
  pressurePa: number,
): void {
  pipe.state[3 * cell] = densityKgPerM3;
  pipe.state[3 * cell + 1] = densityKgPerM3 * velocityMPerS;
  pipe.state[3 * cell + 2] =
    pressurePa / (gas.isentropicExponent - 1) + 0.5 * densityKgPerM3 * velocityMPerS * velocityMPerS;
}

export interface CellReading {
  readonly densityKgPerM3: number;
  readonly velocityMPerS: number;
  readonly pressurePa: number;
}

export function readCell(pipe: FiniteVolumePipe, gas: PipeGas, cell: number): CellReading {
  const densityKgPerM3 = pipe.state[3 * cell];
  const velocityMPerS = pipe.state[3 * cell + 1] / densityKgPerM3;
  const kinetic = 0.5 * densityKgPerM3 * velocityMPerS * velocityMPerS;
  return {
    densityKgPerM3,
    velocityMPerS,
    pressurePa: (gas.isentropicExponent - 1) * (pipe.state[3 * cell + 2] - kinetic),
  };
}

/** Largest departure of any cell's pressure from a level, as a share of it. */
export function worstPressureRatio(pipe: FiniteVolumePipe, gas: PipeGas, pressurePa: number): number {
  let worst = 0;
  for (let i = 0; i < pipe.cellCount; i++) {
    worst = Math.max(worst, Math.abs(readCell(pipe, gas, i).pressurePa / pressurePa - 1));
  }
  return worst;
}

export function allFinite(values: Iterable<number>): boolean {
  for (const value of values) if (!Number.isFinite(value)) return false;
  return true;
}
