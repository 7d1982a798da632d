import type { PipeGas } from "../steam/pipe-gas.js";
import type { FiniteVolumePipe } from "./finite-volume-pipe.js";
import { criticalPressureRatio } from "./orifice.js";

// Share of the speed of sound from which a branch may choke. [tuned: passages slammed open at 8 bar, 2026-11-25]
const nearSonic = 0.9;
// A wall cannot pull: least pressure at a face, of that in its cell. [tuned: as above, 2026-11-25]
const leastWallRatio = 0.1;

/**
 * Where the passages' right ends meet the blast pipe's left end: one pressure, mass closed exactly, and whoever receives
 * gas receives the mixed stagnation enthalpy of those who deliver.
 */
export class Junction {
  /** Junction pressure of the last tick. */
  pressurePa = 0.5;
  /** Ticks in which a branch neared the speed of sound. */
  chokedCount = 0;
  /** Times that a branch's density would have fallen out of all reason and was held. */
  flooredCount = 0;

  private mixedEnthalpy = 0.5;
  // One place a branch, the outgoing pipe last; flows are positive towards the junction.
  private readonly areaM2: Float64Array;
  private readonly arrivalPa: Float64Array;
  private readonly density: Float64Array;
  private readonly admittance: Float64Array;
  private readonly enthalpy: Float64Array;
  // Used only when a branch nears the speed of sound.
  private readonly facePa: Float64Array;
  private readonly isLimited: Uint8Array;
  private readonly throatDensityRatio: number;
  private readonly throatPressureRatio: number;

  constructor(
    private readonly incoming: readonly FiniteVolumePipe[],
    private readonly outgoing: FiniteVolumePipe,
    private readonly gas: PipeGas,
  ) {
    const count = incoming.length + 1;
    this.areaM2 = Float64Array.from([...incoming.map((pipe) => pipe.rightAreaM2), outgoing.leftAreaM2]);
    this.arrivalPa = new Float64Array(count);
    this.density = new Float64Array(count);
    this.admittance = new Float64Array(count);
    this.enthalpy = new Float64Array(count);
    this.facePa = new Float64Array(count);
    this.isLimited = new Uint8Array(count);
    this.throatPressureRatio = criticalPressureRatio(gas.isentropicExponent);
    this.throatDensityRatio = 0.5 * (gas.isentropicExponent + 1) * this.throatPressureRatio;
  }

  /** State only: settled at the outgoing pipe's pressure and temperature. */
  reset(): void {
    this.pressurePa = this.outgoing.leftPressurePa;
    this.chokedCount = this.flooredCount = 0;
    const g = this.gas.isentropicExponent;
    this.mixedEnthalpy = ((g / (g - 1)) * this.outgoing.leftPressurePa) / this.outgoing.leftDensity;
  }

