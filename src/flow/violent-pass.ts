import type { FiniteVolumePipe, PipeCells } from "./finite-volume-pipe.js";

// Where neighbours differ by more than a cell's own pressure, waves are taken between the cells as they are.
// [tuned: ports slammed open at 17 bar; shock tubes to 60:1 within 0.1 %, 2026-11-25]
const steepestSquare = 1;
// Below this Courant number of one wave the flow nears the speed of sound.
const nearSonicCourant = 0.2;
// What one step can carry: 1.4 flow + sound, in cells, and the share of its gas that a cell may lose through one face.
// [tuned: ports slammed open at 17 bar into cells of every size, 2026-11-25]
const mostCourant = 1.6;
const flowWeight = 1.4;
const mostLost = 0.85;
// A wave that crosses more cells than this in a step is reported.
// [tuned: steam of 90 bar in a locomotive's pipes stays under it, air of 60 bar let into open ones does not, 2026-11-25]
const overrunCourant = 1.3;
// What is left in a cell that would otherwise be emptied: well under any condenser. [common practice]
const leastPressurePa = 100;
const leastDensity = 1e-3;
const mostDensity = 1e6;

/**
 * A step of a pipe's inner faces for supersonic flow, shocks and overrun cells. Where nothing of the kind is found it gives
 * what the quick pass gives. Supersonic, both waves run the same way and each face takes both from upstream; above one cell
 * a step the faces are second-order upwind, stable to two; across a jump the face is that of two waves between the cells as
 * they are; and a cell that one step could not carry is held and counted.
 */
export class ViolentPass {
  private readonly density: Float64Array;
  private readonly velocity: Float64Array;
  private readonly pressure: Float64Array;
  private readonly impedance: Float64Array;
  /** p + zu and p - zu of each cell, brought to its right and to its left face. */
  private readonly plusAtRight: Float64Array;
  private readonly plusAtLeft: Float64Array;
  private readonly minusAtRight: Float64Array;
  private readonly minusAtLeft: Float64Array;
  /** 1 where a jump to a neighbour is steep and no wave outruns a cell. */
  private readonly steep: Uint8Array;
  private heldCount = 0;

  constructor(private readonly cells: PipeCells) {
    const n = cells.cellCount;
    this.density = new Float64Array(n);
    this.velocity = new Float64Array(n);
    this.pressure = new Float64Array(n);
    this.impedance = new Float64Array(n);
    this.plusAtRight = new Float64Array(n);
    this.plusAtLeft = new Float64Array(n);
    this.minusAtRight = new Float64Array(n);
    this.minusAtLeft = new Float64Array(n);
    this.steep = new Uint8Array(n);
  }

  /** Makes the step and hands out the ends on the pipe. True when all was calm enough for the quick pass. */
  process(pipe: FiniteVolumePipe, calmestSquare: number): boolean {
    this.heldCount = 0;
    this.readCells();
    const isCalm = this.sendWaves(pipe, calmestSquare);
    this.crossFaces();
    pipe.rescueCount += this.heldCount;
    return isCalm;
  }

  private readCells(): void {
    const { state, cellCount, courantFactor, isentropicExponent } = this.cells;
    const { density: densities, velocity, pressure, impedance } = this;
    for (let i = 0; i < cellCount; i++) {
      let density = state[3 * i]!;
      let momentum = state[3 * i + 1]!;
      let x = (isentropicExponent - 1) * (state[3 * i + 2]! * density - 0.5 * momentum * momentum);
      let z = Math.sqrt(isentropicExponent * x);
      // Written so that no number, no gas and no pressure fail it too.
      if (!((flowWeight * Math.abs(momentum) + z) * courantFactor < mostCourant * density)) {
        this.hold(i);
        density = state[3 * i]!;
        momentum = state[3 * i + 1]!;
        x = (isentropicExponent - 1) * (state[3 * i + 2]! * density - 0.5 * momentum * momentum);
        z = Math.sqrt(isentropicExponent * x);
      }
      densities[i] = density;
      velocity[i] = momentum / density;
      pressure[i] = x / density;
      impedance[i] = z;
    }
  }

