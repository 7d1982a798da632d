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
 * Mass flow through an opening whose downstream pressure rises with the flow it passes:
 * downstream = `downstreamPa` + `impedancePaSPerKg` x flow. Zero unless `upstreamPa` is the higher.
 *
 * Between choked and closed the flow follows a quarter ellipse of the pressure ratio, at most 1 % low for an exponent of
 * 1.3, so flow and pressure come together from one square root, without iteration, stable however stiff the far side is.
 * A loop sets the fields and calls `solve`; nothing is handed over that would take room on the heap.
 */
export class Opening {
  /** Flow if choked: coefficient x area x factor x sqrt(p0 rho0), kg/s. */
  chokedKgPerS = 0.5;
  upstreamPa = 0.5;
  downstreamPa = 0.5;
  impedancePaSPerKg = 0.5;
  /** The result, never negative, kg/s. */
  flowKgPerS = 0.5;

  /** @param criticalRatio from `criticalPressureRatio` for the gas that flows */
  constructor(private readonly criticalRatio: number) {
    this.flowKgPerS = 0;
  }

  /** Fills `flowKgPerS` from the other fields. */
  solve(): void {
    const choked = this.chokedKgPerS;
    const upstreamPa = this.upstreamPa;
    const downstreamPa = this.downstreamPa;
    if (!(choked > 0) || downstreamPa >= upstreamPa) {
      this.flowKgPerS = 0;
      return;
    }
    const critical = this.criticalRatio;
    const span = 1 / (1 - critical);
    const y = (downstreamPa / upstreamPa - critical) * span;
    const stiffness = (this.impedancePaSPerKg * choked * span) / upstreamPa;
    const scale = 1 + stiffness * stiffness;
    const argument = scale - y * y;
    let share = 1;
    if (argument > 0) {
      const root = (Math.sqrt(argument) - stiffness * y) / scale;
      if (y + stiffness * root > 0) share = root;
    }
    this.flowKgPerS = choked * share;
  }
}

/** `Opening` as a function, for set-up and tests: flow in kg/s. */
export function orificeFlowKgPerS(
  chokedKgPerS: number,
  upstreamPa: number,
  downstreamPa: number,
  impedancePaSPerKg: number,
  criticalRatio: number,
): number {
  const opening = new Opening(criticalRatio);
  opening.chokedKgPerS = chokedKgPerS;
  opening.upstreamPa = upstreamPa;
  opening.downstreamPa = downstreamPa;
  opening.impedancePaSPerKg = impedancePaSPerKg;
  opening.solve();
  return opening.flowKgPerS;
}

function powHalf(base: number, exponent: number): number {
  return Math.sqrt(pow(base, exponent));
}
