import { REGION_2_IDEAL_TERMS, WATER_GAS_CONSTANT_J_PER_KG_K } from "../../src/steam/if97-coefficients.js";
import type { FluidState } from "../../src/steam/fluid-state.js";

// Supplementary equation for vapour cooled past the saturation line without condensing. IAPWS R7-97(2012), eq. 18 and
// table 16, from memory; the printed points of table 18 are tested. Rows of I, J, n.
const TERMS = [
  [1, 0, -0.73362260186506e-2],
  [1, 2, -0.88223831943146e-1],
  [1, 5, -0.72334555213245e-1],
  [1, 11, -0.40813178534455e-2],
  [2, 1, 0.20097803380207e-2],
  [2, 7, -0.53045921898642e-1],
  [2, 16, -0.7619040908697e-2],
  [3, 4, -0.63498037657313e-2],
  [3, 16, -0.86043093028588e-1],
  [4, 7, 0.7532158152277e-2],
  [4, 10, -0.79238375446139e-2],
  [5, 9, -0.22888160778447e-3],
  [5, 10, -0.2645650148281e-2],
] as const;
// The first two ideal-gas terms differ from those of region 2.
const FIRST_IDEAL = -0.96937268393049e1;
const SECOND_IDEAL = 0.10087275970006e2;

/** Vapour that does not condense, below 10 MPa. Pa, K. */
export function undercooledVapour(
  pressurePa: number,
  temperatureK: number,
): FluidState & { specificHeatJPerKgK: number } {
  const pi = pressurePa / 1e6;
  const tau = 540 / temperatureK;
  let g = Math.log(pi);
  let gp = 1 / pi;
  let gpp = -1 / pi ** 2;
  let gt = 0;
  let gtt = 0;
  let gpt = 0;
  for (let k = 0; k < REGION_2_IDEAL_TERMS.length; k += 2) {
    const j = REGION_2_IDEAL_TERMS[k];
    const n = k === 0 ? FIRST_IDEAL : k === 2 ? SECOND_IDEAL : REGION_2_IDEAL_TERMS[k + 1];
    g += n * tau ** j;
    gt += n * j * tau ** (j - 1);
    gtt += n * j * (j - 1) * tau ** (j - 2);
  }
  const y = tau - 0.5;
  for (const [i, j, n] of TERMS) {
    g += n * pi ** i * y ** j;
    gp += n * i * pi ** (i - 1) * y ** j;
    gpp += n * i * (i - 1) * pi ** (i - 2) * y ** j;
    gt += n * pi ** i * j * y ** (j - 1);
    gtt += n * pi ** i * j * (j - 1) * y ** (j - 2);
    gpt += n * i * pi ** (i - 1) * j * y ** (j - 1);
  }
  const r = WATER_GAS_CONSTANT_J_PER_KG_K;
  const volume = (r * temperatureK * gp) / 1e6;
  const enthalpy = r * temperatureK * tau * gt;
  const mixed = gp - tau * gpt;
  return {
    pressurePa,
    temperatureK,
    densityKgPerM3: 1 / volume,
    enthalpyJPerKg: enthalpy,
    internalEnergyJPerKg: enthalpy - pressurePa * volume,
    entropyJPerKgK: r * (tau * gt - g),
    qualityRatio: null,
    soundSpeedMPerS: Math.sqrt((r * temperatureK * gp ** 2) / (mixed ** 2 / (tau ** 2 * gtt) - gpp)),
    specificHeatJPerKgK: -r * tau ** 2 * gtt,
  };
}

/** The same vapour after an expansion to a pressure with its entropy kept. */
export function undercooledOfEntropy(pressurePa: number, entropyJPerKgK: number): FluidState {
  let temperatureK = 400;
  for (let k = 0; k < 60; k++) {
    const state = undercooledVapour(pressurePa, temperatureK);
    temperatureK += ((entropyJPerKgK - state.entropyJPerKgK) * temperatureK) / state.specificHeatJPerKgK;
  }
  return undercooledVapour(pressurePa, temperatureK);
}
