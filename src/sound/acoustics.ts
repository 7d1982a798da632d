import { UNFLANGED_END_CORRECTION_RATIO } from "../quantities/constants.js";

/** Causal reflection of a thin-walled open end, R = -(1 + n1 s)/(1 + d1 s + d2 s^2), s = j ka: good to 3 % of its modulus up to ka 1.5, too strong above 2. [source: Silva et al., JSV 322 (2009) 255 with the corrigendum of 2015, as quoted in the Openwind source] */
export const UNFLANGED_REFLECTION = { n1: 0.167, d1: 1.393, d2: 0.457 } as const;

/** What a gas does at a wall. */
export interface WallGas {
  readonly densityKgPerM3: number;
  readonly soundSpeedMPerS: number;
  readonly viscosityPaS: number;
  readonly isentropicExponentRatio: number;
  readonly prandtlRatio: number;
}

/** Air at 20 °C for wall loss. [source: Keefe, JASA 75 (1984) 58-62; Prandtl number 0.8422^2] */
export const AIR_AT_WALL: WallGas = {
  densityKgPerM3: 1.2041,
  soundSpeedMPerS: 343.2,
  viscosityPaS: 1.8144e-5,
  isentropicExponentRatio: 1.4019,
  prandtlRatio: 0.70930084,
};

/**
 * Modulus of the reflection of a thin-walled open end.
 *
 * @param ka wave number times radius, 0 to 3.8 (axisymmetric cut-on); within 0.5 % of Levine & Schwinger to 3.5
 * [source: Silva et al., JSV 322 (2009) 255-263, non-causal fit, unflanged]
 */
export function openEndReflectionRatio(ka: number): number {
  const z = ka * ka;
  return (1 + 0.8 * z) / (1 + 1.3 * z + 0.266 * z * z + 0.0263 * z * z * z);
}

/**
 * End correction of a thin-walled open end, per radius.
 *
 * @param ka wave number times radius, 0 to 3.5; within 3 % of Levine & Schwinger
 * [source: Silva et al., JSV 322 (2009) 255-263, non-causal fit, unflanged]
 */
export function openEndCorrectionRatio(ka: number): number {
  const z = ka * ka;
  const below = 1 + 0.238 * z - 0.0153 * z * z + 0.0015 * z * z * z;
  return (UNFLANGED_END_CORRECTION_RATIO * (1 + 0.0599 * z)) / below;
}

/**
 * Wall loss of a plane wave in a smooth pipe, Np/m: wide-pipe form of Kirchhoff's result, within 4 % from a radius of
 * ten boundary layers up. The wave is slowed alike: wave number = 2 pi f / c + alpha.
 * [source: Keefe, JASA 75 (1984) 58-62]
 */
export function wallLossNpPerM(frequencyHz: number, radiusM: number, gas: WallGas): number {
  const shear = Math.sqrt((Math.PI * frequencyHz * gas.viscosityPaS) / gas.densityKgPerM3);
  const heat = 1 + (gas.isentropicExponentRatio - 1) / Math.sqrt(gas.prandtlRatio);
  return (shear * heat) / (radiusM * gas.soundSpeedMPerS);
}

/**
 * Pressure of a small source in a free field, r/c later, Pa.
 *
 * @param flowChangeM3PerS2 rate of change of its volume flow
 * [source: Pierce, Acoustics, 1989, section 4-3]
 */
export function monopolePressurePa(airDensityKgPerM3: number, distanceM: number, flowChangeM3PerS2: number): number {
  return (airDensityKgPerM3 * flowChangeM3PerS2) / (4 * Math.PI * distanceM);
}

/**
 * Resonance of a smooth pipe with a thin-walled open end, Hz, end correction at its own frequency included.
 *
 * @param stopped true: the other end is shut (odd quarter waves); false: it is open too (half waves)
 * @param order 1 is the lowest
 */
export function pipeResonanceHz(
  pipe: { readonly lengthM: number; readonly radiusM: number; readonly stopped: boolean },
  soundSpeedMPerS: number,
  order: number,
): number {
  const quarters = pipe.stopped ? 2 * order - 1 : 2 * order;
  const openEnds = pipe.stopped ? 1 : 2;
  let frequencyHz = 0;
  for (let round = 0; round < 20; round++) {
    const ka = (2 * Math.PI * frequencyHz * pipe.radiusM) / soundSpeedMPerS;
    const lengthM = pipe.lengthM + openEnds * openEndCorrectionRatio(ka) * pipe.radiusM;
    frequencyHz = (quarters * soundSpeedMPerS) / (4 * lengthM);
  }
  return frequencyHz;
}

/**
 * Resonance of a vessel with a neck, Hz. `effectiveLengthM` includes both end corrections.
 * [source: Rayleigh, The Theory of Sound, vol. 2, 304]
 */
export function helmholtzResonanceHz(
  volumeM3: number,
  neckAreaM2: number,
  effectiveLengthM: number,
  soundSpeedMPerS: number,
): number {
  return (soundSpeedMPerS / (2 * Math.PI)) * Math.sqrt(neckAreaM2 / (volumeM3 * effectiveLengthM));
}
