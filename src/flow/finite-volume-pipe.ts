import { cos } from "../quantities/portable-maths.js";
import type { PipeGas } from "../steam/pipe-gas.js";
import { PipeAir } from "./pipe-air.js";
import { ViolentPass } from "./violent-pass.js";

// (z u / p)^2 + 4 (jump between neighbours / p)^2 below which a step cannot be violent: Mach numbers to about 0.8.
// [tuned: results of both passes alike, ports slammed open at 17 bar, 2026-11-25]
const calmestSquare = 1.2;
// Mean Courant number of a pipe from which its fastest cell may pass 1. [tuned: as above, 2026-11-25]
const fullestCourant = 0.93;

/** Where a pipe is cut into cells and how it is stepped. */
export interface PipeLayout {
  readonly lengthM: number;
  readonly boreM: number;
  /** The pipe narrows (cosine) to this bore over its last `contractionM`; both 0 for a plain pipe. */
  readonly mouthBoreM: number;
  readonly contractionM: number;
  readonly cellCount: number;
  readonly stepS: number;
  /** Darcy friction factor, 0 for a smooth ideal wall. */
  readonly frictionFactor: number;
  /** Share of momentum the viscothermal wall layer takes in one step; 0 for none. */
  readonly dragRatio: number;
}

/** The cells of a pipe, as both passes over them see it. */
export interface PipeCells {
  /** Density, momentum and energy (above the gas's offset) per unit volume, cell by cell. */
  readonly state: Float64Array;
  /** Area of each face, one more than cells. */
  readonly faceAreaM2: Float64Array;
  /** Step over volume, s/m3. */
  readonly cellFactor: Float64Array;
  /** Area of the right face less that of the left. */
  readonly areaStepM2: Float64Array;
  readonly cellCount: number;
  /** Mass that crossed each face in the step, along x: inner faces by either pass, ends by what closed them. */
  readonly faceMassKgPerS: Float64Array;
  /** Step over cell length, s/m. */
  readonly courantFactor: number;
  readonly frictionPerFace: number;
  /** Share of a cell's momentum the wall layer leaves it in one step. */
  readonly keepRatio: number;
  readonly isentropicExponent: number;
}

/**
 * One pipe of exhaust gas in a few coarse cells: conservative finite volumes whose faces exchange the two characteristics
 * p + zu and p - zu (z = density x sound speed), interpolated to third order in time and space, while temperature fronts
 * travel to first order, whose mixing over a coarse cell is about that of the turbulence in a real pipe.
 *
 * `process` makes one step of every inner face and hands out what arrives at both ends; the ends are then closed by
 * whatever stands there (`closeLeft`, `closeRight`), with the very fluxes the neighbour was given. x runs from the
 * cylinders to the mouth; flow is positive along x.
 *
 * The quick pass is right for subsonic flow without jumps. A step that follows a hint of anything else is made by the
 * `ViolentPass`, which gives the same where nothing violent is found.
 */
export class FiniteVolumePipe {
  readonly cellCount: number;
  readonly lengthM: number;
  /** Density, momentum and energy (above the gas's offset) per unit volume, cell by cell. */
  readonly state: Float64Array;
  readonly leftAreaM2: number;
  readonly rightAreaM2: number;
  /** Wall pressure the left end would have if closed: the wave running left, p - zu. */
  leftArrivalPa = 0.5;
  leftImpedance = 1;
  leftDensity = 1;
  leftPressurePa = 0.5;
  leftCompressibility = 0;
  /** The wave running right, p + zu, as it leaves through the right end. */
  rightArrivalPa = 0.5;
  rightImpedance = 1;
  rightDensity = 1;
  rightPressurePa = 0.5;
  rightCompressibility = 0;
  /** Of the last cell. */
  rightVelocityMPerS = 0.5;
  /** Sums of the Courant numbers: cellCount^2 / sum is the transit time in steps, with and against the flow. */
  downstreamCourantSum = 0;
  upstreamCourantSum = 0;
  /** Steps in which a wave crossed more than 1.3 cells. */
  overrunCount = 0;
  /** Times a cell or a face had to be held to what one step can carry. */
  rescueCount = 0;
  /** Of a steam machine; carried on by the owner, once both ends are closed. */
  readonly air: PipeAir;

  private readonly cells: PipeCells;
  private readonly violentPass: ViolentPass;
  private isCalm = false;
  private readonly stepS: number;
  private readonly exponent: number;
  private readonly gasConstant: number;