  /** Solves the junction and closes every branch end. */
  process(): void {
    const { incoming, outgoing, areaM2, arrivalPa, density, admittance, enthalpy } = this;
    const last = incoming.length;
    const g = this.gas.isentropicExponent;
    const gOverGm1 = g / (g - 1);
    const before = this.pressurePa;
    const mixedDensity = (before * gOverGm1) / this.mixedEnthalpy;
    let weighted = 0;
    let sum = 0;
    for (let i = 0; i < last; i++) {
      const pipe = incoming[i]!;
      const arrival = pipe.rightArrivalPa;
      const branchDensity = arrival > before ? pipe.rightDensity : mixedDensity;
      const y = (branchDensity * areaM2[i]!) / pipe.rightImpedance;
      arrivalPa[i] = arrival;
      density[i] = branchDensity;
      admittance[i] = y;
      weighted += y * arrival;
      sum += y;
    }
    const outArrival = outgoing.leftArrivalPa;
    const outDensity = outArrival > before ? outgoing.leftDensity : mixedDensity;
    const outY = (outDensity * areaM2[last]!) / outgoing.leftImpedance;
    arrivalPa[last] = outArrival;
    density[last] = outDensity;
    admittance[last] = outY;
    const pressurePa = (weighted + outY * outArrival) / (sum + outY);

    let delivered = 0;
    let deliveredW = 0;
    let received = 0;
    const mostReceived = nearSonic * mixedDensity * Math.sqrt((2 * (g - 1) * this.mixedEnthalpy) / (g + 1));
    for (let i = 0; i <= last; i++) {
      const flow = admittance[i]! * (arrivalPa[i]! - pressurePa);
      const z = i < last ? incoming[i]!.rightImpedance : outgoing.leftImpedance;
      if (!(flow < nearSonic * z * areaM2[i]! && flow > -mostReceived * areaM2[i]!)) {
        this.processChoked(i);
        return;
      }
      admittance[i] = flow;
      if (flow <= 0) {
        received -= flow;
        continue;
      }
      const isOut = i === last;
      const pipe = isOut ? outgoing : incoming[i]!;
      const cellDensity = isOut ? pipe.leftDensity : pipe.rightDensity;
      const cellPa = isOut ? pipe.leftPressurePa : pipe.rightPressurePa;
      const kappa = isOut ? pipe.leftCompressibility : pipe.rightCompressibility;
      const faceDensity = cellDensity + kappa * (pressurePa - cellPa);
      const least = 0.1 * cellDensity;
      if (faceDensity < least) this.flooredCount++;
      const u = flow / (density[i]! * areaM2[i]!);
      const h = (gOverGm1 * pressurePa) / (faceDensity > least ? faceDensity : least) + 0.5 * u * u;
      enthalpy[i] = h;
      delivered += flow;
      deliveredW += flow * h;
    }
    // Rounding leaves what is delivered and what is received a few bits apart; the receivers take it exactly.
    const share = received > 0 ? delivered / received : 1;
    const mixed = delivered > 0 ? deliveredW / delivered : this.mixedEnthalpy;
    for (let i = 0; i <= last; i++) {
      let flow = admittance[i]!;
      let h = enthalpy[i]!;
      if (flow <= 0) {
        flow *= share;
        h = mixed;
      }
      const u = flow / (density[i]! * areaM2[i]!);
      if (i < last) incoming[i]!.closeRight(flow, u, pressurePa, flow * h);
      else outgoing.closeLeft(-flow, -u, pressurePa, -flow * h);
    }
    this.pressurePa = pressurePa;
    this.mixedEnthalpy = mixed;
  }

  /** Mixes the air that the branches bring and hands it to those that receive, once the junction is solved. */
  processAir(): void {
    const { incoming, outgoing } = this;
    const outMass = outgoing.leftMassKgPerS;
    const back = outMass < 0 ? -outMass : 0;
    let delivered = back;
    let air = back * outgoing.air.leftRatio;
    for (let i = 0; i < incoming.length; i++) {
      const pipe = incoming[i]!;
      const mass = pipe.rightMassKgPerS;
      if (!(mass > 0)) continue;
      delivered += mass;
      air += mass * pipe.air.rightRatio;
    }
    const mixed = delivered > 0 ? air / delivered : 0;
    outgoing.air.leftKgPerS = outMass * (outMass < 0 ? outgoing.air.leftRatio : mixed);
    for (let i = 0; i < incoming.length; i++) {
      const pipe = incoming[i]!;
      const mass = pipe.rightMassKgPerS;
      pipe.air.rightKgPerS = mass * (mass > 0 ? pipe.air.rightRatio : mixed);
    }
  }

