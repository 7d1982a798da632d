/**
 * Bore of the jet that hisses like a leak of a given effective area, m: a crack is narrower than a round hole, and its eddies
 * are smaller. [common practice: a seventh as wide]
 */
export function leakBoreM(areaM2: number): number {
  return 0.15 * Math.sqrt((4 / Math.PI) * areaM2);
}
