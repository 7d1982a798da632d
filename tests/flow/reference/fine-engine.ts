import { FineCells, type FineGas, type FineShape } from "./fine-cells.js";
import {
  closeJunction,
  closePorts,
  FineMouth,
  isentropicKgPerS,
  type FineOutside,
  type FinePort,
} from "./fine-ends.js";

/** The working fluid in the cylinders, and what the pipes' gas is given for it. */
export interface FineFluid {
  /** For flow through openings. */
  readonly exponent: number;
  readonly pressurePa: (densityKgPerM3: number, internalJPerKg: number) => number;
  readonly pipeEnthalpy: (enthalpyJPerKg: number) => number;
}

/** One end of one cylinder; openings are effective areas. Mass and energy are what it starts with. */
export interface FineCylinderEnd {
  readonly passage: number;
  readonly massKg: number;
  readonly energyJ: number;
  readonly volumeM3: (timeS: number) => number;
  readonly steamM2: (timeS: number) => number;
  readonly exhaustM2: (timeS: number) => number;
}

export interface FineEngine {
  readonly gas: FineGas;
  readonly fluid: FineFluid;
  readonly outside: FineOutside;
  readonly ends: readonly FineCylinderEnd[];
  readonly passages: readonly FineShape[];
  /** Null: every passage has a mouth of its own. */
  readonly blastPipe: FineShape | null;
  /** Density, velocity and pressure along each pipe at the start, passages first. */
  readonly pipeStart: (pipe: number, xM: number) => readonly [number, number, number];
  /** Real enthalpy above that of the pipes' gas, per kilogram in the pipes, at the start. */
  readonly latentJPerKg: number;
  /** State of the chest, which never changes. */
  readonly chest: { readonly pressurePa: number; readonly densityKgPerM3: number; readonly enthalpyJPerKg: number };
  readonly startS: number;
  /** Results are taken from here. */
  readonly fromS: number;
  readonly toS: number;
  readonly resultStepS: number;
}

export interface FineResult {
  /** Volume flow out of all mouths, m3/s, at `stepS` apart. */
  readonly volumeFlow: Float64Array;
  readonly massFlow: Float64Array;
  readonly stepS: number;
}

export interface FineEngineResult extends FineResult {
  /** Volume flow of each mouth. */
  readonly mouthFlow: readonly Float64Array[];
  /** Work of each end over the time of the results, J. */
  readonly workJ: number[];
  /** Mass out of each end and real enthalpy with it, over the same time. */
  readonly exhaustKg: number[];
  readonly exhaustJ: number[];
}

