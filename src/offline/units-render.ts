import type { MachineFile } from "../preset/machine-file.js";
import type { RunFile } from "../preset/run-file.js";
import { ruledFullScalePa } from "./full-scale.js";
import type { BeatRow, RenderedBlock, RenderRequest, RenderSource, RenderSummary } from "./render-request.js";
import { blockFrames, OfflineRender } from "./render.js";
import { RowJoin } from "./row-join.js";
import { planRun } from "./run-plan.js";
import { unitsNotes } from "./units-notes.js";

// What a row of the pulse record begins with: time, shaft, flow, volume flow, pressure. [common practice]
const sharedPulseColumns = 5;
// Of these, nozzle flow and volume flow, which are summed over mouths.
const flowColumns = [2, 3] as const;

/** A render of a machine: of one engine, or of all its engine units together. @throws RangeError in words for values that cannot be rendered */
export function openRender(request: RenderRequest): RenderSource {
  return request.machine.engineUnits.count === 1 ? new OfflineRender(request) : new UnitsRender(request);
}

/**
 * Engine units on one boiler, each as a render of its own, heard together. The shaft is that of the first; cylinders are
 * numbered on from unit to unit. What belongs to the boiler (fire, whistle, safety valve) sounds once.
 */
export class UnitsRender implements RenderSource {
  readonly stemNames: readonly string[];
  readonly totalFrames: number;
  readonly fullScalePa: number;
  readonly pulseNames: readonly string[];
  onPulse: ((rowIndex: number, row: Float64Array) => void) | null = null;

  private readonly units: readonly OfflineRender[];
  /** For each unit, where each of its stems goes. */
  private readonly places: readonly (readonly number[])[];
  private readonly stems: readonly Float64Array[];
  private readonly channels: readonly Float64Array[];
  private readonly cylindersEach: number;
  private isStarted = false;
  private nextPulse = 0;

  /** @throws RangeError in words for values that cannot be rendered */
  constructor(private readonly request: RenderRequest) {
    const { machine, run } = request;
    const { count } = machine.engineUnits;
    if (request.loop)
      refuse(
        "cannot be looped, for they come in step only by chance",
        "Leave --loop out, or write engineUnits: none for one of them",
      );
    const plan = planRun(request);
    if (plan.turnsItself) refuse("are turned from outside", "Give speed among the run's controls");
    if (run?.boilerLives === true) {
      refuse("draw on a boiler that holds its pressure", "Leave fire, feed, blowdown and start: cold out of the run");
    }
    // All their loudest moments may fall together.
    this.fullScalePa =
      request.fullScalePa ?? run?.fullScalePa ?? machine.fullScalePa ?? count * ruledFullScalePa(machine.description);
    const seed = request.seed ?? run?.seed ?? 1;
    const shared = { seconds: plan.seconds, turns: null, fullScalePa: this.fullScalePa };
    this.units = Array.from({ length: count }, (_, k) => {
      return new OfflineRender({ ...request, ...shared, ...unitOf(request, k), seed: seed + k });
    });
    const first = this.units[0]!;
    this.stemNames = first.stemNames;
    this.totalFrames = first.totalFrames;
    this.places = this.units.map((unit) => unit.stemNames.map((name) => this.stemNames.indexOf(name)));
    this.stems = this.stemNames.map(() => new Float64Array(blockFrames));
    this.channels = Array.from({ length: first.channelCount }, () => new Float64Array(blockFrames));
    this.cylindersEach = machine.description.gear.crankAnglesRad.length;
    this.pulseNames = [
      ...first.pulseNames.slice(0, sharedPulseColumns),
      ...this.units.flatMap((unit, k) =>
        unit.pulseNames
          .slice(sharedPulseColumns)
          .map((name) => name.replace(/^c(\d+)/, (_, cylinder: string) => `c${this.cylinderOf(k, Number(cylinder))}`)),
      ),
    ];
  }

  get channelCount(): number {
    return this.channels.length;
  }

  wasHeard(stem: number): boolean {
    return this.units.some((unit, k) => unit.wasHeard(this.places[k]!.indexOf(stem)));
  }

