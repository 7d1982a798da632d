import { solveFineEngine, type FineResult } from "./fine-engine.js";

/** One exhaust pipe: vessel, valve-controlled orifice, straight pipe, open end with a radiation load. Perfect gas. */
export interface FinePipe {
  readonly exponent: number;
  readonly gasConstant: number;
  readonly lengthM: number;
  readonly boreM: number;
  readonly cellCount: number;
  readonly vesselM3: number;
  readonly vesselPa: number;
  readonly vesselK: number;
  readonly pipeK: number;
  readonly ambientPa: number;
  /** Of the air outside. */
  readonly airDensity: number;
  readonly airSoundSpeed: number;
  /** Enthalpy per kilogram of what is drawn in, as temperature of the gas. */
  readonly inflowK: number;
  readonly areaM2: (timeS: number) => number;
  readonly seconds: number;
  /** Turbulent dispersion of temperature along the pipe, m, times |u|; 0 for none. */
  readonly dispersionM: number;
}

/** Flows out of the mouth, 48 000 a second, by the slow solution. */
export function solveFinePipe(c: FinePipe): FineResult {
  const { exponent, gasConstant, lengthM, boreM, cellCount, dispersionM, ambientPa, airDensity, airSoundSpeed } = c;
  const specificHeat = (exponent * gasConstant) / (exponent - 1);
  return solveFineEngine({
    gas: { exponent, gasConstant },
    fluid: { exponent, pressurePa: (density, internal) => (exponent - 1) * density * internal, pipeEnthalpy: (h) => h },
    outside: {
      ambientPa,
      airDensity,
      airSoundSpeed,
      inflowDensity: ambientPa / (gasConstant * c.inflowK),
      inflowEnthalpy: specificHeat * c.inflowK,
    },
    ends: [
      {
        passage: 0,
        massKg: (c.vesselPa * c.vesselM3) / (gasConstant * c.vesselK),
        energyJ: (c.vesselPa * c.vesselM3) / (exponent - 1),
        volumeM3: () => c.vesselM3,
        steamM2: () => 0,
        exhaustM2: c.areaM2,
      },
    ],
    passages: [{ lengthM, boreM, cellCount, dispersionM }],
    blastPipe: null,
    pipeStart: () => [ambientPa / (gasConstant * c.pipeK), 0, ambientPa],
    latentJPerKg: 0,
    chest: { pressurePa: ambientPa, densityKgPerM3: 1, enthalpyJPerKg: 0 },
    startS: 0,
    fromS: 0,
    toS: c.seconds,
    resultStepS: 1 / 48_000,
  });
}
