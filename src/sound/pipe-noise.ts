import type { PipeNoiseColumns, PipeNoiseShape } from "./pipe-noise-layout.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

// Keeps waves that die away from crawling through denormal numbers.
const FLOOR = 1e-30;
const GUARD = 4;

/**
 * Linear copy of an exhaust's pipes for the noise of the flow in them: delay lines whose lengths follow the gas tick by
 * tick, a junction by admittances, ports that reflect as they stand open, mouths as their flow lets them. Sharing the
 * fluid's travel times, it gives noise the pipes' own resonances; it acts back on nothing. Two noises travel side by side
 * without touching: turbulence, from ports and mouths, and leaks, from the ports' places only.
 *
 * Left out: scattering where the gas changes within a pipe, the inertia of the nozzle's contraction (resonances 1 to 3 %
 * high), higher modes. A delay shorter than a tick and a sample is held to that.
 *
 * @example
 * const pipes = new PipeNoise(48000, 4, shape);
 * pipes.process(rows, rowLength, columns, 32, portPa, mouthPa, leakPa, turbulenceOut, leakOut);
 */
export class PipeNoise {
  readonly pipeCount: number;
  readonly mouthCount: number;

  private readonly samplesPerTick: number;
  private readonly lineCount: number;
  private readonly ringLength: number;
  // From ring to ring: each has its last places once more before its first, for taps that reach back over the seam.
  private readonly stride: number;
  private readonly sampleRateHz: number;
  // Least and greatest delay in samples: in an array, for a whole number in a field would be mixed with fractions.
  private readonly limitSamples: Float64Array;
  // Backward Euler: never gives energy back that it was not given.
  private readonly mouthKeep: number;
  private readonly mouthLoad: number;
  private readonly passRatios: Float64Array;
  private readonly hasTrunk: boolean;
  // Waves under way: two rings a pipe, along the flow and against it; turbulence and leaks by turns in each place.
  private readonly rings: Float64Array;
  // Waves that arrive in the present tick, likewise.
  private readonly arrived: Float64Array;
  // Flow through the mass at every mouth, likewise, as the wave that would carry it.
  private readonly mouthState: Float64Array;
  // Delay of every line at the end of the last tick and of this one.
  private readonly heldSamples: Float64Array;
  private readonly wantedSamples: Float64Array;
  // Reflection of every port, then of every mouth, at the end of the last tick.
  private readonly heldReflection: Float64Array;
  private isFresh = true;
  private writeIndex = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz, no branch, or room for more than 10 s */
  constructor(sampleRateHz: number, samplesPerTick: number, shape: PipeNoiseShape) {
    this.sampleRateHz = requireSampleRateHz("PipeNoise", sampleRateHz);
    this.samplesPerTick = samplesPerTick;
    requireWithin("PipeNoise", "branchCount", shape.branchCount, 1, 64, "");
    requireWithin("PipeNoise", "longestDelayS", shape.longestDelayS, 1e-6, 10, " s");
    requireWithin("PipeNoise", "mouthLoadRatio", shape.mouthLoadRatio, 0, 1e6, "");
    requireWithin("PipeNoise", "mouthLoadS", shape.mouthLoadS, 0, 10, " s");
    this.hasTrunk = shape.hasTrunk;
    this.pipeCount = shape.branchCount + (shape.hasTrunk ? 1 : 0);
    this.mouthCount = shape.hasTrunk ? 1 : shape.branchCount;
    this.lineCount = 2 * this.pipeCount;
    // A whole number of ticks, so that none is cut by the seam.
    const ticks = Math.ceil((shape.longestDelayS * sampleRateHz + 8) / samplesPerTick) + 1;
    const length = ticks * samplesPerTick;
    this.ringLength = length;
    this.limitSamples = Float64Array.of(samplesPerTick + 1, length - samplesPerTick - 8);
    const x = shape.mouthLoadRatio > 0 ? shape.mouthLoadRatio / (shape.mouthLoadS * sampleRateHz) : 0;
    this.mouthKeep = x / (1 + x);
    this.mouthLoad = shape.mouthLoadRatio / (1 + x);
    this.passRatios = Float64Array.from({ length: this.pipeCount }, (_, i) => shape.passRatios[i] ?? 1);
    this.stride = length + GUARD;
    this.rings = new Float64Array(2 * this.lineCount * this.stride);
    this.arrived = new Float64Array(2 * this.lineCount * samplesPerTick);
    this.mouthState = new Float64Array(2 * this.mouthCount);
    this.heldSamples = new Float64Array(this.lineCount);
    this.wantedSamples = new Float64Array(this.lineCount);
    this.heldReflection = new Float64Array(shape.branchCount + this.mouthCount);
  }

