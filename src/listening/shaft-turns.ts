/** Where the shaft stands at each sample of a stretch of whole turns. */
export interface ShaftTurns {
  /** First sample of the stretch, and the one after its last. */
  readonly firstSample: number;
  readonly endSample: number;
  readonly turnCount: number;
  /**
   * Turns since the start of the stretch, counted upwards in the running direction; one value per sample of the
   * stretch.
   */
  readonly turns: Float64Array;
  /** -1 when the shaft angle falls. Shaft degrees = direction x 360 x turns. */
  readonly direction: 1 | -1;
}

/**
 * Where the shaft is known: at the start of each turn (seconds from sample 0, rising), or at every sample (rad,
 * unwrapped).
 */
export type ShaftRecord =
  | { readonly turnStartsS: ArrayLike<number>; readonly shaftAngleRad?: undefined }
  | { readonly shaftAngleRad: ArrayLike<number>; readonly turnStartsS?: undefined };

/**
 * Whole turns of a recording. With `turnStartsS` the speed is taken as steady within each turn, and the last entry
 * ends the last turn. With `shaftAngleRad` turns begin where the angle passes a multiple of 2 pi. Throws RangeError
 * when the shaft turns back, when the starts do not rise or leave the recording, or without one whole turn.
 */
export function shaftTurns(record: ShaftRecord, sampleRateHz: number, sampleCount: number): ShaftTurns {
  return record.turnStartsS !== undefined
    ? turnsFromStarts(record.turnStartsS, sampleRateHz, sampleCount)
    : turnsFromAngle(record.shaftAngleRad, sampleCount);
}

/** Part of a sample by which the end of the last turn may lie beyond the end of the recording. [common practice] */
const END_SLACK_SAMPLES = 1e-3;

function turnsFromStarts(startsS: ArrayLike<number>, sampleRateHz: number, sampleCount: number): ShaftTurns {
  const turnCount = startsS.length - 1;
  if (turnCount < 1) {
    throw new RangeError(
      `shaftTurns: turnStartsS must hold at least 2 times, got ${startsS.length}. Give the end of the last turn too.`,
    );
  }
  const endSampleExact = startsS[turnCount]! * sampleRateHz;
  if (!(startsS[0]! >= 0 && endSampleExact <= sampleCount + END_SLACK_SAMPLES)) {
    throw new RangeError(
      `shaftTurns: turnStartsS must lie within the recording of ${sampleCount / sampleRateHz} s, ` +
        `got ${startsS[0]} to ${startsS[turnCount]}. Leave out the turns that are cut off.`,
    );
  }
  const firstSample = Math.ceil(startsS[0]! * sampleRateHz - 1e-6);
  const endSample = Math.min(sampleCount, Math.ceil(endSampleExact - 1e-6));
  const turns = new Float64Array(endSample - firstSample);
  for (let turn = 0, i = firstSample; turn < turnCount; turn++) {
    const [start, end] = [startsS[turn]! * sampleRateHz, startsS[turn + 1]! * sampleRateHz];
    if (!(end > start)) {
      throw new RangeError(
        `shaftTurns: turnStartsS must rise, got ${startsS[turn]} then ${startsS[turn + 1]} at ${turn}. Sort the times.`,
      );
    }
    for (; i < endSample && (i < end - 1e-6 || turn === turnCount - 1); i++) {
      turns[i - firstSample] = turn + Math.max(0, (i - start) / (end - start));
    }
  }
  return { firstSample, endSample, turnCount, turns, direction: 1 };
}

function turnsFromAngle(angleRad: ArrayLike<number>, sampleCount: number): ShaftTurns {
  if (angleRad.length !== sampleCount || sampleCount < 2) {
    throw new RangeError(
      `shaftTurns: shaftAngleRad must have one value for each of ${sampleCount} samples, got ${angleRad.length}. Resample it first.`,
    );
  }
  const direction = angleRad[sampleCount - 1]! < angleRad[0]! ? -1 : 1;
  const at = (i: number): number => (direction * angleRad[i]!) / (2 * Math.PI);
  for (let i = 1; i < sampleCount; i++) {
    if (!(at(i) >= at(i - 1))) {
      throw new RangeError(
        `shaftTurns: shaftAngleRad must not turn back, got ${angleRad[i - 1]} then ${angleRad[i]} at ${i}. ` +
          "Fold each direction of running by itself.",
      );
    }
  }
  const firstTurn = Math.ceil(at(0) - 1e-9);
  // The sample after the last would stand one step on; a turn that ends there is whole.
  const afterLast = 2 * at(sampleCount - 1) - at(sampleCount - 2);
  const turnCount = Math.floor(afterLast + 1e-9) - firstTurn;
  if (!(turnCount >= 1)) {
    throw new RangeError(
      `shaftTurns: shaftAngleRad must hold a whole turn, got ${afterLast - at(0)} turns. Record for longer.`,
    );
  }
  let firstSample = 0;
  while (at(firstSample) < firstTurn - 1e-9) firstSample += 1;
  let endSample = sampleCount;
  while (at(endSample - 1) >= firstTurn + turnCount - 1e-9) endSample -= 1;
  const turns = new Float64Array(endSample - firstSample);
  for (let i = 0; i < turns.length; i++) turns[i] = Math.max(0, at(firstSample + i) - firstTurn);
  return { firstSample, endSample, turnCount, turns, direction };
}
