import { beforeAll, describe, expect, it } from "vitest";
import { greatestFastPower, octaveMiddlesHz, octavePowers } from "./octave-levels.js";
import { condensingHeard, type Heard, locomotiveHeard, type Situation, situations } from "./presence-situations.js";
import { greatestOf } from "./renders.js";

// What is to be heard of a reciprocating steam machine in which situation. [common practice: a table of sound components]
// "+" is heard: within 30 dB of the whole in the octave where the part itself is strongest. "-" is not: even its loudest eighth
// of a second stands 70 dB below the highest peak of the whole. "?" may be either.
const heardWithinDb = 30;
const unheardDb = 70;

type Presence = "+" | "-" | "?";

interface Row {
  readonly part: string;
  readonly stems: readonly string[];
  /** In the order of `situations`. */
  readonly cells: Readonly<Record<Situation, Presence>>;
  /** Octaves above this are left out. */
  readonly belowHz?: number;
}

/** Ten words' worth of signs: standing, warming, starting, pulling, notched, drifting, the same notched up, slipping, stopping, blowing off. */
function row(part: string, stems: readonly string[], signs: string, belowHz?: number): Row {
  const each = signs.replaceAll(" ", "");
  if (each.length !== situations.length) throw new Error(part);
  const cells = Object.fromEntries(situations.map((name, i) => [name, each[i]])) as Row["cells"];
  return belowHz === undefined ? { part, stems, cells } : { part, stems, cells, belowHz };
}

// The column of drifting is judged with the lever dropped, as the practice is; notched up only what it says of that.
const rows: readonly Row[] = [
  // Drifting: "faint or none", judged below by how faint. Stopping: the last sighs, which are heard.
  row("exhaust beats", ["exhaust-pulse", "exhaust-noise"], "- - + + + ? ? + + -"),
  row("hiss of the jet after the beat", ["exhaust-jet"], "- - + + ? - - + - -"),
  row("drain cocks", ["drains"], "- + + - - - - - ? -"),
  row("rush through regulator and ports", ["inlet"], "- ? + + ? - ? + - -"),
  row("clatter of slide valves", ["valve-clatter"], "- - - - - ? + - - -"),
  // Notched up, what is trapped is pumped into the chest, which then needs no air.
  row("snifting and relief valves", ["snifting", "relief"], "- - - - - + ? - - -"),
  row("rods, crosshead and brasses", ["knocks"], "- ? + + + + ? + + -"),
  row("boiler, fire and blower", ["fire", "simmer", "blower"], "+ + + + + + ? + + +"),
  row("safety valve", ["safety-valve"], "? ? ? - ? + ? - + +"),
  row("injector", ["feed"], "? ? - ? ? + ? - + ?"),
  // The table of parts has slugs apart: they gurgle below 1 kHz, where a dry jet of half an inch has next to nothing.
  row("slugs of water in the drains", ["drains"], "- + + - - - - - - -", 1000),
  // Where the safety valve blows nothing else hisses audibly: those two cells are judged below.
  row("glands", ["glands"], "+ + + + + - ? + ? ?"),
];

// A mill engine does not drift or slip, and its boiler stands apart.
const condenserRow = row("condenser and air pump", ["condenser"], "- + + + + ? ? ? + ?");

const levelDb = (power: number): number => 10 * Math.log10(Math.max(power, 1e-60));

function sumOf({ stems, mix }: Heard, names: readonly string[]): Float64Array {
  const sum = new Float64Array(mix.length);
  for (const name of names) stems.get(name)?.forEach((x, i) => (sum[i] += x));
  return sum;
}

/** How far a part stands below the whole in its own strongest octave. */
function belowWhole(heard: Heard, part: Float64Array, belowHz = Infinity): { belowDb: number; middleHz: number } {
  const powers = octavePowers(part, heard.rateHz).filter((_, k) => octaveMiddlesHz[k] < belowHz);
  const k = powers.indexOf(Math.max(...powers));
  const whole = octavePowers(heard.mix, heard.rateHz)[k];
  return { belowDb: levelDb(whole) - levelDb(powers[k]), middleHz: octaveMiddlesHz[k] };
}

