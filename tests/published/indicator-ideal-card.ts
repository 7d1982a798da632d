import type { EndEvents } from "../../src/gear/valve-events.js";
import type { NamedFluid } from "../../src/steam/state-from.js";
import { stateFromPressureEnthalpy, stateFromPressureEntropy } from "../../src/steam/state-from.js";
import type { FluidState } from "../../src/steam/fluid-state.js";

/** Gas volumes of one end at its events, m3. */
export interface CardVolumes {
  readonly admissionM3: number;
  readonly cutoffM3: number;
  readonly releaseM3: number;
  readonly compressionM3: number;
  readonly greatestM3: number;
  readonly sweptM3: number;
}

export interface IdealCard {
  readonly meanEffectivePa: number;
  readonly releasePa: number;
  readonly compressedPa: number;
  readonly steamKg: number;
}

/** Volumes of an end at its events, from the shares of the stroke. */
export function cardVolumes(events: EndEvents, sweptM3: number, clearanceRatio: number): CardVolumes {
  const clearanceM3 = clearanceRatio * sweptM3;
  // Admission after dead centre has a negative share; before it, it is what is left of the return stroke.
  const admission = Math.abs(events.admissionStrokeRatio!);
  return {
    admissionM3: clearanceM3 + sweptM3 * admission,
    cutoffM3: clearanceM3 + sweptM3 * events.cutoffStrokeRatio!,
    releaseM3: clearanceM3 + sweptM3 * events.releaseStrokeRatio!,
    compressionM3: clearanceM3 + sweptM3 * (1 - events.compressionStrokeRatio!),
    greatestM3: clearanceM3 + sweptM3,
    sweptM3,
  };
}

/**
 * The card of an end whose ports pass any flow without loss and whose walls take no heat. Assumptions:
 * - one uniform charge: what comes in mixes at once with what is there;
 * - while the steam port is open the pressure is the boiler's. Steam that rushes into the compressed residue is throttled,
 *   not isentropic: the charge at cut-off follows from the account of energy, with the boiler's enthalpy for every kilogram in;
 * - expansion from cut-off to release and compression after closure keep entropy (IAPWS-IF97);
 * - at release the pressure falls at once to that outside, what stays behind expanding at constant entropy;
 * - what the piston then draws back until dead centre is the exhaust just let go; or, where the exhaust breathes in other
 *   gas, the residue has the enthalpy given.
 */
export function idealCard(
  fluid: NamedFluid,
  boiler: FluidState,
  backPa: number,
  at: CardVolumes,
  residueJPerKg: number | null,
): IdealCard {
  const p0 = boiler.pressurePa;
  const h0 = boiler.enthalpyJPerKg;
  let residue = stateFromPressureEntropy(fluid, backPa, boiler.entropyJPerKgK);
  for (let round = 0; ; round++) {
    const residueKg = residue.densityKgPerM3 * at.compressionM3;
    const compressed = atDensity(fluid, residue.entropyJPerKgK, residueKg / at.admissionM3, backPa);
    const chargeKg = filledKg(fluid, p0, h0, residueKg, compressed.internalEnergyJPerKg, at.admissionM3, at.cutoffM3);
    const cutoff = stateFromPressureEnthalpy(
      fluid,
      p0,
      h0 + (residueKg * (compressed.internalEnergyJPerKg - h0) + p0 * at.admissionM3) / chargeKg,
    );
    const released = atDensity(fluid, cutoff.entropyJPerKgK, chargeKg / at.releaseM3, p0);
    const left = stateFromPressureEntropy(fluid, backPa, cutoff.entropyJPerKgK);
    const leftKg = left.densityKgPerM3 * at.releaseM3;
    const goneJPerKg =
      (chargeKg * released.internalEnergyJPerKg - leftKg * left.internalEnergyJPerKg) / (chargeKg - leftKg);
    const drawn = stateFromPressureEnthalpy(fluid, backPa, goneJPerKg);
    const drawnKg = (at.greatestM3 - at.releaseM3) * drawn.densityKgPerM3;
    const mixed = stateFromPressureEnthalpy(
      fluid,
      backPa,
      residueJPerKg ?? (leftKg * left.enthalpyJPerKg + drawnKg * goneJPerKg) / (leftKg + drawnKg),
    );
    const change = Math.abs(mixed.densityKgPerM3 / residue.densityKgPerM3 - 1);
    residue = mixed;
    if (change > 1e-9 && round < 100) continue;
    const workJ =
      p0 * (at.cutoffM3 - at.admissionM3) +
      chargeKg * (cutoff.internalEnergyJPerKg - released.internalEnergyJPerKg) -
      backPa * (at.releaseM3 - at.compressionM3) -
      residueKg * (compressed.internalEnergyJPerKg - mixed.internalEnergyJPerKg);
    return {
      meanEffectivePa: workJ / at.sweptM3,
      releasePa: released.pressurePa,
      compressedPa: compressed.pressurePa,
      steamKg: chargeKg - residueKg,
    };
  }
}

/** Mean effective pressure of the handbook: hyperbolic expansion with clearance, no compression, release at the end. Pa. */
export function hyperbolicMeanEffectivePa(p0: number, backPa: number, cutoff: number, clearance: number): number {
  return p0 * (cutoff + (cutoff + clearance) * Math.log((1 + clearance) / (cutoff + clearance))) - backPa;
}

/** The state of an entropy and density, by halving the pressure's logarithm. */
function atDensity(fluid: NamedFluid, entropy: number, density: number, nearPa: number): FluidState {
  let low = Math.log(nearPa / 50);
  let high = Math.log(nearPa * 50);
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (stateFromPressureEntropy(fluid, Math.exp(middle), entropy).densityKgPerM3 > density) high = middle;
    else low = middle;
  }
  return stateFromPressureEntropy(fluid, Math.exp(0.5 * (low + high)), entropy);
}

/** Mass in the end at cut-off: m2 (h2 - h0) = m1 (u1 - h0) + p0 Va with v(p0, h2) = Vc / m2. */
function filledKg(
  fluid: NamedFluid,
  p0: number,
  h0: number,
  residueKg: number,
  residueJPerKg: number,
  admissionM3: number,
  cutoffM3: number,
): number {
  const surplusJ = residueKg * (residueJPerKg - h0) + p0 * admissionM3;
  let mass = cutoffM3 * stateFromPressureEnthalpy(fluid, p0, h0).densityKgPerM3;
  for (let i = 0; i < 100; i++) {
    const next = cutoffM3 * stateFromPressureEnthalpy(fluid, p0, h0 + surplusJ / mass).densityKgPerM3;
    if (Math.abs(next / mass - 1) < 1e-12) return next;
    mass = next;
  }
  return mass;
}