  private sendWaves(pipe: FiniteVolumePipe, calmestSquare: number): boolean {
    const { cellCount, courantFactor, isentropicExponent, areaStepM2, cellFactor } = this.cells;
    const { density: densities, velocity, pressure, impedance, steep } = this;
    const { plusAtRight, minusAtLeft, minusAtRight, plusAtLeft } = this;
    const last = cellCount - 1;
    const nearSonic = nearSonicCourant / courantFactor;
    let sumDown = 0;
    let sumUp = 0;
    let isCalm = true;
    let isOverrun = false;
    for (let i = 0; i < cellCount; i++) {
      const density = densities[i]!;
      const z = impedance[i]!;
      const u = velocity[i]!;
      const p = pressure[i]!;
      const right = i < last ? i : i - 1;
      const left = i > 0 ? i - 1 : 0;
      const dpRight = pressure[right + 1]! - pressure[right]!;
      const dpLeft = pressure[left + 1]! - pressure[left]!;
      const zRight = z * (velocity[right + 1]! - velocity[right]!);
      const zLeft = z * (velocity[left + 1]! - velocity[left]!);
      const c = z / density;
      const v1 = (u + c) * courantFactor;
      const v2 = (c - u) * courantFactor;
      sumDown += v1;
      sumUp += v2;
      if (v1 > overrunCourant || v2 > overrunCourant) isOverrun = true;
      const zu = z * u;
      const jumpSquare = dpRight * dpRight + zRight * zRight;
      if (!(zu * zu + 4 * jumpSquare < calmestSquare * p * p && v1 < 1 && v2 < 1)) isCalm = false;
      const isSteep = v1 < 1 && v2 < 1 && jumpSquare + dpLeft * dpLeft + zLeft * zLeft > steepestSquare * p * p;
      steep[i] = isSteep ? 1 : 0;
      const plus = p + zu;
      const minus = p - zu;
      const areaStep = areaStepM2[i]!;
      const spread = areaStep === 0 ? 0 : 0.5 * isentropicExponent * p * u * areaStep * cellFactor[i]!;
      plusAtRight[i] = plus - spread + (isSteep ? 0 : rise(v1, dpRight + zRight, dpLeft + zLeft));
      minusAtLeft[i] = minus - spread - (isSteep ? 0 : rise(v2, dpLeft - zLeft, dpRight - zRight));
      // Of use only where the flow carries that wave along.
      if (c - u < nearSonic) minusAtRight[i] = minus - spread + rise(-v2, dpRight - zRight, dpLeft - zLeft);
      if (c + u < nearSonic) plusAtLeft[i] = plus - spread - rise(-v1, dpLeft + zLeft, dpRight + zRight);
    }
    pipe.downstreamCourantSum = sumDown;
    pipe.upstreamCourantSum = sumUp;
    if (isOverrun) pipe.overrunCount++;
    pipe.leftArrivalPa = minusAtLeft[0]!;
    pipe.leftImpedance = impedance[0]!;
    pipe.leftDensity = densities[0]!;
    pipe.leftPressurePa = pressure[0]!;
    pipe.leftCompressibility = densities[0]! / (isentropicExponent * pressure[0]!);
    pipe.rightArrivalPa = plusAtRight[last]!;
    pipe.rightImpedance = impedance[last]!;
    pipe.rightDensity = densities[last]!;
    pipe.rightPressurePa = pressure[last]!;
    pipe.rightVelocityMPerS = velocity[last]!;
    pipe.rightCompressibility = densities[last]! / (isentropicExponent * pressure[last]!);
    return isCalm;
  }

