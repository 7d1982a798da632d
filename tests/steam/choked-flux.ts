import type { FluidState } from "../../src/steam/fluid-state.js";

/** Mass flux of an isentropic, frictionless expansion from rest, kg/(m2 s). */
export function isentropicFlux(start: FluidState, end: FluidState): number {
  return end.densityKgPerM3 * Math.sqrt(Math.max(0, 2 * (start.enthalpyJPerKg - end.enthalpyJPerKg)));
}

/**
 * The greatest flux that any end pressure gives, and the pressure ratio where it stands: golden section.
 * `endAt` gives the state of the same entropy at a pressure, Pa.
 */
export function chokedFlux(
  start: FluidState,
  endAt: (pressurePa: number) => FluidState,
): { readonly fluxKgPerM2S: number; readonly criticalRatio: number } {
  const fluxAt = (ratio: number) => isentropicFlux(start, endAt(ratio * start.pressurePa));
  const section = (Math.sqrt(5) - 1) / 2;
  let low = 0.4;
  let high = 0.75;
  for (let k = 0; k < 40; k++) {
    const span = section * (high - low);
    if (fluxAt(high - span) > fluxAt(low + span)) high = low + span;
    else low = high - span;
  }
  const criticalRatio = 0.5 * (low + high);
  return { fluxKgPerM2S: fluxAt(criticalRatio), criticalRatio };
}

/** Flux of a perfect gas at rest that chokes, Cd = 1, from its exponent, pressure and density. Textbook form. */
export function perfectGasChokedFlux(exponent: number, pressurePa: number, densityKgPerM3: number): number {
  const k = exponent;
  return Math.sqrt(k * pressurePa * densityKgPerM3) * (2 / (k + 1)) ** ((k + 1) / (2 * (k - 1)));
}
