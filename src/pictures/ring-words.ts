import { endTurn, type EndTurn } from "./end-phases.js";
import { countWord, degreesReading, figure, levelReading, percentReading, turnReading } from "./readings.js";
import { eventReadings } from "./ring-table.js";
import type { RingBeat, TurnRingMachine, TurnRingReport } from "./turn-ring-content.js";

// A shift that rounds to nothing is not told. [common practice: a twentieth of a degree]
const leastShownDeg = 0.05;

/** Every end of a report on the shaft's turn. */
export function endTurns(report: TurnRingReport, machine: TurnRingMachine): EndTurn[] {
  return report.ends.map((events) => {
    const crankAngleDeg = machine.crankAnglesDeg[events.cylinder - 1];
    if (crankAngleDeg === undefined) {
      throw new RangeError(
        `turn ring: crankAnglesDeg must have one angle per cylinder, got ${machine.crankAnglesDeg.length} and an end of ` +
          `cylinder ${events.cylinder}. Take the angles of the same machine.`,
      );
    }
    return endTurn(events, machine.direction, crankAngleDeg);
  });
}

/** `Two double-acting cylinders`, gear and speed: the line under the name. */
export function machineLine({ cutoffRatio, ends }: TurnRingReport, machine: TurnRingMachine): string {
  const count = new Set(ends.map(({ cylinder }) => cylinder)).size;
  const acting = ends.some(({ end }) => end === "crank") ? "double-acting" : "single-acting";
  const kind = cutoffRatio === null ? `${acting} oscillating` : acting;
  const words = `${countWord(count)} ${kind} cylinder${count === 1 ? "" : "s"}`;
  const gear = machine.direction === 1 ? "forward gear" : "backward gear";
  const cutoff = cutoffRatio === null ? [] : [`${percentReading(Math.abs(cutoffRatio))} cut-off, ${gear}`];
  return [words[0]!.toUpperCase() + words.slice(1), ...cutoff, speedReading(machine)].join(" · ");
}

function speedReading({ speedRpm }: TurnRingMachine): string {
  return `${figure(Math.abs(speedRpm), 1)} rpm`;
}

/** What the middle of the ring says. */
export function middleWords(report: TurnRingReport, machine: TurnRingMachine): { large: string; lines: string[] } {
  const { beatsPerTurn } = report;
  if (beatsPerTurn === 0) {
    const why = machine.exhaustsToAir ? "no end exhausts to the air" : "exhausts to a condenser";
    return { large: "no beats", lines: [why] };
  }
  const perSecond = (beatsPerTurn * Math.abs(machine.speedRpm)) / 60;
  return {
    large: String(beatsPerTurn),
    lines: [beatsPerTurn === 1 ? "beat a turn" : "beats a turn", `${figure(perSecond, 1)} a second`],
  };
}

/** What the ring lets one say about the rhythm, and how its figures count. */
export function footWords(report: TurnRingReport, machine: TurnRingMachine): string[] {
  const lines: string[] = [...outOfTrueWords(report, machine)];
  const { audibleShiftDeg, beats, beatsPerTurn } = report;
  if (audibleShiftDeg !== null) {
    const ear = `An ear notices one beat out of place from about ${figure(audibleShiftDeg, audibleShiftDeg < 10 ? 2 : 1)}° at ${speedReading(machine)}.`;
    const spacings = beats.map(({ intervalDeg }) => intervalDeg);
    const [least, most] = [Math.min(...spacings), Math.max(...spacings)].map(degreesReading);
    const spacing =
      least === most ? `Here they are ${least} apart throughout.` : `Here they are ${least} to ${most} apart.`;
    lines.push(beatsPerTurn > 1 ? `${ear} ${spacing}` : ear);
  } else if (!machine.exhaustsToAir) {
    lines.push(
      "No exhaust beats: steam leaves to a condenser, not to the air. The arcs show its valve events all the same.",
    );
  }
  if (beats.length > 0) lines.push("Dotted circles: how far the loudest beat reaches, and one half as loud.");
  lines.push(
    "Degrees: shaft angle counted forward, 0 at the head-end dead centre of cylinder 1. Per cent: of the stroke on which " +
      "the event falls; admission: of the return stroke still to go. The height of a band tells its phase, not a pressure.",
  );
  const counts = [
    countOf(report.assumed.length, "value", "assumed by rule"),
    countOf(report.warnings.length, "warning"),
  ];
  const told = counts.filter((text) => text !== "").join(", ");
  if (told !== "") lines.push(`Worked out from the machine file (${told}: 'fourbeat check' lists them).`);
  return lines;
}

function outOfTrueWords(report: TurnRingReport, machine: TurnRingMachine): string[] {
  const { outOfTrue } = machine;
  if (outOfTrue === undefined || outOfTrue.length === 0) return [];
  const shifts = report.beats.flatMap(({ cylinder, end, deviationDeg, isAudible }) => {
    if (deviationDeg === undefined || deviationDeg === null || Math.abs(deviationDeg) < leastShownDeg) return [];
    const way = deviationDeg < 0 ? "early" : "late";
    return [
      `${cylinder} ${end} ${degreesReading(Math.abs(deviationDeg))} ${way}${isAudible === true ? ", to be heard" : ""}`,
    ];
  });
  const moved = shifts.length === 0 ? "No beat is moved by it." : `Beats moved by it: ${shifts.join("; ")}.`;
  return [`Out of true: ${outOfTrue.join("; ")}. ${moved}`];
}

function countOf(count: number, noun: string, more = ""): string {
  if (count === 0) return "";
  return `${count} ${noun}${count === 1 ? "" : "s"}${more === "" ? "" : ` ${more}`}`;
}

/** Figures of a beat: where, and how loud. */
export function beatFigures({ shaftDeg, relativeLevelDb }: RingBeat): string {
  return `${turnReading(shaftDeg)}, ${levelReading(relativeLevelDb)}`;
}

/** The whole picture in words, for who does not see it. */
export function ringDescription(report: TurnRingReport, machine: TurnRingMachine, turns: readonly EndTurn[]): string {
  const ends = turns.map(({ cylinder, end, events }) => {
    const list = events.map((event) => `${event.name} ${eventReadings(event)[0]}`).join(", ");
    return `Cylinder ${cylinder} ${end} end: ${list}.`;
  });
  const beats = report.beats.map((beat) => `${beat.cylinder} ${beat.end} at ${beatFigures(beat)}`).join("; ");
  const { large, lines } = middleWords(report, machine);
  const way = machine.direction === 1 ? "forward" : "backward";
  return [
    `One turn of the shaft as a ring, 0 degrees at the top, running ${way}.`,
    `${machineLine(report, machine)}.`,
    ...outOfTrueWords(report, machine),
    `${[large, ...lines].join(" ")}.`,
    ...(beats === "" ? [] : [`Beats: ${beats}.`]),
    ...ends,
  ].join(" ");
}