  private crossFaces(): void {
    const { state, cellCount, courantFactor, frictionPerFace, keepRatio, isentropicExponent: g } = this.cells;
    const { density: densities, velocity, pressure, impedance, steep } = this;
    const { plusAtRight, minusAtLeft, minusAtRight, plusAtLeft } = this;
    const { faceAreaM2, cellFactor, areaStepM2, faceMassKgPerS } = this.cells;
    for (let i = 0; i < cellCount; i++) {
      state[3 * i + 1] = state[3 * i + 1]! * keepRatio + 0.5 * cellFactor[i]! * areaStepM2[i]! * pressure[i]!;
    }
    for (let b = 1; b < cellCount; b++) {
      const a = b - 1;
      const area = faceAreaM2[b]!;
      const pA = pressure[a]!;
      const pB = pressure[b]!;
      const uA = velocity[a]!;
      const uB = velocity[b]!;
      const densityA = densities[a]!;
      const densityB = densities[b]!;
      const zA = impedance[a]!;
      const zB = impedance[b]!;
      const cA = zA / densityA;
      const cB = zB / densityB;
      const reach = Math.max(uA + cA, cA - uA, uB + cB, cB - uB) * courantFactor;
      let massFlux: number;
      let momentumFlux: number;
      let energyFlux: number;
      let facePa: number;
      let u: number;
      if (steep[a]! + steep[b]! > 0 && reach < 1) {
        // Two waves between uniform states. [source: Harten, Lax & van Leer, SIAM Review 25 (1983), from memory]
        const slow = Math.min(0, uA - cA, uB - cB);
        const fast = Math.max(0, uA + cA, uB + cB);
        const perSpread = 1 / (fast - slow);
        const both = slow * fast;
        const momentumA = densityA * uA;
        const momentumB = densityB * uB;
        const energyA = pA / (g - 1) + 0.5 * momentumA * uA;
        const energyB = pB / (g - 1) + 0.5 * momentumB * uB;
        massFlux = area * perSpread * (fast * momentumA - slow * momentumB + both * (densityB - densityA));
        momentumFlux =
          area *
          perSpread *
          (fast * (momentumA * uA + pA) - slow * (momentumB * uB + pB) + both * (momentumB - momentumA));
        energyFlux =
          area * perSpread * (fast * uA * (energyA + pA) - slow * uB * (energyB + pB) + both * (energyB - energyA));
        facePa = (fast * pA - slow * pB) * perSpread;
        u = (fast * uA - slow * uB) * perSpread;
      } else {
        let plus = plusAtRight[a]!;
        let minus = minusAtLeft[b]!;
        let zPlus = zA;
        let zMinus = zB;
        const nearSonic = nearSonicCourant / courantFactor;
        if (cA - uA < nearSonic && uA - cA + uB - cB > 0) {
          minus = minusAtRight[a]!;
          zMinus = zA;
        } else if (uB + cB < nearSonic && uA + cA + uB + cB < 0) {
          plus = plusAtLeft[b]!;
          zPlus = zB;
        }
        const perZ = 1 / (zPlus + zMinus);
        u = (plus - minus) * perZ;
        facePa = (zMinus * plus + zPlus * minus) * perZ;
        if (facePa < 0) {
          facePa = 0;
          this.heldCount++;
        }
        const most = mostLost / courantFactor;
        if (u > most || u < -most) {
          u = u > 0 ? most : -most;
          this.heldCount++;
        }
        const density = u > 0 ? densityA * (1 + (facePa - pA) / (g * pA)) : densityB * (1 + (facePa - pB) / (g * pB));
        massFlux = area * density * u;
        momentumFlux = massFlux * u + area * facePa;
        energyFlux = u * ((area * g * facePa) / (g - 1) + 0.5 * massFlux * u);
      }
      faceMassKgPerS[b] = massFlux;
      const wall = frictionPerFace * massFlux * Math.abs(u);
      const factorA = cellFactor[a]!;
      const factorB = cellFactor[b]!;
      const at = 3 * a;
      state[at] = state[at]! - factorA * massFlux;
      state[at + 1] = state[at + 1]! - factorA * (momentumFlux - 0.25 * areaStepM2[a]! * facePa + wall);
      state[at + 2] = state[at + 2]! - factorA * energyFlux;
      state[at + 3] = state[at + 3]! + factorB * massFlux;
      state[at + 4] = state[at + 4]! + factorB * (momentumFlux + 0.25 * areaStepM2[b]! * facePa - wall);
      state[at + 5] = state[at + 5]! + factorB * energyFlux;
    }
  }

  private hold(cell: number): void {
    const { state, courantFactor, isentropicExponent: g } = this.cells;
    this.heldCount++;
    const fastest = (0.98 * mostCourant) / courantFactor;
    let density = state[3 * cell]!;
    if (!(density > leastDensity && density < mostDensity)) density = leastDensity;
    let u = state[3 * cell + 1]! / density;
    if (!(u > -fastest)) u = -fastest;
    if (u > fastest) u = fastest;
    let pressurePa = (g - 1) * (state[3 * cell + 2]! - 0.5 * density * u * u);
    if (!(pressurePa > leastPressurePa)) pressurePa = leastPressurePa;
    const hottestPa = (0.25 * fastest * fastest * density) / g;
    if (pressurePa > hottestPa) pressurePa = hottestPa;
    const slower = (fastest - Math.sqrt((g * pressurePa) / density)) / flowWeight;
    if (u > slower) u = slower;
    if (u < -slower) u = -slower;
    state[3 * cell] = density;
    state[3 * cell + 1] = density * u;
    state[3 * cell + 2] = pressurePa / (g - 1) + 0.5 * density * u * u;
  }
}

/** How much a wave of Courant number v rises from a cell's middle to the face ahead of it, from the differences ahead and behind. */
function rise(v: number, ahead: number, behind: number): number {
  const share = (1 - v) / 6;
  return share > 0 ? share * ((2 - v) * ahead + (1 + v) * behind) : 3 * share * behind;
}
