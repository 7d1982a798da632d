import type { FineCells, FineGas } from "./fine-cells.js";

/** Isentropic flow through an opening, kg/s. [source: gas-dynamics textbook form] */
export function isentropicKgPerS(g: number, areaM2: number, p0: number, rho0: number, p: number): number {
  if (p >= p0 || areaM2 <= 0) return 0;
  const x = Math.max(p / p0, (2 / (g + 1)) ** (g / (g - 1)));
  const density = x ** (1 / g);
  return areaM2 * density * Math.sqrt(((2 * g) / (g - 1)) * p0 * rho0 * (1 - x / density));
}

/** Where a falling function passes zero; the ends of the range where it does not. */
export function fallingRoot(f: (x: number) => number, low: number, high: number): number {
  let a = low;
  let b = high;
  let fa = f(a);
  if (!(fa > 0)) return a;
  let fb = f(b);
  if (!(fb < 0)) return b;
  // Regula falsi that halves the weight of an end that stays. [source: the Illinois rule, from memory]
  let moved = 0;
  for (let i = 0; i < 60 && b - a > 1e-9 * b; i++) {
    const x = (a * fb - b * fa) / (fb - fa);
    const fx = f(x);
    if (Math.abs(fx) < 1e-9 * high) return x;
    if (fx > 0) {
      a = x;
      fa = fx;
      if (moved > 0) fb *= 0.5;
      moved = 1;
    } else {
      b = x;
      fb = fx;
      if (moved < 0) fa *= 0.5;
      moved = -1;
    }
  }
  return 0.5 * (a + b);
}

/** What stands behind one port: its gas and how it expands, and what one second may carry either way. */
export interface FinePort {
  areaM2: number;
  pressurePa: number;
  densityKgPerM3: number;
  /** Stagnation enthalpy that the pipe's gas is given for it. */
  pipeEnthalpy: number;
  /** Flow that a pascal of difference may drive, kg/s: a step must not carry more than makes the pressures equal. */
  mostPerPa: number;
  /** Results: out of the cylinder, and the pipe-gas enthalpy per kilogram that went along. */
  kgPerS: number;
  carriedEnthalpy: number;
}

/** Closes the left end with ports: the face pressure at which all openings and the pipe's wave agree. */
export function closePorts(cells: FineCells, gas: FineGas, ports: readonly FinePort[], fluidExponent: number): void {
  const g = gas.exponent;
  const [rl, ul, pl] = cells.edge;
  const [rho, u0, p0] = [rl[0], ul[0], pl[0]];
  const z = Math.sqrt(g * rho * p0);
  const area = cells.leftAreaM2;
  const f = cells.flux;
  let low = Math.max(p0 - z * u0, 1);
  let high = low;
  for (const port of ports) {
    port.kgPerS = 0;
    port.carriedEnthalpy = port.pipeEnthalpy;
    if (port.areaM2 <= 0) continue;
    low = Math.min(low, port.pressurePa);
    high = Math.max(high, port.pressurePa);
  }
  const wall = Math.max(p0 - z * u0, 1);
  let enthalpy = 0;
  let total = 0;
  let speed = 0;
  const velocityAt = (p: number) => {
    total = 0;
    let entering = 0;
    let enteringW = 0;
    const density = rho * Math.max(0.05, p / p0) ** (1 / g);
    for (const port of ports) {
      if (port.areaM2 <= 0) continue;
      const { pressurePa, densityKgPerM3, areaM2 } = port;
      const most = port.mostPerPa * Math.abs(pressurePa - p);
      if (pressurePa > p) {
        port.kgPerS = Math.min(most, isentropicKgPerS(fluidExponent, areaM2, pressurePa, densityKgPerM3, p));
        entering += port.kgPerS;
        enteringW += port.kgPerS * port.pipeEnthalpy;
      } else port.kgPerS = -Math.min(most, isentropicKgPerS(g, areaM2, p, density, pressurePa));
      total += port.kgPerS;
    }
    if (total > 0) {
      enthalpy = enteringW / entering;
      // rho u = flow/area and h0 = g/(g-1) p/rho + u^2/2: the positive root, written so that a small flow keeps its digits.
      const q = ((g / (g - 1)) * p * area) / total;
      speed = (2 * enthalpy) / (q + Math.sqrt(q * q + 2 * enthalpy));
    } else {
      speed = total / (density * area);
      enthalpy = ((g / (g - 1)) * p) / density + 0.5 * speed * speed;
    }
    return speed;
  };
  const p =
    high > low || ports.some((port) => port.areaM2 > 0)
      ? fallingRoot((x) => wall + z * velocityAt(x) - x, low, high)
      : wall;
  velocityAt(p);
  for (const port of ports) if (port.kgPerS < 0) port.carriedEnthalpy = enthalpy;
  f[0][0] = total / area;
  f[1][0] = (total / area) * speed + p;
  f[2][0] = ports.reduce((sum, port) => sum + port.kgPerS * port.carriedEnthalpy, 0) / area;
}

