import { UNFLANGED_END_CORRECTION_RATIO } from "../quantities/constants.js";
import { cos, tan } from "../quantities/portable-maths.js";
import type { PipeDescription } from "./engine-description.js";

/** Pipes of an exhaust as sound sees them: from one cylinder's shut ports to the mouth. */
export interface ResonantPipes {
  readonly passage: PipeDescription | null;
  readonly passageCount: number;
  readonly blastPipe: PipeDescription | null;
  readonly nozzle: { readonly boreM: number; readonly contractionM: number } | null;
  /** Density of the gas outside the mouth over that of the gas in the pipes: air outside steam weighs twice as much. */
  readonly outsideDensityRatio: number;
}

// Resonances are looked for in steps of this. [common practice: finer than the closest pair of one machine's pipes]
const stepHz = 0.5;
const nozzleSlices = 12;

/**
 * Frequencies up to `highestHz` at which the pipes resonate with every port shut and the mouth open (end correction 0.6133
 * radii of the gas outside), losses and mean flow left out. All other passages hang on the junction as shut branches.
 */
export function pipeResonancesHz(pipes: ResonantPipes, soundSpeedMPerS: number, highestHz: number): number[] {
  const found: number[] = [];
  // Susceptance over rho c seen from the port; it passes zero upwards at a resonance.
  let last = portSusceptance(pipes, soundSpeedMPerS, stepHz);
  for (let hz = 2 * stepHz; hz <= highestHz; hz += stepHz) {
    const now = portSusceptance(pipes, soundSpeedMPerS, hz);
    if (last < 0 && now >= 0) found.push(hz - (stepHz * now) / (now - last));
    last = now;
  }
  return found;
}

function portSusceptance(pipes: ResonantPipes, soundSpeed: number, hz: number): number {
  const { passage, blastPipe, nozzle } = pipes;
  const k = (2 * Math.PI * hz) / soundSpeed;
  const last = blastPipe ?? passage;
  if (last === null) return 0;
  const nozzleBore = nozzle?.boreM ?? last.boreM;
  // The mouth is a mass: admittance A / (j omega rho l), here without the common rho c.
  const endM = UNFLANGED_END_CORRECTION_RATIO * 0.5 * nozzleBore * pipes.outsideDensityRatio;
  let susceptance = -area(nozzleBore) / (k * endM);
  const contraction = Math.min(nozzle?.contractionM ?? 0, last.lengthM);
  for (let i = nozzleSlices - 1; i >= 0 && contraction > 0; i--) {
    // Narrowed along a cosine, as the pipe model has it.
    const share = 0.5 * (1 - cos((Math.PI * (i + 0.5)) / nozzleSlices));
    const bore = last.boreM + (nozzleBore - last.boreM) * share;
    susceptance = through(susceptance, area(bore), k * (contraction / nozzleSlices));
  }
  susceptance = through(susceptance, area(last.boreM), k * (last.lengthM - contraction));
  if (blastPipe === null || passage === null) return susceptance;
  susceptance += (pipes.passageCount - 1) * through(0, area(passage.boreM), k * passage.lengthM);
  return through(susceptance, area(passage.boreM), k * passage.lengthM);
}

// A pipe of characteristic admittance `y` and phase `angle` in front of a susceptance.
function through(susceptance: number, y: number, angle: number): number {
  const t = tan(angle);
  return (y * (susceptance + y * t)) / (y - susceptance * t);
}

function area(boreM: number): number {
  return 0.25 * Math.PI * boreM * boreM;
}