  // Some branch nears the speed of sound: none delivers faster than its own waves allow, none receives faster than gas
  // drawn from rest, and the junction's pressure is that at which the others make up the balance. The branches before
  // `solvedCount` hold their flows in place of their admittances.
  private processChoked(solvedCount: number): void {
    const { incoming, outgoing, areaM2, arrivalPa, density, admittance, enthalpy, facePa, isLimited } = this;
    this.chokedCount++;
    const last = incoming.length;
    const g = this.gas.isentropicExponent;
    const gOverGm1 = g / (g - 1);
    let weighted = 0;
    let sum = 0;
    for (let i = 0; i <= last; i++) {
      if (i < solvedCount) {
        const z = i < last ? incoming[i]!.rightImpedance : outgoing.leftImpedance;
        admittance[i] = (density[i]! * areaM2[i]!) / z;
      }
      isLimited[i] = 0;
      weighted += admittance[i]! * arrivalPa[i]!;
      sum += admittance[i]!;
    }
    let pressurePa = weighted / sum;
    const receivedSpeed = criticalSpeed(this.mixedEnthalpy, g);
    const receivedPerPa = (this.throatDensityRatio * gOverGm1 * receivedSpeed) / this.mixedEnthalpy;
    for (let round = 0; round <= last + 1; round++) {
      let fresh = 0;
      for (let i = 0; i <= last; i++) {
        if (isLimited[i] !== 0) continue;
        const z = i < last ? incoming[i]!.rightImpedance : outgoing.leftImpedance;
        const cellPa = i < last ? incoming[i]!.rightPressurePa : outgoing.leftPressurePa;
        const cellDensity = i < last ? incoming[i]!.rightDensity : outgoing.leftDensity;
        const u = (arrivalPa[i]! - pressurePa) / z;
        const own = (arrivalPa[i]! - cellPa) / z;
        const c = z / cellDensity;
        const deliveredSpeed = own > c ? own : Math.max(0, ((g - 1) / (g + 1)) * (own + (2 * c) / (g - 1)));
        if (u <= deliveredSpeed && u >= -receivedSpeed) continue;
        fresh++;
        if (u > 0) {
          // From here on the place holds the branch's flow; what runs out has the pressure its own wave makes.
          isLimited[i] = 1;
          admittance[i] = density[i]! * areaM2[i]! * deliveredSpeed;
          facePa[i] = Math.max(arrivalPa[i]! - z * deliveredSpeed, leastWallRatio * cellPa);
        } else {
          // A choked entry passes in proportion to the junction's pressure, as if into a vacuum.
          isLimited[i] = 2;
          admittance[i] = receivedPerPa * areaM2[i]!;
          arrivalPa[i] = 0;
        }
      }
      if (fresh === 0) break;
      let free = 0;
      let freeWeighted = 0;
      for (let i = 0; i <= last; i++) {
        if (isLimited[i] === 1) freeWeighted += admittance[i]!;
        else {
          free += admittance[i]!;
          freeWeighted += admittance[i]! * arrivalPa[i]!;
        }
      }
      if (free > 0) pressurePa = Math.max(freeWeighted / free, leastWallRatio * this.pressurePa);
    }
    let delivered = 0;
    let deliveredW = 0;
    let received = 0;
    for (let i = 0; i <= last; i++) {
      if (isLimited[i] !== 1) {
        admittance[i] = admittance[i]! * (arrivalPa[i]! - pressurePa);
        facePa[i] = pressurePa;
      }
      if (isLimited[i] === 2) {
        density[i] = (receivedPerPa * pressurePa) / receivedSpeed;
        facePa[i] = this.throatPressureRatio * pressurePa;
      }
      const flow = admittance[i]!;
      if (flow <= 0) {
        received -= flow;
        continue;
      }
      const isOut = i === last;
      const pipe = isOut ? outgoing : incoming[i]!;
      const cellDensity = isOut ? pipe.leftDensity : pipe.rightDensity;
      const cellPa = isOut ? pipe.leftPressurePa : pipe.rightPressurePa;
      const kappa = isOut ? pipe.leftCompressibility : pipe.rightCompressibility;
      let faceDensity = cellDensity + kappa * (facePa[i]! - cellPa);
      if (faceDensity < 0.1 * cellDensity) {
        faceDensity = 0.1 * cellDensity;
        this.flooredCount++;
      }
      const u = flow / (density[i]! * areaM2[i]!);
      const h = (gOverGm1 * facePa[i]!) / faceDensity + 0.5 * u * u;
      enthalpy[i] = h;
      delivered += flow;
      deliveredW += flow * h;
    }
    // Mass must close: the larger side gives way.
    const receivedShare = received > delivered ? delivered / received : 1;
    const deliveredShare = delivered > received ? received / delivered : 1;
    const mixed = delivered > 0 ? deliveredW / delivered : this.mixedEnthalpy;
    for (let i = 0; i <= last; i++) {
      let flow = admittance[i]!;
      const h = flow > 0 ? enthalpy[i]! : mixed;
      flow *= flow > 0 ? deliveredShare : receivedShare;
      const u = flow / (density[i]! * areaM2[i]!);
      if (i < last) incoming[i]!.closeRight(flow, u, facePa[i]!, flow * h);
      else outgoing.closeLeft(-flow, -u, facePa[i]!, -flow * h);
    }
    // Half the way: the next tick's densities follow it, and a whole step of them can swing from side to side.
    this.pressurePa = 0.5 * (this.pressurePa + pressurePa);
    this.mixedEnthalpy = mixed;
  }
}

/** Speed of gas drawn from rest at the throat of a choked entry, m/s. [source: gas-dynamics textbook form] */
function criticalSpeed(stagnationEnthalpy: number, g: number): number {
  return Math.sqrt((2 * (g - 1) * stagnationEnthalpy) / (g + 1));
}