/** Cylinders, ports, passages, junction, blast pipe and mouths in many cells and short steps. Slow, and simple on purpose. */
export function solveFineEngine(c: FineEngine): FineEngineResult {
  const { gas, fluid, ends, chest } = c;
  const passages = c.passages.map((shape) => new FineCells(shape, gas));
  const blast = c.blastPipe === null ? null : new FineCells(c.blastPipe, gas);
  const pipes = blast === null ? passages : [...passages, blast];
  pipes.forEach((pipe, k) => pipe.fillFrom((xM) => c.pipeStart(k, xM)));
  const open = blast === null ? passages : [blast];
  const mouths = open.map((pipe) => new FineMouth(pipe, gas, c.outside));
  const ports: FinePort[] = ends.map(() => ({
    areaM2: 0,
    pressurePa: 0,
    densityKgPerM3: 1,
    pipeEnthalpy: 1,
    mostPerPa: 0,
    kgPerS: 0,
    carriedEnthalpy: 0,
  }));
  const portsOf = passages.map((_, k) => ports.filter((_port, i) => ends[i].passage === k));
  const mass = ends.map((end) => end.massKg);
  const energy = ends.map((end) => end.energyJ);
  const volume = ends.map((end) => end.volumeM3(c.startS));
  const workJ = ends.map(() => 0);
  const exhaustKg = ends.map(() => 0);
  const exhaustJ = ends.map(() => 0);
  const count = Math.round((c.toS - c.fromS) / c.resultStepS);
  const mouthFlow = mouths.map(() => new Float64Array(count));
  const volumeFlow = new Float64Array(count);
  const massFlow = new Float64Array(count);
  // Real enthalpy above the pipe gas's, per kilogram, well mixed over the pipes.
  let pipesKg = pipes.reduce((sum, pipe) => sum + pipe.massKg(), 0);
  let latentJ = c.latentJPerKg * pipesKg;
  const lastQ = mouths.map(() => 0);
  let lastM = 0;
  let time = c.startS;
  let index = 0;
  while (index < count) {
    let dt = 0.5 * c.resultStepS;
    for (const pipe of pipes) dt = Math.min(dt, pipe.read());
    if (!(dt > 1e-9)) throw new Error(`the fine solution ran away at ${time} s`);
    for (const pipe of pipes) pipe.send(dt);
    const before = ends.map((_, i) => fluid.pressurePa(mass[i] / volume[i], energy[i] / mass[i]));
    const enthalpy = before.map((p, i) => (energy[i] + p * volume[i]) / mass[i]);
    ports.forEach((port, i) => {
      port.areaM2 = ends[i].exhaustM2(time + 0.5 * dt);
      port.pressurePa = before[i];
      port.densityKgPerM3 = mass[i] / volume[i];
      port.pipeEnthalpy = fluid.pipeEnthalpy(enthalpy[i]);
      port.mostPerPa = (0.5 * mass[i]) / (fluid.exponent * before[i] * dt);
    });
    passages.forEach((pipe, k) => closePorts(pipe, gas, portsOf[k], fluid.exponent));
    if (blast !== null) closeJunction(passages, blast, gas);
    for (const mouth of mouths) mouth.close(dt);
    const latent = latentJ / pipesKg;
    const isCounted = time + 0.5 * dt >= c.fromS && time + 0.5 * dt < c.toS;
    ends.forEach((end, i) => {
      const area = end.steamM2(time + 0.5 * dt);
      const p = before[i];
      const isIn = chest.pressurePa > p;
      const most = ((0.5 * mass[i]) / (fluid.exponent * p * dt)) * Math.abs(chest.pressurePa - p);
      const free = isIn
        ? isentropicKgPerS(fluid.exponent, area, chest.pressurePa, chest.densityKgPerM3, p)
        : isentropicKgPerS(fluid.exponent, area, p, mass[i] / volume[i], chest.pressurePa);
      const steam = (isIn ? 1 : -1) * Math.min(most, free);
      const out = ports[i].kgPerS;
      const outJPerKg = out > 0 ? enthalpy[i] : ports[i].carriedEnthalpy + latent;
      const heat = steam * (isIn ? chest.enthalpyJPerKg : enthalpy[i]) - out * outJPerKg;
      const next = end.volumeM3(time + dt);
      const nextKg = mass[i] + (steam - out) * dt;
      const swept = next - volume[i];
      const first = energy[i] + heat * dt - p * swept;
      const after = swept === 0 ? p : fluid.pressurePa(nextKg / next, first / nextKg);
      const work = 0.5 * (p + after) * swept;
      energy[i] += heat * dt - work;
      mass[i] = nextKg;
      volume[i] = next;
      latentJ += out * (outJPerKg - ports[i].carriedEnthalpy) * dt;
      pipesKg += out * dt;
      if (!isCounted) return;
      workJ[i] += work;
      exhaustKg[i] += out * dt;
      exhaustJ[i] += out * outJPerKg * dt;
    });
    let leaving = 0;
    for (const pipe of open) leaving += pipe.flux[0][pipe.count] * pipe.rightAreaM2;
    latentJ -= leaving * latent * dt;
    pipesKg -= leaving * dt;
    for (const pipe of pipes) pipe.take(dt);
    // The flow belongs to the middle of the step.
    const middle = time + 0.5 * dt;
    while (index < count && c.fromS + index * c.resultStepS <= middle) {
      const back = middle - c.fromS - index * c.resultStepS;
      const share = time === c.startS ? 1 : Math.min(1, Math.max(0, 1 - back / dt));
      mouths.forEach((mouth, m) => {
        mouthFlow[m][index] = lastQ[m] + share * (mouth.volumeFlow - lastQ[m]);
        volumeFlow[index] += mouthFlow[m][index];
      });
      massFlow[index] = lastM + share * (leaving - lastM);
      index++;
    }
    mouths.forEach((mouth, m) => (lastQ[m] = mouth.volumeFlow));
    lastM = leaving;
    time += dt;
  }
  return { volumeFlow, massFlow, mouthFlow, stepS: c.resultStepS, workJ, exhaustKg, exhaustJ };
}
