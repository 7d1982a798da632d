import type { FlowNoiseRecord } from "../engine/flow-noise-record.js";
import type { PulseRecord } from "../engine/pulse-record.js";
import { PipeNoiseColumns } from "../sound/pipe-noise.js";

// A tick's flow is heard four ticks late, like the interpolated pulse; levels are led to it over the tick before.
const lagTicks = 3;

/**
 * What noise is made of, tick by tick: a table with one row a tick, late by as much as the interpolated flows are. Row
 * `t` of a chunk, counted from 0, holds what the noise of the chunk's tick `t` is led to.
 */
export class FlowRows {
  readonly rows: Float64Array;
  readonly rowLength: number;
  readonly pipes: PipeNoiseColumns;
  /** Per branch: head and rates (opening's, pipe's) of the rush through the ports, leak past the valve and speed of its jet. */
  readonly portHead: number;
  readonly portRate: number;
  readonly portPipeRate: number;
  readonly leakMass: number;
  readonly leakSpeed: number;
  /** Per mouth. */
  readonly mouthHead: number;
  readonly mouthRate: number;
  readonly mouthPipeRate: number;
  /** Of the flow up the chimney. */
  readonly chimneyHead: number;
  readonly chimneyRate: number;
  /** Per cylinder: leak to the air. */
  readonly airLeakMass: number;
  readonly airLeakSpeed: number;
  /** Into the end that takes most steam, and speed of its jet. */
  readonly steamMass: number;
  readonly steamSpeed: number;
  /** Through the regulator. */
  readonly regulatorMass: number;
  readonly regulatorSpeed: number;

  constructor(
    private readonly flow: FlowNoiseRecord,
    private readonly record: PulseRecord,
    private readonly ticksPerChunk: number,
  ) {
    const { pipeCount, branchCount, mouthCount } = flow;
    const cylinderCount = record.airLeakKgPerS.length;
    this.pipes = new PipeNoiseColumns(0, pipeCount, branchCount, mouthCount);
    this.portHead = this.pipes.count;
    this.portRate = this.portHead + branchCount;
    this.portPipeRate = this.portRate + branchCount;
    this.leakMass = this.portPipeRate + branchCount;
    this.leakSpeed = this.leakMass + branchCount;
    this.mouthHead = this.leakSpeed + branchCount;
    this.mouthRate = this.mouthHead + mouthCount;
    this.mouthPipeRate = this.mouthRate + mouthCount;
    this.chimneyHead = this.mouthPipeRate + mouthCount;
    this.chimneyRate = this.chimneyHead + 1;
    this.airLeakMass = this.chimneyRate + 1;
    this.airLeakSpeed = this.airLeakMass + cylinderCount;
    this.steamMass = this.airLeakSpeed + cylinderCount;
    this.steamSpeed = this.steamMass + 1;
    this.regulatorMass = this.steamSpeed + 1;
    this.regulatorSpeed = this.regulatorMass + 1;
    this.rowLength = this.regulatorSpeed + 1;
    this.rows = new Float64Array(this.rowLength * (ticksPerChunk + lagTicks));
  }

  /** State only: as if the record had stood as it is for long. */
  settle(): void {
    this.take(0);
    const { rows, rowLength } = this;
    const last = lagTicks * rowLength;
    for (let r = 0; r < lagTicks; r++) rows.copyWithin(r * rowLength, last, last + rowLength);
  }

  /** Takes the records of tick `t` of the chunk. */
  take(t: number): void {
    const { rows, flow, record, pipes } = this;
    const at = (t + lagTicks) * this.rowLength;
    flow.measure();
    for (let i = 0; i < flow.pipeCount; i++) {
      rows[at + pipes.downstreamS + i] = flow.downstreamS[i]!;
      rows[at + pipes.upstreamS + i] = flow.upstreamS[i]!;
      rows[at + pipes.junctionAdmittance + i] = flow.junctionAdmittance[i]!;
    }
    for (let i = 0; i < flow.branchCount; i++) {
      rows[at + pipes.portReflection + i] = flow.portReflectionRatio[i]!;
      rows[at + this.portHead + i] = flow.portHeadPa[i]!;
      rows[at + this.portRate + i] = flow.portRatePerS[i]!;
      rows[at + this.portPipeRate + i] = flow.portPipeRatePerS[i]!;
      rows[at + this.leakMass + i] = record.leakKgPerS[i]!;
      rows[at + this.leakSpeed + i] = record.leakMPerS[i]!;
    }
    for (let m = 0; m < flow.mouthCount; m++) {
      rows[at + pipes.mouthReflection + m] = flow.mouthReflectionRatio[m]!;
      rows[at + pipes.mouthAdmittance + m] = flow.mouthAdmittanceM3PerPaS[m]!;
      rows[at + this.mouthHead + m] = flow.mouthHeadPa[m]!;
      rows[at + this.mouthRate + m] = flow.mouthRatePerS[m]!;
      rows[at + this.mouthPipeRate + m] = flow.mouthPipeRatePerS[m]!;
    }
    rows[at + this.chimneyHead] = flow.chimneyHeadPa;
    rows[at + this.chimneyRate] = flow.chimneyRatePerS;
    for (let k = 0; k < record.airLeakKgPerS.length; k++) {
      rows[at + this.airLeakMass + k] = record.airLeakKgPerS[k]!;
      rows[at + this.airLeakSpeed + k] = record.airLeakMPerS[k]!;
    }
    let most = 0;
    let speed = 0;
    for (let e = 0; e < record.endSteamKgPerS.length; e++) {
      const signed = record.endSteamKgPerS[e]!;
      const steam = signed < 0 ? -signed : signed;
      if (steam > most) {
        most = steam;
        speed = record.endSteamMPerS[e]!;
      }
    }
    rows[at + this.steamMass] = most;
    rows[at + this.steamSpeed] = speed;
    rows[at + this.regulatorMass] = record.regulatorKgPerS;
    rows[at + this.regulatorSpeed] = record.regulatorMPerS;
  }

  /** Makes room for the next chunk. */
  advance(): void {
    this.rows.copyWithin(0, this.ticksPerChunk * this.rowLength);
  }
}
