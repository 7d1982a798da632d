/** One calorically perfect gas. */
export interface FineGas {
  readonly exponent: number;
  readonly gasConstant: number;
}

export interface FineShape {
  readonly lengthM: number;
  readonly boreM: number;
  /** The pipe narrows (cosine) to this bore over its last `contractionM`; left out for a straight pipe. */
  readonly mouthBoreM?: number;
  readonly contractionM?: number;
  readonly cellCount: number;
  /** Turbulent dispersion of temperature along the pipe, m, times |u|; 0 for none. */
  readonly dispersionM: number;
}

/**
 * One pipe in many cells: finite volumes with limited linear states (minmod, half a step ahead) and three-wave fluxes.
 * [source: Toro, Riemann Solvers and Numerical Methods for Fluid Dynamics, 1999, ch. 10 and 14, from memory]. It shares no
 * code with src/. The ends are closed from outside: fluxes per unit area go into the first and last place of `flux`.
 */
export class FineCells {
  readonly count: number;
  readonly leftAreaM2: number;
  readonly rightAreaM2: number;
  /** Mass, momentum and energy per unit volume. */
  readonly state: readonly Float64Array[];
  /** Density, velocity, pressure at the left edge and at the right edge of each cell, half a step on. */
  readonly edge: readonly Float64Array[];
  /** Of mass, momentum and energy through each face, per unit area. */
  readonly flux: readonly Float64Array[];
  private readonly plain: readonly Float64Array[];
  private readonly middlePa: Float64Array;
  private readonly faceM2: Float64Array;
  private readonly volumeM3: Float64Array;
  private readonly dx: number;

  constructor(
    private readonly shape: FineShape,
    private readonly gas: FineGas,
  ) {
    const n = (this.count = shape.cellCount);
    const arrays = (count: number, size: number) => Array.from({ length: count }, () => new Float64Array(size));
    this.state = arrays(3, n);
    this.plain = arrays(3, n);
    this.edge = arrays(6, n);
    this.flux = arrays(3, n + 1);
    this.middlePa = new Float64Array(n);
    this.dx = shape.lengthM / n;
    this.faceM2 = Float64Array.from({ length: n + 1 }, (_, i) => areaAt(shape, i * this.dx));
    this.volumeM3 = Float64Array.from({ length: n }, (_, i) => {
      const middle = areaAt(shape, (i + 0.5) * this.dx);
      return ((this.faceM2[i] + 4 * middle + this.faceM2[i + 1]) / 6) * this.dx;
    });
    this.leftAreaM2 = this.faceM2[0];
    this.rightAreaM2 = this.faceM2[n];
  }

  /** Fills every cell with what stands at its middle: density, velocity, pressure. */
  fillFrom(at: (xM: number) => readonly [number, number, number]): void {
    for (let i = 0; i < this.count; i++) {
      const [density, velocity, pressurePa] = at((i + 0.5) * this.dx);
      this.state[0][i] = density;
      this.state[1][i] = density * velocity;
      this.state[2][i] = pressurePa / (this.gas.exponent - 1) + 0.5 * density * velocity * velocity;
    }
  }

  /** Reads the cells; the longest step they allow, s. */
  read(): number {
    const g = this.gas.exponent;
    const [r, m, e] = this.state;
    const [rho, vel, pre] = this.plain;
    let fastest = 0;
    let fastestGas = 0;
    for (let i = 0; i < this.count; i++) {
      rho[i] = r[i];
      vel[i] = m[i] / r[i];
      pre[i] = (g - 1) * (e[i] - 0.5 * m[i] * vel[i]);
      const speed = Math.abs(vel[i]);
      fastest = Math.max(fastest, speed + Math.sqrt((g * pre[i]) / rho[i]));
      fastestGas = Math.max(fastestGas, speed);
    }
    // The explicit dispersion has a limit of its own.
    const spreading = (0.4 * this.dx * this.dx) / Math.max(this.shape.dispersionM * fastestGas, 1e-12);
    return Math.min((0.8 * this.dx) / fastest, spreading);
  }