/** How far a part's loudest eighth of a second stands below the whole's highest peak. */
function fastBelowDb(heard: Heard, part: Float64Array): number {
  return 2 * levelDb(greatestOf(heard.mix)) - levelDb(greatestFastPower(part, heard.rateHz));
}

function wrongCells({ stems, cells, belowHz }: Row, all: ReadonlyMap<Situation, Heard>): string[] {
  const wrong: string[] = [];
  for (const [situation, heard] of all) {
    const part = sumOf(heard, stems);
    const { belowDb, middleHz } = belowWhole(heard, part, belowHz);
    const fastDb = fastBelowDb(heard, part);
    if (cells[situation] === "+" && !(belowDb <= heardWithinDb)) {
      wrong.push(`${situation}: ${belowDb.toFixed(1)} dB below all at ${middleHz} Hz`);
    }
    if (cells[situation] === "-" && !(fastDb >= unheardDb))
      wrong.push(`${situation}: only ${fastDb.toFixed(1)} dB down`);
  }
  return wrong;
}

describe("what is heard of the locomotive in which situation", () => {
  let all: ReadonlyMap<Situation, Heard>;
  const fastDbOf = (situation: Situation, stems: readonly string[]): number => {
    const heard = all.get(situation)!;
    return levelDb(greatestFastPower(sumOf(heard, stems), heard.rateHz));
  };
  beforeAll(() => {
    all = locomotiveHeard();
    const table = rows.map(({ part, stems, cells, belowHz }) => {
      const shown = [...all].map(([situation, heard]) => {
        const stem = sumOf(heard, stems);
        const { belowDb, middleHz } = belowWhole(heard, stem, belowHz);
        const middle = middleHz < 1000 ? middleHz.toFixed(0) : `${middleHz / 1000}k`;
        return `${cells[situation]} ${belowDb.toFixed(0)}@${middle}/${fastBelowDb(heard, stem).toFixed(0)}`.padEnd(14);
      });
      return part.padEnd(34) + shown.join("");
    });
    console.log([[...all.keys()].join(", "), ...table].join("\n"));
  }, 600_000);

  it("is all ten situations of the table", () => {
    expect([...all.keys()]).toEqual(situations);
  });

  it.each(rows.map((one) => [one.part, one] as const))("%s: where the table has them, and nowhere else", (_, one) => {
    expect(wrongCells(one, all)).toEqual([]);
  });

  it("has no gearing and no condenser", () => {
    for (const { stems } of all.values())
      for (const name of ["gearing", "condenser"]) expect(stems.has(name)).toBe(false);
  });

  // Common practice: a drifting engine only breathes. Below 45 Hz its pistons pump smokebox and chimney whether there is steam or not.
  it("drifting, breathes at least 15 dB more quietly than it beats pulling, from 45 Hz up", () => {
    const [pulling, drifting] = (["pulling", "drifting"] as const).map((situation) => {
      const heard = all.get(situation)!;
      const powers = octavePowers(sumOf(heard, ["exhaust-pulse", "exhaust-noise", "exhaust-jet"]), heard.rateHz);
      return levelDb(powers.slice(1).reduce((sum, power) => sum + power, 0));
    });
    console.log(`the breath of drifting ${(pulling - drifting).toFixed(1)} dB below the beats of pulling`);
    expect(pulling - drifting).toBeGreaterThan(15);
  });

  // The table has glands hiss while she stops and while she blows off; under the safety valve nobody hears it.
  it("stopping and blowing off, hisses at its glands as it does standing, under the roar of its safety valve", () => {
    for (const situation of ["stopping", "blowing off"] as const) {
      expect(fastDbOf(situation, ["glands"])).toBeGreaterThan(fastDbOf("standing", ["glands"]) - 3);
    }
  });
});

describe("what is heard of the condensing engine in which situation", () => {
  it("condenser and air pump: wherever the shaft turns, and only there", () => {
    const all = condensingHeard();
    expect(wrongCells(condenserRow, all)).toEqual([]);
    for (const heard of all.values()) {
      // Its beats never reach the air.
      for (const name of ["exhaust-pulse", "exhaust-noise", "exhaust-jet"])
        expect(greatestOf(heard.stems.get(name)!)).toBe(0);
    }
  }, 300_000);
});
