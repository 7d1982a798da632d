import type { PipeGas } from "../steam/pipe-gas.js";

// Dynamic viscosity near 370 K: water vapour 1.2e-5, air 2.2e-5 Pa s; Prandtl number about 1 and 0.7.
// [common practice: handbook values, from memory]
const steamViscosityPaS = 1.2e-5;
const airViscosityPaS = 2.0e-5;
const prandtl = { steam: 1.0, air: 0.71 } as const;

/**
 * Attenuation of sound by the wall layer of a wide pipe, Np/m: sqrt(omega mu / 2 rho) / (a c) x (1 + (k - 1)/sqrt(Pr)).
 * [source: Kirchhoff; checked against Keefe, JASA 75 (1984)]
 */
export function kirchhoffAttenuationNpPerM(
  frequencyHz: number,
  radiusM: number,
  densityKgPerM3: number,
  soundSpeedMPerS: number,
  viscosityPaS: number,
  exponent: number,
  prandtlNumber: number,
): number {
  return (
    (Math.sqrt((Math.PI * frequencyHz * viscosityPaS) / densityKgPerM3) / (radiusM * soundSpeedMPerS)) *
    (1 + (exponent - 1) / Math.sqrt(prandtlNumber))
  );
}

/**
 * Share of its momentum the gas of a pipe gives to the wall in one step, set so that a wave at the pipe's own first
 * resonance fades as Kirchhoff says. Negligible in big pipes; it sets the sharpness of a model's.
 */
export function wallDragRatio(lengthM: number, boreM: number, gas: PipeGas, pressurePa: number, stepS: number): number {
  const isSteam = gas.gasConstantJPerKgK > 350;
  // Exhaust gas near the boiling point, or near the room's temperature for air; only the order matters here.
  const temperatureK = isSteam ? 373 : 290;
  const density = pressurePa / (gas.gasConstantJPerKgK * temperatureK);
  const soundSpeed = Math.sqrt(gas.isentropicExponent * gas.gasConstantJPerKgK * temperatureK);
  const attenuation = kirchhoffAttenuationNpPerM(
    soundSpeed / (4 * lengthM),
    0.5 * boreM,
    density,
    soundSpeed,
    isSteam ? steamViscosityPaS : airViscosityPaS,
    gas.isentropicExponent,
    isSteam ? prandtl.steam : prandtl.air,
  );
  return Math.min(0.5, 2 * attenuation * soundSpeed * stepS);
}