  /** State only: no wave in any pipe. */
  reset(): void {
    this.rings.fill(0);
    this.arrived.fill(0);
    this.mouthState.fill(0);
    this.heldSamples.fill(0);
    this.heldReflection.fill(0);
    this.isFresh = true;
    this.writeIndex = 0;
  }

  /**
   * `tickCount` ticks: the first rows of the table say how the pipes stand at the end of each. In: pressure waves started
   * at the ports, one array a branch, pressure sources in the mouths, one a mouth, and leaks' waves at the ports (none
   * where nothing leaks). Out: volume flow out of all mouths, m3/s, of turbulence and of leaks.
   */
  process(
    rows: Float64Array,
    rowLength: number,
    columns: PipeNoiseColumns,
    tickCount: number,
    portPa: readonly Float64Array[],
    mouthPa: readonly Float64Array[],
    leakPa: readonly Float64Array[],
    turbulenceOut: Float64Array,
    leakOut: Float64Array,
  ): void {
    const { lineCount, samplesPerTick, heldSamples, wantedSamples, limitSamples, sampleRateHz } = this;
    const leastSamples = limitSamples[0]!;
    const greatestSamples = limitSamples[1]!;
    const frameCount = tickCount * samplesPerTick;
    turbulenceOut.fill(0, 0, frameCount);
    leakOut.fill(0, 0, frameCount);
    for (let t = 0; t < tickCount; t++) {
      const row = t * rowLength;
      const start = t * samplesPerTick;
      for (let line = 0; line < lineCount; line++) {
        const column = (line & 1) === 0 ? columns.downstreamS : columns.upstreamS;
        let samples = rows[row + column + (line >> 1)]! * sampleRateHz;
        if (!(samples > leastSamples)) samples = leastSamples;
        else if (samples > greatestSamples) samples = greatestSamples;
        wantedSamples[line] = samples;
        if (this.isFresh) heldSamples[line] = samples;
      }
      if (this.isFresh) this.hold(rows, row, columns);
      this.isFresh = false;
      for (let line = 0; line < lineCount; line++) this.read(line);
      this.reflectPorts(rows, row + columns.portReflection, start, portPa, leakPa);
      if (this.hasTrunk) this.scatter(rows, row + columns.junctionAdmittance);
      this.leave(rows, row, columns, start, mouthPa, turbulenceOut, leakOut);
      this.hold(rows, row, columns);
      this.writeIndex += samplesPerTick;
      if (this.writeIndex >= this.ringLength) this.closeRings();
    }
  }

  private hold(rows: Float64Array, row: number, columns: PipeNoiseColumns): void {
    const { heldReflection, mouthCount } = this;
    const branchCount = heldReflection.length - mouthCount;
    for (let i = 0; i < branchCount; i++) heldReflection[i] = rows[row + columns.portReflection + i]!;
    for (let m = 0; m < mouthCount; m++) heldReflection[branchCount + m] = rows[row + columns.mouthReflection + m]!;
  }

  private closeRings(): void {
    const { rings, lineCount, stride, ringLength } = this;
    for (let line = 0; line < lineCount; line++) {
      const ring = 2 * line * stride;
      rings.copyWithin(ring, ring + 2 * ringLength, ring + 2 * stride);
    }
    this.writeIndex = 0;
  }

  // What arrives at a line's end in this tick while its delay goes to what is wanted: third-order Lagrange interpolation,
  // the wanted point between the middle two of four taps.
  private read(line: number): void {
    const { heldSamples, wantedSamples, rings, arrived, samplesPerTick, writeIndex, ringLength } = this;
    const ring = line * this.stride + GUARD;
    const pass = this.passRatios[line >> 1]!;
    let samples = heldSamples[line]!;
    const wanted = wantedSamples[line]!;
    const step = (wanted - samples) / samplesPerTick;
    let out = 2 * line * samplesPerTick;
    for (let s = 0; s < samplesPerTick; s++) {
      samples += step;
      const whole = (samples | 0) - 1;
      const x = samples - whole;
      const a = x - 1;
      const b = x - 2;
      const c = x - 3;
      const outer = pass * b * c;
      const inner = pass * x * a;
      const h0 = (-1 / 6) * a * outer;
      const h1 = 0.5 * x * outer;
      const h2 = -0.5 * inner * c;
      const h3 = (1 / 6) * inner * b;
      const tap = writeIndex + s - whole;
      const at = 2 * (ring + (tap < 0 ? tap + ringLength : tap));
      arrived[out] = h0 * rings[at]! + h1 * rings[at - 2]! + (h2 * rings[at - 4]! + h3 * rings[at - 6]!);
      arrived[out + 1] = h0 * rings[at + 1]! + h1 * rings[at - 1]! + (h2 * rings[at - 3]! + h3 * rings[at - 5]!);
      out += 2;
    }
    heldSamples[line] = wanted;
  }