  constructor(layout: PipeLayout, gas: PipeGas) {
    const n = layout.cellCount;
    this.cellCount = n;
    this.lengthM = layout.lengthM;
    this.state = new Float64Array(3 * n);
    const faceAreaM2 = new Float64Array(n + 1);
    const cellFactor = new Float64Array(n);
    const areaStepM2 = new Float64Array(n);
    const cellLengthM = layout.lengthM / n;
    for (let i = 0; i <= n; i++) faceAreaM2[i] = areaAt(layout, i * cellLengthM);
    for (let i = 0; i < n; i++) {
      // Mean area over the cell by Simpson's rule on eight strips: the volume must match the shape, not its ends.
      let sum = 0;
      for (let j = 0; j <= 8; j++) {
        const weight = j === 0 || j === 8 ? 1 : j % 2 === 1 ? 4 : 2;
        sum += weight * areaAt(layout, (i + j / 8) * cellLengthM);
      }
      cellFactor[i] = layout.stepS / ((sum / 24) * cellLengthM);
      areaStepM2[i] = faceAreaM2[i + 1]! - faceAreaM2[i]!;
    }
    this.leftAreaM2 = faceAreaM2[0]!;
    this.rightAreaM2 = faceAreaM2[n]!;
    this.cells = {
      state: this.state,
      faceAreaM2,
      cellFactor,
      areaStepM2,
      cellCount: n,
      faceMassKgPerS: new Float64Array(n + 1),
      courantFactor: layout.stepS / cellLengthM,
      frictionPerFace: (layout.frictionFactor * cellLengthM) / (4 * layout.boreM),
      keepRatio: 1 - layout.dragRatio,
      isentropicExponent: gas.isentropicExponent,
    };
    this.violentPass = new ViolentPass(this.cells);
    this.air = new PipeAir(this.cells);
    this.stepS = layout.stepS;
    this.exponent = gas.isentropicExponent;
    this.gasConstant = gas.gasConstantJPerKgK;
    // Begun with halves, the fields hold doubles for good.
    this.leftArrivalPa = this.leftPressurePa = this.rightArrivalPa = this.rightPressurePa = this.rightVelocityMPerS = 0;
  }

  /** State only: gas at rest, or drifting at `velocityMPerS`. */
  reset(pressurePa: number, temperatureK: number, velocityMPerS: number): void {
    const density = pressurePa / (this.gasConstant * temperatureK);
    for (let i = 0; i < this.cellCount; i++) {
      this.state[3 * i] = density;
      this.state[3 * i + 1] = density * velocityMPerS;
      this.state[3 * i + 2] = pressurePa / (this.exponent - 1) + 0.5 * density * velocityMPerS * velocityMPerS;
    }
    this.leftPressurePa = this.rightPressurePa = this.leftArrivalPa = this.rightArrivalPa = pressurePa;
    this.leftDensity = this.rightDensity = density;
    this.leftImpedance = this.rightImpedance = Math.sqrt(this.exponent * pressurePa * density);
    this.leftCompressibility = this.rightCompressibility = density / (this.exponent * pressurePa);
    this.rightVelocityMPerS = velocityMPerS;
    this.isCalm = false;
    this.overrunCount = this.rescueCount = 0;
    this.downstreamCourantSum = this.upstreamCourantSum = 0;
    this.cells.faceMassKgPerS.fill(0);
    this.air.reset(0);
  }

  /** One step of all inner faces; the end values are then ready for whatever closes the ends. */
  process(): void {
    if (this.isCalm) this.quickPass();
    else this.isCalm = this.violentPass.process(this, calmestSquare);
  }