export interface FineOutside {
  readonly ambientPa: number;
  /** Of the air outside. */
  readonly airDensity: number;
  readonly airSoundSpeed: number;
  /** Density and pipe-gas enthalpy per kilogram of what is drawn in. */
  readonly inflowDensity: number;
  readonly inflowEnthalpy: number;
}

/** The open end: a jet at the outside pressure or choked, inflow from rest, radiation load. */
export class FineMouth {
  volumeFlow = 0;
  private lag = 0;

  constructor(
    private readonly cells: FineCells,
    private readonly gas: FineGas,
    private readonly outside: FineOutside,
  ) {}

  close(dt: number): void {
    const { cells, outside } = this;
    const g = this.gas.exponent;
    const n = cells.count;
    const area = cells.rightAreaM2;
    // A mass of 0.6133 radii of air beside a resistance of 1.5045 rho c. [source: Levine & Schwinger 1948; as src/flow/mouth.ts]
    const resistance = 1.5045 * outside.airDensity * outside.airSoundSpeed;
    const inertance = 0.6133 * outside.airDensity * Math.sqrt(area / Math.PI);
    const f = cells.flux;
    const rho = cells.edge[3][n - 1];
    const u0 = cells.edge[4][n - 1];
    const p0 = cells.edge[5][n - 1];
    const c = Math.sqrt((g * p0) / rho);
    const z = rho * c;
    const x = (dt * resistance) / inertance;
    const load = resistance / (1 + x);
    const outsidePa = outside.ambientPa - load * this.lag;
    let u = (p0 + z * u0 - outsidePa) / (z + load);
    if (u >= 0) {
      // Outwards along the Riemann invariant; from Mach 1 on the outside is no longer felt.
      const sonic = ((g - 1) / (g + 1)) * (u0 + (2 * c) / (g - 1));
      const share = (g - 1) / (2 * g);
      let p = p0;
      if (u0 > c) u = u0;
      else if (p0 * (sonic / c) ** (1 / share) > outsidePa + load * sonic) {
        u = sonic;
        p = p0 * (sonic / c) ** (1 / share);
      } else {
        const velocityAt = (x: number) => u0 + ((2 * c) / (g - 1)) * (1 - (x / p0) ** share);
        p = fallingRoot((x) => outsidePa + load * velocityAt(x) - x, 0.3 * p0, 3 * p0);
        u = velocityAt(p);
      }
      const density = rho * (p / p0) ** (1 / g);
      f[0][n] = density * u;
      f[1][n] = density * u * u + p;
      f[2][n] = u * ((g * p) / (g - 1) + 0.5 * density * u * u);
      this.volumeFlow = u * area * (p > outside.ambientPa && u >= sonic ? (p / outside.ambientPa) ** (1 / g) : 1);
    } else {
      const zz = z + load;
      const density = outside.inflowDensity;
      u = (zz - Math.sqrt(zz * zz - 2 * density * (p0 + z * u0 - outsidePa))) / density;
      f[0][n] = density * u;
      f[1][n] = density * u * u + p0 + z * (u0 - u);
      f[2][n] = density * u * outside.inflowEnthalpy;
      this.volumeFlow = u * area;
    }
    this.lag += (x / (1 + x)) * (u - this.lag);
  }
}