  // Ports throw back what comes up; their own noise joins it.
  private reflectPorts(
    rows: Float64Array,
    column: number,
    start: number,
    portPa: readonly Float64Array[],
    leakPa: readonly Float64Array[],
  ): void {
    const { samplesPerTick, writeIndex, stride, rings, arrived, heldReflection } = this;
    const share = 1 / samplesPerTick;
    const branchCount = heldReflection.length - this.mouthCount;
    const leaks = leakPa.length > 0;
    for (let i = 0; i < branchCount; i++) {
      let reflection = heldReflection[i]!;
      const step = share * (rows[column + i]! - reflection);
      const port = portPa[i]!;
      const leak = leaks ? leakPa[i]! : port;
      const ring = 2 * i * stride + GUARD;
      let from = 2 * (2 * i + 1) * samplesPerTick;
      for (let s = 0; s < samplesPerTick; s++) {
        reflection += step;
        const at = 2 * (ring + writeIndex + s);
        rings[at] = reflection * arrived[from]! + port[start + s]! + FLOOR;
        rings[at + 1] = reflection * arrived[from + 1]! + (leaks ? leak[start + s]! : 0) + FLOOR;
        from += 2;
      }
    }
  }

  // One pressure for all who meet at the junction.
  private scatter(rows: Float64Array, column: number): void {
    const { samplesPerTick, writeIndex, stride, rings, arrived } = this;
    const last = this.pipeCount - 1;
    let sum = 0;
    for (let i = 0; i <= last; i++) sum += rows[column + i]!;
    const twice = 2 / sum;
    const ownShare = twice * rows[column + last]!;
    for (let s = 0; s < samplesPerTick; s++) {
      const at = GUARD + writeIndex + s;
      const up = 2 * ((2 * last + 1) * samplesPerTick + s);
      let turbulence = ownShare * arrived[up]!;
      let leak = ownShare * arrived[up + 1]!;
      for (let i = 0; i < last; i++) {
        const share = twice * rows[column + i]!;
        const from = 2 * (2 * i * samplesPerTick + s);
        turbulence += share * arrived[from]!;
        leak += share * arrived[from + 1]!;
      }
      for (let i = 0; i < last; i++) {
        const from = 2 * (2 * i * samplesPerTick + s);
        const to = 2 * ((2 * i + 1) * stride + at);
        rings[to] = turbulence - arrived[from]!;
        rings[to + 1] = leak - arrived[from + 1]!;
      }
      const to = 2 * (2 * last * stride + at);
      rings[to] = turbulence - arrived[up]!;
      rings[to + 1] = leak - arrived[up + 1]!;
    }
  }

  // Mouths let out what they do not throw back: incoming wave + half of what drives the flow, over half of all resistances.
  private leave(
    rows: Float64Array,
    row: number,
    columns: PipeNoiseColumns,
    start: number,
    mouthPa: readonly Float64Array[],
    turbulenceOut: Float64Array,
    leakOut: Float64Array,
  ): void {
    const { samplesPerTick, writeIndex, stride, hasTrunk, mouthCount, mouthKeep, mouthLoad } = this;
    const { rings, arrived, mouthState, heldReflection } = this;
    const share = 1 / samplesPerTick;
    const halfLoad = 0.5 * mouthLoad;
    const branchCount = heldReflection.length - mouthCount;
    for (let m = 0; m < mouthCount; m++) {
      const pipe = hasTrunk ? this.pipeCount - 1 : m;
      const ring = (2 * pipe + 1) * stride + GUARD;
      // 1 - reflection = 2 / (1 + resistance).
      const before = 1 - heldReflection[branchCount + m]!;
      const after = 1 - rows[row + columns.mouthReflection + m]!;
      let gain = before / (1 + halfLoad * before);
      const step = share * (after / (1 + halfLoad * after) - gain);
      const admittance = rows[row + columns.mouthAdmittance + m]!;
      const own = mouthPa[m]!;
      let mass = mouthState[2 * m]!;
      let leakMass = mouthState[2 * m + 1]!;
      let from = 4 * pipe * samplesPerTick;
      for (let s = 0; s < samplesPerTick; s++) {
        gain += step;
        const wave = arrived[from]!;
        const leakWave = arrived[from + 1]!;
        const flow = gain * (wave + 0.5 * own[start + s]! + halfLoad * mass);
        const leakFlow = gain * (leakWave + halfLoad * leakMass);
        mass += mouthKeep * (flow - mass);
        leakMass += mouthKeep * (leakFlow - leakMass);
        const to = 2 * (ring + writeIndex + s);
        rings[to] = wave - flow;
        rings[to + 1] = leakWave - leakFlow;
        turbulenceOut[start + s] = turbulenceOut[start + s]! + admittance * flow;
        leakOut[start + s] = leakOut[start + s]! + admittance * leakFlow;
        from += 2;
      }
      mouthState[2 * m] = mass;
      mouthState[2 * m + 1] = leakMass;
    }
  }
}
