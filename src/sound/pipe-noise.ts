import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** Which pipes there are. Branches start at ports; they meet in a trunk, or each has a mouth of its own. */
export interface PipeNoiseShape {
  readonly branchCount: number;
  readonly hasTrunk: boolean;
  /** Room for delays up to this, s. Longer ones are held to it. */
  readonly longestDelayS: number;
  /** Where a mouth without flow reflects less and less: c / (2 pi radius), Hz. */
  readonly mouthCornerHz: number;
  /** Pressure left of a wave after one passage of each pipe, trunk last: wall loss. */
  readonly passRatios: readonly number[];
}

/** Where each figure stands in a row of the table that `PipeNoise.process` reads. */
export class PipeNoiseColumns {
  /** Per pipe, trunk last: delays in s, with and against the flow, and the admittance at the junction's end. */
  readonly downstreamS: number;
  readonly upstreamS: number;
  readonly junctionAdmittance: number;
  /** Per branch. */
  readonly portReflection: number;
  /** Per mouth: low-frequency reflection, and volume flow per pressure in the pipe before it. */
  readonly mouthReflection: number;
  readonly mouthAdmittance: number;
  /** Columns used, from `first` on. */
  readonly count: number;

  constructor(first: number, pipeCount: number, branchCount: number, mouthCount: number) {
    this.downstreamS = first;
    this.upstreamS = first + pipeCount;
    this.junctionAdmittance = first + 2 * pipeCount;
    this.portReflection = first + 3 * pipeCount;
    this.mouthReflection = this.portReflection + branchCount;
    this.mouthAdmittance = this.mouthReflection + mouthCount;
    this.count = this.mouthAdmittance + mouthCount - first;
  }
}

/** One kind of noise on its way through the pipes: what enters where, what comes out, and the waves between. */
export class PipeNoiseChannel {
  /** Pressure waves started at the ports, one array a branch. */
  readonly portPa: readonly Float64Array[];
  /** Pressure sources in the mouths, one array a mouth; null where there are none. */
  readonly mouthPa: readonly Float64Array[] | null;
  /** Volume flow out of all mouths, m3/s. */
  readonly outflow: Float64Array;
  /** Waves under way: one ring a line, kept by `PipeNoise`. */
  readonly rings: Float64Array;
  /** Waves that arrive in the present tick, one run a line. */
  readonly arrived: Float64Array;
  /** The low-passed wave at every mouth. */
  readonly mouthState: Float64Array;

  constructor(
    pipeNoise: PipeNoise,
    portPa: readonly Float64Array[],
    mouthPa: readonly Float64Array[] | null,
    frameCount: number,
  ) {
    this.portPa = portPa;
    this.mouthPa = mouthPa;
    this.outflow = new Float64Array(frameCount);
    this.rings = new Float64Array(pipeNoise.lineCount * pipeNoise.ringLength);
    this.arrived = new Float64Array(pipeNoise.lineCount * pipeNoise.samplesPerTick);
    this.mouthState = new Float64Array(pipeNoise.mouthCount);
  }
}

// Keeps waves that die away from crawling through denormal numbers.
const FLOOR = 1e-25;

/**
 * Linear copy of an exhaust's pipes for the noise of the flow in them: delay lines whose lengths follow the gas tick by
 * tick, a junction by admittances, ports that reflect as they stand open, mouths as their flow lets them. Sharing the
 * fluid's travel times, it gives noise the pipes' own resonances; it acts back on nothing.
 *
 * Left out: scattering where the gas changes within a pipe, the inertia of the nozzle's contraction (resonances 1 to 3 %
 * high), higher modes. A delay shorter than a tick and a sample is held to that.
 *
 * @example
 * const pipes = new PipeNoise(48000, 4, shape);
 * const channel = new PipeNoiseChannel(pipes, [port1, port2], [nozzle], 128);
 * pipes.process(rows, rowLength, columns, 32, [channel]);
 */
export class PipeNoise {
  readonly pipeCount: number;
  readonly mouthCount: number;
  /** Two a pipe: along the flow and against it. */
  readonly lineCount: number;
  /** Length of one ring, a power of 2. */
  readonly ringLength: number;

