/**
 * A slow, independent solution of one exhaust pipe: vessel, valve-controlled orifice, straight pipe, open end with a
 * radiation load. Perfect gas; finite volumes with limited linear states (minmod, half a step ahead) and three-wave
 * fluxes, on many cells. [source: Toro, Riemann Solvers and Numerical Methods for Fluid Dynamics, 1999, ch. 10 and 14,
 * from memory]. It shares no code with src/.
 */
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

export interface FineResult {
  /** Volume flow out of the mouth, m3/s, at `stepS` apart. */
  readonly volumeFlow: Float64Array;
  readonly massFlow: Float64Array;
  readonly stepS: number;
}

export function solveFinePipe(c: FinePipe): FineResult {
  const g = c.exponent;
  const n = c.cellCount;
  const dx = c.lengthM / n;
  const area = (Math.PI / 4) * c.boreM ** 2;
  const r = new Float64Array(n);
  const m = new Float64Array(n);
  const e = new Float64Array(n);
  const rho = new Float64Array(n);
  const vel = new Float64Array(n);
  const pre = new Float64Array(n);
  // Left and right states of each cell at its own two edges, half a step on.
  const edge = Array.from({ length: 6 }, () => new Float64Array(n));
  const f = Array.from({ length: 3 }, () => new Float64Array(n + 1));
  const density0 = c.ambientPa / (c.gasConstant * c.pipeK);
  r.fill(density0);
  e.fill(c.ambientPa / (g - 1));
  let vesselKg = (c.vesselPa * c.vesselM3) / (c.gasConstant * c.vesselK);
  let vesselJ = (c.vesselPa * c.vesselM3) / (g - 1);
  const radius = c.boreM / 2;
  // A mass of 0.6133 radii of air beside a resistance of 1.5045 rho c. [source: Levine & Schwinger 1948; as src/flow/mouth.ts]
  const resistance = 1.5045 * c.airDensity * c.airSoundSpeed;
  const inertance = 0.6133 * c.airDensity * radius;
  let lag = 0;
  const outStep = 1 / 48_000;
  const volumeFlow = new Float64Array(Math.round(c.seconds / outStep));
  const massFlow = new Float64Array(volumeFlow.length);
  let outIndex = 0;
  let time = 0;
  let lastQ = 0;
  let lastM = 0;
  const criticalRatio = (2 / (g + 1)) ** (g / (g - 1));
  const isentropic = (aM2: number, p0: number, rho0: number, p: number) => {
    const x = Math.max(p / p0, criticalRatio);
    return aM2 * Math.sqrt(((2 * g) / (g - 1)) * p0 * rho0 * Math.max(0, x ** (2 / g) - x ** ((g + 1) / g)));
  };
  while (outIndex < volumeFlow.length) {
    let fastest = 0;
    let fastestGas = 0;
    for (let i = 0; i < n; i++) {
      rho[i] = r[i];
      vel[i] = m[i] / r[i];
      pre[i] = (g - 1) * (e[i] - 0.5 * m[i] * vel[i]);
      fastest = Math.max(fastest, Math.abs(vel[i]) + Math.sqrt((g * pre[i]) / rho[i]));
      fastestGas = Math.max(fastestGas, Math.abs(vel[i]));
    }
    // The explicit dispersion has a limit of its own.
    const spreading = (0.4 * dx * dx) / Math.max(c.dispersionM * fastestGas, 1e-12);
    const dt = Math.min((0.8 * dx) / fastest, 0.5 * outStep, spreading);
    if (!(dt > 1e-9)) throw new Error(`the fine solution ran away at ${time} s`);
    // Slopes and half-step evolution in primitive variables.
    for (let i = 0; i < n; i++) {
      const a = i > 0 ? i - 1 : 0;
      const b = i < n - 1 ? i + 1 : n - 1;
      const sr = minmod(rho[i] - rho[a], rho[b] - rho[i]);
      const su = minmod(vel[i] - vel[a], vel[b] - vel[i]);
      const sp = minmod(pre[i] - pre[a], pre[b] - pre[i]);
      const h = (0.5 * dt) / dx;
      const er = rho[i] - h * (vel[i] * sr + rho[i] * su);
      const eu = vel[i] - h * (vel[i] * su + sp / rho[i]);
      const ep = pre[i] - h * (vel[i] * sp + g * pre[i] * su);
      edge[0][i] = er - 0.5 * sr;
      edge[1][i] = eu - 0.5 * su;
      edge[2][i] = ep - 0.5 * sp;
      edge[3][i] = er + 0.5 * sr;
      edge[4][i] = eu + 0.5 * su;
      edge[5][i] = ep + 0.5 * sp;
    }
    for (let i = 1; i < n; i++) {
      threeWaveFlux(g, edge[3][i - 1], edge[4][i - 1], edge[5][i - 1], edge[0][i], edge[1][i], edge[2][i], f, i);
      if (c.dispersionM > 0) {
        // Temperature spreads along the pipe at equal pressure: density does, and with it nothing else at rest in pressure.
        const u = 0.5 * (vel[i - 1] + vel[i]);
        const spread = (-c.dispersionM * Math.abs(u) * (rho[i] - rho[i - 1])) / dx;
        f[0][i] += spread;
        f[1][i] += spread * u;
        f[2][i] += 0.5 * spread * u * u;
      }
    }
    // Vessel and orifice: the face pressure at which orifice and wave agree, by bisection.
    const vesselPa = ((g - 1) * vesselJ) / c.vesselM3;
    const vesselRho = vesselKg / c.vesselM3;
    const opening = c.areaM2(time);
    const z0 = Math.sqrt(g * edge[0][0] * edge[2][0]);
    const wall = edge[2][0] - z0 * edge[1][0];
    f[0][0] = 0;
    f[1][0] = Math.max(wall, 0);
    f[2][0] = 0;
    if (opening > 0 && vesselPa > wall) {
      const h0 = (g / (g - 1)) * (vesselPa / vesselRho);
      const speedFor = (flow: number, p: number) => {
        // rho u = flow/area and h0 = g/(g-1) p/rho + u^2/2: the positive root.
        const q = ((g / (g - 1)) * p * area) / flow;
        return -q + Math.sqrt(q * q + 2 * h0);
      };
      let low = Math.max(wall, 1);
      let high = vesselPa;
      for (let k = 0; k < 40; k++) {
        const p = 0.5 * (low + high);
        const flow = isentropic(opening, vesselPa, vesselRho, p);
        if (flow > 0 && wall + z0 * speedFor(flow, p) > p) low = p;
        else high = p;
      }
      const flow = isentropic(opening, vesselPa, vesselRho, low);
      if (flow > 0) {
        f[0][0] = flow / area;
        f[1][0] = (flow / area) * speedFor(flow, low) + low;
        f[2][0] = (flow / area) * h0;
      }
    } else if (opening > 0) {
      const h = (g / (g - 1)) * (pre[0] / rho[0]) + 0.5 * vel[0] ** 2;
      let low = vesselPa;
      let high = wall;
      for (let k = 0; k < 40; k++) {
        const p = 0.5 * (low + high);
        const u = isentropic(opening, p, rho[0], vesselPa) / (rho[0] * area);
        if (wall - z0 * u > p) low = p;
        else high = p;
      }
      const flow = isentropic(opening, low, rho[0], vesselPa) / area;
      f[0][0] = -flow;
      f[1][0] = (flow * flow) / rho[0] + low;
      f[2][0] = -flow * h;
    }
    // Mouth.
    const rhoN = edge[3][n - 1];
    const uN = edge[4][n - 1];
    const pN = edge[5][n - 1];
    const cN = Math.sqrt((g * pN) / rhoN);
    const zN = rhoN * cN;
    const x = (dt * resistance) / inertance;
    const load = resistance / (1 + x);
    const outside = c.ambientPa - load * lag;
    let u = (pN + zN * uN - outside) / (zN + load);
    let q: number;
    if (u >= 0) {
      let p = outside + load * u;
      let rhoOut = rhoN * Math.max(0.05, p / pN) ** (1 / g);
      const sonic = ((g - 1) / (g + 1)) * (uN + (2 * cN) / (g - 1));
      if (uN > cN) {
        u = uN;
        p = pN;
        rhoOut = rhoN;
      } else if (u > sonic) {
        u = sonic;
        p = pN * (sonic / cN) ** ((2 * g) / (g - 1));
        rhoOut = rhoN * (sonic / cN) ** (2 / (g - 1));
      }
      f[0][n] = rhoOut * u;
      f[1][n] = rhoOut * u * u + p;
      f[2][n] = u * ((g * p) / (g - 1) + 0.5 * rhoOut * u * u);
      q = u * area * (p > c.ambientPa && u >= sonic ? (p / c.ambientPa) ** (1 / g) : 1);
    } else {
      const zz = zN + load;
      const rhoIn = c.ambientPa / (c.gasConstant * c.inflowK);
      u = (zz - Math.sqrt(zz * zz - 2 * rhoIn * (pN + zN * uN - outside))) / rhoIn;
      const p = pN + zN * (uN - u);
      f[0][n] = rhoIn * u;
      f[1][n] = rhoIn * u * u + p;
      f[2][n] = rhoIn * u * (g / (g - 1)) * c.gasConstant * c.inflowK;
      q = u * area;
    }
    lag += (x / (1 + x)) * (u - lag);
    const h = dt / dx;
    for (let i = 0; i < n; i++) {
      r[i] += h * (f[0][i] - f[0][i + 1]);
      m[i] += h * (f[1][i] - f[1][i + 1]);
      e[i] += h * (f[2][i] - f[2][i + 1]);
    }
    vesselKg -= f[0][0] * area * dt;
    vesselJ -= f[2][0] * area * dt;
    const out = f[0][n] * area;
    // The flow belongs to the middle of the step.
    const middle = time + 0.5 * dt;
    while (outIndex < volumeFlow.length && outIndex * outStep <= middle) {
      const share = time === 0 ? 1 : Math.min(1, Math.max(0, 1 - (middle - outIndex * outStep) / dt));
      volumeFlow[outIndex] = lastQ + share * (q - lastQ);
      massFlow[outIndex] = lastM + share * (out - lastM);
      outIndex++;
    }
    lastQ = q;
    lastM = out;
    time += dt;
  }
  return { volumeFlow, massFlow, stepS: outStep };
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