  tapPlume(rateHz: number, onRow: (row: Float64Array) => void): readonly string[] {
    const join = new RowJoin(this.units.length, (rows) =>
      onRow(Float64Array.from(rows.flatMap((row, k) => Array.from(k === 0 ? row : row.subarray(1))))),
    );
    const names = this.units.map((unit, k) => unit.tapPlume(rateHz, (row) => join.push(k, row)));
    const mouthsEach = new Set(names[0]!.slice(1).map((name) => /^m\d+/.exec(name)![0])).size;
    return names.flatMap((own, k) =>
      (k === 0 ? own : own.slice(1)).map((name) =>
        name.replace(/^m(\d+)/, (_, mouth: string) => `m${Number(mouth) + k * mouthsEach}`),
      ),
    );
  }

  next(): RenderedBlock | null {
    if (!this.isStarted) this.start();
    const { stems, channels, units, places } = this;
    for (const array of [...stems, ...channels]) array.fill(0);
    let frameCount = 0;
    for (let k = 0; k < units.length; k++) {
      const block = units[k]!.next();
      if (block === null) return null;
      frameCount = block.frameCount;
      block.stems.forEach((stem, s) => add(stem, stems[places[k]![s]!]!, frameCount));
      block.channels.forEach((channel, c) => add(channel, channels[c]!, frameCount));
    }
    return { frameCount, mix: channels[0]!, channels, stems };
  }

  beats(): readonly BeatRow[] {
    const all = this.units.flatMap((unit, k) =>
      unit.beats().map((beat) => ({ ...beat, cylinder: this.cylinderOf(k, beat.cylinder) })),
    );
    return all.sort((a, b) => a.timeS - b.timeS);
  }

  summary(): RenderSummary {
    const parts = this.units.map((unit) => unit.summary());
    const first = parts[0]!;
    const powers = parts.map(({ powerW }) => powerW);
    const pressures = parts.map(({ meanEffectivePressurePa }) => meanEffectivePressurePa);
    const { engineUnits } = this.request.machine;
    return {
      ...first,
      meanFlowKgPerS: parts.reduce((sum, { meanFlowKgPerS }) => sum + meanFlowKgPerS, 0),
      powerW: powers.some((power) => power === null) ? null : powers.reduce<number>((sum, power) => sum + power!, 0),
      meanEffectivePressurePa: pressures.some((own) => own === null) ? null : pressures.flatMap((own) => own!),
      warnings: [...new Set(parts.flatMap(({ warnings }) => warnings)), ...unitsNotes(engineUnits)],
    };
  }

  private cylinderOf(unit: number, cylinder: number): number {
    return unit * this.cylindersEach + cylinder;
  }

  private start(): void {
    this.isStarted = true;
    if (this.onPulse === null) return;
    const row = new Float64Array(this.pulseNames.length);
    const join = new RowJoin(this.units.length, (rows) => {
      row.set(rows[0]!);
      let at = sharedPulseColumns;
      rows.forEach((own, k) => {
        if (k > 0) for (const column of flowColumns) row[column] = row[column]! + own[column]!;
        row.set(own.subarray(sharedPulseColumns), at);
        at += own.length - sharedPulseColumns;
      });
      this.onPulse!(this.nextPulse++, row);
    });
    this.units.forEach((unit, k) => (unit.onPulse = (_, own) => join.push(k, own)));
  }
}

function refuse(rule: string, way: string): never {
  throw new RangeError(`render: engine units ${rule}. ${way}.`);
}

/** Machine, run and speed of one unit, counted from 0; what belongs to the boiler is the first's. */
function unitOf({ machine, run, speedRpm }: RenderRequest, unit: number): Partial<RenderRequest> {
  if (unit === 0) return {};
  const { description, engineUnits } = machine;
  const { gear, fittings } = description;
  const times = 1 + unit * engineUnits.speedStepRatio;
  const crankAnglesRad = gear.crankAnglesRad.map((angleRad) => angleRad + unit * engineUnits.angleRad);
  const own: MachineFile = {
    ...machine,
    description: {
      ...description,
      gear: { ...gear, crankAnglesRad },
      speedRpm: description.speedRpm * times,
      plant: null,
      fittings: fittings ? { ...fittings, whistle: null } : null,
    },
  };
  const turned: RunFile | null =
    run === null
      ? null
      : {
          ...run,
          listener: { ...run.listener, backgroundDbA: null },
          controls: run.controls.map((control) =>
            control.speedRpm === undefined ? control : { ...control, speedRpm: control.speedRpm * times },
          ),
        };
  return { machine: own, run: turned, speedRpm: speedRpm === null ? null : speedRpm * times, backgroundDb: null };
}

function add(from: Float64Array, to: Float64Array, frames: number): void {
  for (let i = 0; i < frames; i++) to[i] = to[i]! + from[i]!;
}