  private readonly sampleRateHz: number;
  private readonly leastSamples: number;
  private readonly greatestSamples: number;
  private readonly mouthKeep: number;
  private readonly passRatios: Float64Array;
  private readonly hasTrunk: boolean;
  // Delay of every line at the end of the last tick.
  private readonly heldSamples: Float64Array;
  private readonly wantedSamples: Float64Array;
  // Reflection of every port, then of every mouth, at the end of the last tick.
  private readonly heldReflection: Float64Array;
  // For the line at hand, sample by sample: how far back its newest tap lies, and the four weights.
  private readonly newestTap: Int32Array;
  private readonly weights: Float64Array;
  private isFresh = true;
  private writeIndex = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz, no branch, or room for more than 10 s */
  constructor(
    sampleRateHz: number,
    readonly samplesPerTick: number,
    shape: PipeNoiseShape,
  ) {
    this.sampleRateHz = requireSampleRateHz("PipeNoise", sampleRateHz);
    requireWithin("PipeNoise", "branchCount", shape.branchCount, 1, 64, "");
    requireWithin("PipeNoise", "longestDelayS", shape.longestDelayS, 1e-6, 10, " s");
    requireWithin("PipeNoise", "mouthCornerHz", shape.mouthCornerHz, 1, 1e8, " Hz");
    this.hasTrunk = shape.hasTrunk;
    this.pipeCount = shape.branchCount + (shape.hasTrunk ? 1 : 0);
    this.mouthCount = shape.hasTrunk ? 1 : shape.branchCount;
    this.lineCount = 2 * this.pipeCount;
    this.leastSamples = samplesPerTick + 1;
    let length = 16;
    while (length < shape.longestDelayS * sampleRateHz + samplesPerTick + 8) length *= 2;
    this.ringLength = length;
    this.greatestSamples = length - samplesPerTick - 8;
    const corner = (2 * Math.PI * shape.mouthCornerHz) / sampleRateHz;
    this.mouthKeep = corner / (1 + corner);
    this.passRatios = Float64Array.from({ length: this.pipeCount }, (_, i) => shape.passRatios[i] ?? 1);
    this.heldSamples = new Float64Array(this.lineCount);
    this.wantedSamples = new Float64Array(this.lineCount);
    this.heldReflection = new Float64Array(shape.branchCount + this.mouthCount);
    this.newestTap = new Int32Array(samplesPerTick);
    this.weights = new Float64Array(4 * samplesPerTick);
  }

  /** State only: no wave in any pipe. */
  reset(channels: readonly PipeNoiseChannel[]): void {
    for (const channel of channels) {
      channel.rings.fill(0);
      channel.arrived.fill(0);
      channel.mouthState.fill(0);
    }
    this.heldSamples.fill(0);
    this.isFresh = true;
    this.writeIndex = 0;
  }

  /**
   * `tickCount` ticks of every channel: the first rows say how the pipes stand at the end of each tick. Fills
   * every channel's `outflow` from its sources.
   */
  process(
    rows: Float64Array,
    rowLength: number,
    columns: PipeNoiseColumns,
    tickCount: number,
    channels: readonly PipeNoiseChannel[],
  ): void {
    const { lineCount, samplesPerTick, heldSamples, wantedSamples, leastSamples, greatestSamples, sampleRateHz } = this;
    for (let t = 0; t < tickCount; t++) {
      const row = t * rowLength;
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
      for (let line = 0; line < lineCount; line++) {
        this.lead(line);
        for (let c = 0; c < channels.length; c++) this.read(channels[c]!, line);
      }
      for (let c = 0; c < channels.length; c++) {
        this.scatter(channels[c]!, rows, row, columns, t * samplesPerTick);
      }
      this.hold(rows, row, columns);
      this.writeIndex = (this.writeIndex + samplesPerTick) & (this.ringLength - 1);
    }
  }

  private hold(rows: Float64Array, row: number, columns: PipeNoiseColumns): void {
    const { heldReflection, mouthCount } = this;
    const branchCount = heldReflection.length - mouthCount;
    for (let i = 0; i < branchCount; i++) heldReflection[i] = rows[row + columns.portReflection + i]!;
    for (let m = 0; m < mouthCount; m++) heldReflection[branchCount + m] = rows[row + columns.mouthReflection + m]!;
  }

  // Leads a line's delay over the tick: taps and weights of third-order Lagrange interpolation, sample by sample, the
  // wanted point between the middle two of four.
  private lead(line: number): void {
    const { heldSamples, wantedSamples, newestTap, weights, samplesPerTick } = this;
    let samples = heldSamples[line]!;
    const wanted = wantedSamples[line]!;
    const step = (wanted - samples) / samplesPerTick;
    for (let s = 0; s < samplesPerTick; s++) {
      samples += step;
      const whole = (samples | 0) - 1;
      const x = samples - whole;
      const a = x - 1;
      const b = x - 2;
      const c = x - 3;
      newestTap[s] = s - whole;
      weights[4 * s] = (-a * b * c) / 6;
      weights[4 * s + 1] = (x * b * c) / 2;
      weights[4 * s + 2] = (-x * a * c) / 2;
      weights[4 * s + 3] = (x * a * b) / 6;
    }
    heldSamples[line] = wanted;
  }