  /** Edge states half a step on, and all inner fluxes. */
  send(dt: number): void {
    const g = this.gas.exponent;
    const n = this.count;
    const [rho, vel, pre] = this.plain;
    const [rl, ul, pl, rr, ur, pr] = this.edge;
    const h = (0.5 * dt) / this.dx;
    for (let i = 0; i < n; i++) {
      const a = i > 0 ? i - 1 : 0;
      const b = i < n - 1 ? i + 1 : n - 1;
      const sr = minmod(rho[i] - rho[a], rho[b] - rho[i]);
      const su = minmod(vel[i] - vel[a], vel[b] - vel[i]);
      const sp = minmod(pre[i] - pre[a], pre[b] - pre[i]);
      // A narrowing pipe squeezes the gas that runs into it.
      const squeeze = (0.5 * dt * vel[i] * (this.faceM2[i + 1] - this.faceM2[i])) / this.volumeM3[i];
      const er = rho[i] - h * (vel[i] * sr + rho[i] * su) - rho[i] * squeeze;
      const eu = vel[i] - h * (vel[i] * su + sp / rho[i]);
      const ep = pre[i] - h * (vel[i] * sp + g * pre[i] * su) - g * pre[i] * squeeze;
      rl[i] = er - 0.5 * sr;
      ul[i] = eu - 0.5 * su;
      pl[i] = ep - 0.5 * sp;
      rr[i] = er + 0.5 * sr;
      ur[i] = eu + 0.5 * su;
      pr[i] = ep + 0.5 * sp;
      this.middlePa[i] = ep;
    }
    const f = this.flux;
    const mixing = this.shape.dispersionM;
    for (let i = 1; i < n; i++) {
      threeWaveFlux(g, rr[i - 1], ur[i - 1], pr[i - 1], rl[i], ul[i], pl[i], f, i);
      if (mixing === 0) continue;
      // Temperature spreads along the pipe at equal pressure: density does, and with it nothing else at rest in pressure.
      const u = 0.5 * (vel[i - 1] + vel[i]);
      const spread = (-mixing * Math.abs(u) * (rho[i] - rho[i - 1])) / this.dx;
      f[0][i] += spread;
      f[1][i] += spread * u;
      f[2][i] += 0.5 * spread * u * u;
    }
  }

  /** Takes the step, once the ends are closed. */
  take(dt: number): void {
    const area = this.faceM2;
    const [f0, f1, f2] = this.flux;
    const [r, m, e] = this.state;
    for (let i = 0; i < this.count; i++) {
      const h = dt / this.volumeM3[i];
      const left = area[i];
      const right = area[i + 1];
      r[i] += h * (left * f0[i] - right * f0[i + 1]);
      m[i] += h * (left * f1[i] - right * f1[i + 1] + this.middlePa[i] * (right - left));
      e[i] += h * (left * f2[i] - right * f2[i + 1]);
    }
  }

  /** Mass in the pipe, kg. */
  massKg(): number {
    return this.state[0].reduce((sum, density, i) => sum + density * this.volumeM3[i], 0);
  }

  /** Energy in the pipe, J. */
  energyJ(): number {
    return this.state[2].reduce((sum, energy, i) => sum + energy * this.volumeM3[i], 0);
  }
}

function areaAt(shape: FineShape, xM: number): number {
  const { boreM, contractionM = 0, mouthBoreM = boreM } = shape;
  const within = contractionM > 0 ? Math.max(0, (xM - shape.lengthM) / contractionM + 1) : 0;
  const bore = mouthBoreM + (boreM - mouthBoreM) * 0.5 * (1 + Math.cos(Math.PI * Math.min(1, within)));
  return (Math.PI / 4) * bore * bore;
}

function minmod(a: number, b: number): number {
  return a * b <= 0 ? 0 : Math.abs(a) < Math.abs(b) ? a : b;
}

function threeWaveFlux(
  g: number,
  rl: number,
  ul: number,
  pl: number,
  rr: number,
  ur: number,
  pr: number,
  f: readonly Float64Array[],
  at: number,
): void {
  const cl = Math.sqrt((g * pl) / rl);
  const cr = Math.sqrt((g * pr) / rr);
  const slow = Math.min(ul - cl, ur - cr);
  const fast = Math.max(ul + cl, ur + cr);
  const star = (pr - pl + rl * ul * (slow - ul) - rr * ur * (fast - ur)) / (rl * (slow - ul) - rr * (fast - ur));
  const isLeft = star >= 0;
  const density = isLeft ? rl : rr;
  const u = isLeft ? ul : ur;
  const p = isLeft ? pl : pr;
  const wave = isLeft ? slow : fast;
  const energy = p / (g - 1) + 0.5 * density * u * u;
  let mass = density * u;
  let momentum = mass * u + p;
  let power = u * (energy + p);
  if (isLeft ? slow < 0 : fast > 0) {
    const starDensity = (density * (wave - u)) / (wave - star);
    const starEnergy = starDensity * (energy / density + (star - u) * (star + p / (density * (wave - u))));
    mass += wave * (starDensity - density);
    momentum += wave * (starDensity * star - density * u);
    power += wave * (starEnergy - energy);
  }
  f[0][at] = mass;
  f[1][at] = momentum;
  f[2][at] = power;
}