/**
 * Passages' right ends meet a blast pipe's left end at one pressure. Every branch follows its own Riemann invariant to it;
 * receivers get the deliverers' mixed stagnation enthalpy, at once.
 */
export function closeJunction(incoming: readonly FineCells[], outgoing: FineCells, gas: FineGas): void {
  const g = gas.exponent;
  const branches = [...incoming, outgoing].map((cells, i) => {
    const isOut = i === incoming.length;
    const at = isOut ? 0 : cells.count - 1;
    const offset = isOut ? 0 : 3;
    const density = cells.edge[offset][at];
    const pressure = cells.edge[offset + 2][at];
    return {
      cells,
      face: isOut ? 0 : cells.count,
      sign: isOut ? -1 : 1,
      area: isOut ? cells.leftAreaM2 : cells.rightAreaM2,
      density,
      pressure,
      // Towards the junction.
      u: (isOut ? -1 : 1) * cells.edge[offset + 1][at],
      c: Math.sqrt((g * pressure) / density),
      kgPerS: 0,
      speed: 0,
      enthalpy: 0,
      facePa: 0,
    };
  });
  const share = (g - 1) / (2 * g);
  let mixed = 0;
  const netAt = (p: number) => {
    let delivered = 0;
    let deliveredW = 0;
    for (const b of branches) {
      b.facePa = p;
      let ratio = p / b.pressure;
      let cooling = ratio ** share;
      b.speed = b.u + ((2 * b.c) / (g - 1)) * (1 - cooling);
      if (b.speed <= 0) continue;
      // None delivers faster than its own sound: it then no longer feels the junction.
      const sonic = ((g - 1) / (g + 1)) * (b.u + (2 * b.c) / (g - 1));
      if (b.speed > sonic) {
        b.speed = Math.max(sonic, b.u);
        cooling = b.u > b.c ? 1 : sonic / b.c;
        ratio = cooling ** (1 / share);
        b.facePa = b.pressure * ratio;
      }
      const density = (b.density * ratio) / (cooling * cooling);
      b.kgPerS = density * b.speed * b.area;
      b.enthalpy = ((g / (g - 1)) * b.facePa) / density + 0.5 * b.speed * b.speed;
      delivered += b.kgPerS;
      deliveredW += b.kgPerS * b.enthalpy;
    }
    if (delivered > 0) mixed = deliveredW / delivered;
    let net = delivered;
    for (const b of branches) {
      if (b.speed > 0) continue;
      b.enthalpy = delivered > 0 ? mixed : ((g / (g - 1)) * b.pressure) / b.density;
      b.kgPerS = ((g / (g - 1)) * p * b.speed * b.area) / (b.enthalpy - 0.5 * b.speed * b.speed);
      net += b.kgPerS;
    }
    return net;
  };
  const pressures = branches.map((b) => b.pressure);
  const scale = branches[0].density * branches[0].c * branches[0].area;
  const worst = Math.max(...pressures);
  const p = fallingRoot((x) => (netAt(x) / scale) * worst, 0.5 * Math.min(...pressures), 2 * worst);
  netAt(p);
  for (const b of branches) {
    const mass = b.kgPerS / b.area;
    b.cells.flux[0][b.face] = b.sign * mass;
    b.cells.flux[1][b.face] = mass * b.speed + b.facePa;
    b.cells.flux[2][b.face] = b.sign * mass * b.enthalpy;
  }
}