  private read(channel: PipeNoiseChannel, line: number): void {
    const { newestTap, weights, samplesPerTick, writeIndex, ringLength } = this;
    const { rings, arrived } = channel;
    const mask = ringLength - 1;
    const ring = line * ringLength;
    const pass = this.passRatios[line >> 1]!;
    const out = line * samplesPerTick;
    for (let s = 0; s < samplesPerTick; s++) {
      const tap = writeIndex + newestTap[s]!;
      arrived[out + s] =
        pass *
        (weights[4 * s]! * rings[ring + (tap & mask)]! +
          weights[4 * s + 1]! * rings[ring + ((tap - 1) & mask)]! +
          (weights[4 * s + 2]! * rings[ring + ((tap - 2) & mask)]! +
            weights[4 * s + 3]! * rings[ring + ((tap - 3) & mask)]!));
    }
  }

  private scatter(
    channel: PipeNoiseChannel,
    rows: Float64Array,
    row: number,
    columns: PipeNoiseColumns,
    start: number,
  ): void {
    const { samplesPerTick, writeIndex, ringLength, hasTrunk, mouthCount, mouthKeep, heldReflection } = this;
    const { rings, arrived, portPa, mouthPa, mouthState, outflow } = channel;
    const mask = ringLength - 1;
    const branchCount = hasTrunk ? this.pipeCount - 1 : this.pipeCount;
    // Ports: what comes up is thrown back, the port's own noise joins it.
    for (let i = 0; i < branchCount; i++) {
      const share = 1 / samplesPerTick;
      let reflection = heldReflection[i]!;
      const step = share * (rows[row + columns.portReflection + i]! - reflection);
      const source = portPa[i]!;
      const up = (2 * i + 1) * samplesPerTick;
      const ring = 2 * i * ringLength;
      for (let s = 0; s < samplesPerTick; s++) {
        reflection += step;
        rings[ring + ((writeIndex + s) & mask)] = reflection * arrived[up + s]! + source[start + s]! + FLOOR;
      }
    }
    if (hasTrunk) {
      const last = this.pipeCount - 1;
      const firstY = row + columns.junctionAdmittance;
      let sum = 0;
      for (let i = 0; i <= last; i++) sum += rows[firstY + i]!;
      const twice = 2 / sum;
      for (let s = 0; s < samplesPerTick; s++) {
        const at = (writeIndex + s) & mask;
        const back = arrived[(2 * last + 1) * samplesPerTick + s]!;
        let pressure = rows[firstY + last]! * back;
        for (let i = 0; i < last; i++) pressure += rows[firstY + i]! * arrived[2 * i * samplesPerTick + s]!;
        pressure *= twice;
        for (let i = 0; i < last; i++) {
          rings[(2 * i + 1) * ringLength + at] = pressure - arrived[2 * i * samplesPerTick + s]!;
        }
        rings[2 * last * ringLength + at] = pressure - back;
      }
    }
    for (let s = 0; s < samplesPerTick; s++) outflow[start + s] = 0;
    for (let m = 0; m < mouthCount; m++) {
      const pipe = hasTrunk ? this.pipeCount - 1 : m;
      const down = 2 * pipe * samplesPerTick;
      const ring = (2 * pipe + 1) * ringLength;
      const share = 1 / samplesPerTick;
      let reflection = heldReflection[branchCount + m]!;
      const step = share * (rows[row + columns.mouthReflection + m]! - reflection);
      const admittance = rows[row + columns.mouthAdmittance + m]!;
      let low = mouthState[m]!;
      for (let s = 0; s < samplesPerTick; s++) {
        const wave = arrived[down + s]!;
        low += mouthKeep * (wave - low);
        const own = mouthPa === null ? 0 : mouthPa[m]![start + s]!;
        reflection += step;
        const back = reflection * low - 0.5 * (1 - reflection) * own;
        rings[ring + ((writeIndex + s) & mask)] = back;
        outflow[start + s] = outflow[start + s]! + admittance * (wave - back);
      }
      mouthState[m] = low;
    }
  }
}
