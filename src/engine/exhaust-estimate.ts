import { log } from "../quantities/portable-maths.js";

/**
 * Mean enthalpy of the exhaust from the theoretical indicator card: supply enthalpy less the work a kilogram does between
 * admission, hyperbolic expansion with clearance and release at the back pressure. J/kg; set-up only, to fit the pipe gas.
 * [source: card with clearance, Machinery's Reference Series No. 70, 1911, Table II formula]
 */
export function exhaustEnthalpyJPerKg(
  supplyPa: number,
  supplyDensityKgPerM3: number,
  supplyEnthalpyJPerKg: number,
  backPa: number,
  cutoffRatio: number,
  clearanceRatio: number,
): number {
  const c = Math.min(Math.max(cutoffRatio, 0.05), 1);
  const k = clearanceRatio;
  const meanPa = supplyPa * (c + (c + k) * log((1 + k) / (c + k))) - backPa;
  const massPerVolume = supplyDensityKgPerM3 * (c + k * (1 - backPa / supplyPa));
  return supplyEnthalpyJPerKg - Math.max(0, meanPa / massPerVolume);
}