  private quickPass(): void {
    const s = this.state;
    const n = this.cellCount;
    const g = this.exponent;
    const gm1 = g - 1;
    const gOverGm1 = g / gm1;
    const perG = 1 / g;
    const cells = this.cells;
    const lambda = cells.courantFactor;
    const friction = cells.frictionPerFace;
    const keep = cells.keepRatio;
    const sixth = 1 / 6;
    const areas = cells.faceAreaM2;
    const factors = cells.cellFactor;
    const areaSteps = cells.areaStepM2;
    const faceMass = cells.faceMassKgPerS;
    const liveliest = calmestSquare;

    let density = s[0]!;
    const momentum = s[1]!;
    const x = gm1 * (s[2]! * density - 0.5 * momentum * momentum);
    let z = Math.sqrt(g * x);
    let inverse = 1 / (density * x);
    let u = momentum * x * inverse;
    let p = x * x * inverse;
    let c = z * x * inverse;
    let kappa = density * density * density * inverse * perG;
    let dpLeft = 0;
    let duLeft = 0;
    // What the cell to the left sends on: its right-going wave and its state.
    let sentBefore = 0;
    let zBefore = 0;
    let pBefore = 0;
    let densityBefore = 0;
    let kappaBefore = 0;
    let uBefore = 0;
    // Fluxes taken in so far by the cell to the left.
    let massIn = 0;
    let momentumIn = 0;
    let energyIn = 0;
    let sumDown = 0;
    let sumUp = 0;
    let lively = 0;

    for (let i = 0; i < n; i++) {
      let densityNext = 0;
      let zNext = 0;
      let uNext = 0;
      let pNext = 0;
      let cNext = 0;
      let kappaNext = 0;
      let dpRight = dpLeft;
      let duRight = duLeft;
      if (i < n - 1) {
        const at = 3 * i + 3;
        densityNext = s[at]!;
        const momentumNext = s[at + 1]!;
        const xNext = gm1 * (s[at + 2]! * densityNext - 0.5 * momentumNext * momentumNext);
        zNext = Math.sqrt(g * xNext);
        inverse = 1 / (densityNext * xNext);
        const perDensity = xNext * inverse;
        uNext = momentumNext * perDensity;
        pNext = xNext * perDensity;
        cNext = zNext * perDensity;
        kappaNext = densityNext * densityNext * densityNext * inverse * perG;
        dpRight = pNext - p;
        duRight = uNext - u;
      }
      if (i === 0) {
        dpLeft = dpRight;
        duLeft = duRight;
      }
      const v1 = (u + c) * lambda;
      const v2 = (c - u) * lambda;
      sumDown += v1;
      sumUp += v2;
      const zu = z * u;
      const zRight = z * duRight;
      const zLeft = z * duLeft;
      // Written so that anything that is no number counts as lively too.
      if (!(zu * zu + 4 * (dpRight * dpRight + zRight * zRight) < liveliest * p * p)) lively = 1;
      let sentRight = p + zu + (1 - v1) * sixth * ((2 - v1) * (dpRight + zRight) + (1 + v1) * (dpLeft + zLeft));
      let sentLeft = p - zu - (1 - v2) * sixth * ((2 - v2) * (dpLeft - zLeft) + (1 + v2) * (dpRight - zRight));
      const areaStep = areaSteps[i]!;
      if (areaStep !== 0) {
        const spread = 0.5 * g * p * u * areaStep * factors[i]!;
        sentRight -= spread;
        sentLeft -= spread;
      }
      if (i === 0) {
        this.leftArrivalPa = sentLeft;
        this.leftImpedance = z;
        this.leftDensity = density;
        this.leftPressurePa = p;
        this.leftCompressibility = kappa;
      } else {
        const perZ = 1 / (zBefore + z);
        const uFace = (sentBefore - sentLeft) * perZ;
        const pFace = (z * sentBefore + zBefore * sentLeft) * perZ;
        const densityFace = uFace > 0 ? densityBefore + kappaBefore * (pFace - pBefore) : density + kappa * (pFace - p);
        const area = areas[i]!;
        const massFlux = area * densityFace * uFace;
        faceMass[i] = massFlux;
        const momentumFlux = massFlux * uFace + area * pFace;
        const energyFlux = uFace * (area * gOverGm1 * pFace + 0.5 * massFlux * uFace);
        const wall = friction * massFlux * (uFace < 0 ? -uFace : uFace);
        const at = 3 * i - 3;
        const factor = factors[i - 1]!;
        const stepBefore = areaSteps[i - 1]!;
        s[at] = densityBefore + factor * (massIn - massFlux);
        s[at + 1] =
          s[at + 1]! * keep + factor * (momentumIn - momentumFlux + stepBefore * (0.5 * pBefore + 0.25 * pFace) - wall);
        s[at + 2] = s[at + 2]! + factor * (energyIn - energyFlux);
        massIn = massFlux;
        momentumIn = momentumFlux + 0.25 * areaStep * pFace - wall;
        energyIn = energyFlux;
      }
      sentBefore = sentRight;
      zBefore = z;
      pBefore = p;
      densityBefore = density;
      kappaBefore = kappa;
      uBefore = u;
      dpLeft = dpRight;
      duLeft = duRight;
      density = densityNext;
      z = zNext;
      u = uNext;
      p = pNext;
      c = cNext;
      kappa = kappaNext;
    }
    this.rightArrivalPa = sentBefore;
    this.rightImpedance = zBefore;
    this.rightDensity = densityBefore;
    this.rightPressurePa = pBefore;
    this.rightCompressibility = kappaBefore;
    const last = 3 * n - 3;
    const factor = factors[n - 1]!;
    s[last] = densityBefore + factor * massIn;
    s[last + 1] = s[last + 1]! * keep + factor * (momentumIn + areaSteps[n - 1]! * 0.5 * pBefore);
    s[last + 2] = s[last + 2]! + factor * energyIn;
    // Waves about to cross a whole cell in a step call for the other pass too.
    if (!(sumDown < fullestCourant * n && sumUp < fullestCourant * n)) lively = 1;
    this.downstreamCourantSum = sumDown;
    this.upstreamCourantSum = sumUp;
    this.rightVelocityMPerS = uBefore;
    this.isCalm = lively === 0;
  }

