import { pow } from "../quantities/portable-maths.js";

/**
 * Flow factor of a choked opening: mass flow = discharge coefficient x area x factor x sqrt(p0 rho0).
 * `isentropicExponent` is dimensionless, above 1. [source: gas-dynamics textbook form; 0.68473 at 1.4, 0.66726 at 1.3]
 */
export function chokedFlowFactor(isentropicExponent: number): number {
  const k = isentropicExponent;
  return Math.sqrt(k) * powHalf(2 / (k + 1), (k + 1) / (k - 1));
}

/** Pressure ratio below which an opening chokes. [source: gas-dynamics textbook form; 0.52828 at 1.4, 0.54573 at 1.3] */
export function criticalPressureRatio(isentropicExponent: number): number {
  const k = isentropicExponent;
  return pow(2 / (k + 1), k / (k - 1));
}

/**
 * Mass flow in kg/s through an opening whose downstream pressure rises with the flow it passes:
 * downstream = `downstreamPa` + `impedancePaSPerKg` x flow. Zero unless `upstreamPa` is the higher.
 *
 * Between choked and closed the flow follows a quarter ellipse of the pressure ratio, at most 1 % low for an exponent of
 * 1.3, so flow and pressure come together from one square root, without iteration, stable however stiff the far side is.
 *
 * @param chokedKgPerS flow if choked: coefficient x area x factor x sqrt(p0 rho0)
 * @param criticalRatio from `criticalPressureRatio`
 */
export function orificeFlowKgPerS(
  chokedKgPerS: number,
  upstreamPa: number,
  downstreamPa: number,
  impedancePaSPerKg: number,
  criticalRatio: number,
): number {
  if (!(chokedKgPerS > 0) || downstreamPa >= upstreamPa) return 0;
  const span = 1 / (1 - criticalRatio);
  const y = (downstreamPa / upstreamPa - criticalRatio) * span;
  const stiffness = (impedancePaSPerKg * chokedKgPerS * span) / upstreamPa;
  const scale = 1 + stiffness * stiffness;
  const argument = scale - y * y;
  if (argument <= 0) return chokedKgPerS;
  const share = (Math.sqrt(argument) - stiffness * y) / scale;
  return y + stiffness * share <= 0 ? chokedKgPerS : chokedKgPerS * share;
}

function powHalf(base: number, exponent: number): number {
  return Math.sqrt(pow(base, exponent));
}
