import { midGearCutoffRatio, quarterThrowM } from "../gear/equivalent-eccentric.js";
import { type GearDescription, isSettable } from "../gear/gear-description.js";
import { type ValveDimensions, valveDimensions } from "../gear/valve-dimensions.js";
import type { ControlTrack } from "../machine/control-track.js";

/** What turns the shaft and sets the gear, and when either begins or ends to change. */
export interface GearAndSpeed {
  readonly speedRpm: ControlTrack;
  /** Nominal cut-off, signed: negative drives the shaft backwards. */
  readonly cutoff: ControlTrack;
  readonly changesS: readonly number[];
  readonly seconds: number;
}

/**
 * Says when the shaft is first turned one way with the gear set for the other, which makes the engine a brake; empty when
 * it never is, in mid gear, at a standstill, and for an oscillating cylinder, which has no gear to set.
 */
export function againstGearNotes(gear: GearDescription, drive: GearAndSpeed): string[] {
  if (!isSettable(gear.valveGear)) return [];
  const fromS = firstAgainstS(drive, valveDimensions(gear.valveGear));
  if (fromS === null) return [];
  const since = fromS === 0 ? "" : ` from ${Number(fromS.toFixed(2))} s on`;
  return [
    `The shaft turns against its gear${since}: the engine brakes it and takes power. ` +
      `Give speed and cut-off the same sign to have it pull.`,
  ];
}

// Between two changes speed and cut-off are straight lines: their signs change only where they cross a limit.
function firstAgainstS({ speedRpm, cutoff, changesS, seconds }: GearAndSpeed, valve: ValveDimensions): number | null {
  const midGearRatio = midGearCutoffRatio(valve);
  const timesS = [0, ...changesS.filter((timeS) => timeS > 0 && timeS < seconds), seconds].sort((a, b) => a - b);
  for (let i = 1; i < timesS.length; i++) {
    const [startS, endS] = [timesS[i - 1]!, timesS[i]!];
    const crossings = [
      crossingS(speedRpm, startS, endS, 0),
      crossingS(cutoff, startS, endS, midGearRatio),
      crossingS(cutoff, startS, endS, -midGearRatio),
    ];
    const inside = crossings.filter((timeS) => timeS > startS && timeS < endS);
    const cuts = [startS, ...inside, endS].sort((a, b) => a - b);
    for (let j = 1; j < cuts.length; j++) {
      const middleS = 0.5 * (cuts[j - 1]! + cuts[j]!);
      const isAgainst = speedRpm.valueAt(middleS) * quarterThrowM(valve, cutoff.valueAt(middleS)) < 0;
      if (isAgainst && cuts[j]! > cuts[j - 1]!) return cuts[j - 1]!;
    }
  }
  return null;
}

function crossingS(track: ControlTrack, startS: number, endS: number, value: number): number {
  const spanS = 0.5 * (endS - startS);
  const early = track.valueAt(startS + 0.5 * spanS);
  const late = track.valueAt(endS - 0.5 * spanS);
  return startS + 0.5 * spanS + (spanS * (value - early)) / (late - early);
}
