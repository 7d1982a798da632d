/**
 * Pitch of a bubble of gas in a liquid, Hz: f = sqrt(3 gamma p / rho) / (2 pi a). Surface tension, heat and the steam's
 * condensing are left out. All arguments above 0, SI.
 * [source: Minnaert, On musical air-bubbles and the sounds of running water, Phil. Mag. 16 (1933) 235]
 */
export function bubbleHz(
  radiusM: number,
  pressurePa: number,
  isentropicExponent: number,
  densityKgPerM3: number,
): number {
  return Math.sqrt((3 * isentropicExponent * pressurePa) / densityKgPerM3) / (2 * Math.PI * radiusM);
}