  /** Closes the left end with the flux that enters there. Energy is above the gas's offset. */
  closeLeft(massKgPerS: number, velocityMPerS: number, pressurePa: number, energyW: number): void {
    const s = this.state;
    const cells = this.cells;
    const factor = cells.cellFactor[0]!;
    const speed = velocityMPerS < 0 ? -velocityMPerS : velocityMPerS;
    const momentum =
      massKgPerS * velocityMPerS +
      pressurePa * (this.leftAreaM2 + 0.25 * cells.areaStepM2[0]!) -
      cells.frictionPerFace * massKgPerS * speed;
    if (!isCalmEnd(speed, pressurePa, this.leftPressurePa, this.leftImpedance)) this.isCalm = false;
    cells.faceMassKgPerS[0] = massKgPerS;
    s[0] = s[0]! + factor * massKgPerS;
    s[1] = s[1]! + factor * momentum;
    s[2] = s[2]! + factor * energyW;
  }

  /** Closes the right end with the flux that leaves there. */
  closeRight(massKgPerS: number, velocityMPerS: number, pressurePa: number, energyW: number): void {
    const s = this.state;
    const n = this.cellCount;
    const at = 3 * n - 3;
    const cells = this.cells;
    const factor = cells.cellFactor[n - 1]!;
    const speed = velocityMPerS < 0 ? -velocityMPerS : velocityMPerS;
    const momentum =
      massKgPerS * velocityMPerS +
      pressurePa * (this.rightAreaM2 - 0.25 * cells.areaStepM2[n - 1]!) +
      cells.frictionPerFace * massKgPerS * speed;
    if (!isCalmEnd(speed, pressurePa, this.rightPressurePa, this.rightImpedance)) this.isCalm = false;
    cells.faceMassKgPerS[n] = massKgPerS;
    s[at] = s[at]! - factor * massKgPerS;
    s[at + 1] = s[at + 1]! - factor * momentum;
    s[at + 2] = s[at + 2]! - factor * energyW;
  }

  /** Flow that entered through the left end in the last step, and that left through the right one, kg/s. */
  get leftMassKgPerS(): number {
    return this.cells.faceMassKgPerS[0]!;
  }

  get rightMassKgPerS(): number {
    return this.cells.faceMassKgPerS[this.cellCount]!;
  }

  /** Air in the pipe, kg. */
  airKg(): number {
    const { densityKgPerM3 } = this.air;
    let sum = 0;
    for (let i = 0; i < this.cellCount; i++) sum += (densityKgPerM3[i]! * this.stepS) / this.cells.cellFactor[i]!;
    return sum;
  }

  /** Mass in the pipe, kg. */
  massKg(): number {
    let sum = 0;
    for (let i = 0; i < this.cellCount; i++) sum += (this.state[3 * i]! * this.stepS) / this.cells.cellFactor[i]!;
    return sum;
  }

  /** Energy in the pipe above the gas's offset, J. */
  energyJ(): number {
    let sum = 0;
    for (let i = 0; i < this.cellCount; i++) sum += (this.state[3 * i + 2]! * this.stepS) / this.cells.cellFactor[i]!;
    return sum;
  }
}

function isCalmEnd(speedMPerS: number, facePa: number, cellPa: number, impedance: number): boolean {
  const jump = facePa - cellPa;
  const zu = impedance * speedMPerS;
  return zu * zu + 4 * jump * jump < calmestSquare * cellPa * cellPa;
}

function areaAt(layout: PipeLayout, xM: number): number {
  const full = 0.25 * Math.PI * layout.boreM * layout.boreM;
  const start = layout.lengthM - layout.contractionM;
  if (layout.contractionM <= 0 || xM <= start) return full;
  const share = Math.min(1, (xM - start) / layout.contractionM);
  const bore = layout.mouthBoreM + (layout.boreM - layout.mouthBoreM) * 0.5 * (1 + cos(Math.PI * share));
  return 0.25 * Math.PI * bore * bore;
}
