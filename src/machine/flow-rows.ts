import type { FlowNoiseRecord } from "../engine/flow-noise-record.js";
import type { PulseRecord } from "../engine/pulse-record.js";
import { PipeNoiseColumns } from "../sound/pipe-noise-layout.js";

/** Noise looks at the flow at every second tick: levels and colours need no more. [common practice: 6 kHz is far above what an envelope needs] */
export const ticksPerNoiseRow = 2;

// A flow is heard four ticks late, two rows, like the interpolated pulse; levels are led to it over the row before.
const lagRows = 1;

/**
 * What noise is made of, row by row of two ticks, late by as much as the interpolated flows are. Row `r` of a chunk, counted
 * from 0, holds what the noise of the chunk's row `r` is led to.
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
  /** The loudest rush on the inlet side: regulator, or the end that takes most steam from the chest; and speed of its jet. */
  readonly steamMass: number;
  readonly steamSpeed: number;

  constructor(
    private readonly flow: FlowNoiseRecord,
    private readonly record: PulseRecord,
    private readonly rowsPerChunk: number,
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
    this.rowLength = this.steamSpeed + 1;
    this.rows = new Float64Array(this.rowLength * (rowsPerChunk + lagRows));
  }

  /** State only: as if the record had stood as it is for long. */
  settle(): void {
    this.take(0);
    const { rows, rowLength } = this;
    const last = lagRows * rowLength;
    for (let r = 0; r < lagRows; r++) rows.copyWithin(r * rowLength, last, last + rowLength);
  }

  /** Takes the records, as the first tick of row `r` of the chunk has left them. */
  take(r: number): void {
    const { rows, flow, record, pipes } = this;
    const at = (r + lagRows) * this.rowLength;
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
    for (let e = 0; e < record.chestEndCount; e++) {
      const signed = record.endSteamKgPerS[e]!;
      const steam = signed < 0 ? -signed : signed;
      if (steam > most) {
        most = steam;
        speed = record.endSteamMPerS[e]!;
      }
    }
    // A jet's sound goes with flow x speed to the seventh.
    const { regulatorKgPerS, regulatorMPerS } = record;
    const faster = speed > 0 ? regulatorMPerS / speed : 2;
    const square = faster * faster;
    const isRegulator = regulatorKgPerS * square * square * square * faster > most;
    rows[at + this.steamMass] = isRegulator ? regulatorKgPerS : most;
    rows[at + this.steamSpeed] = isRegulator ? regulatorMPerS : speed;
  }

  /** Makes room for the next chunk. */
  advance(): void {
    this.rows.copyWithin(0, this.rowsPerChunk * this.rowLength);
  }
}
