import { STANDARD_ATMOSPHERE_PA } from "../quantities/constants.js";
import { exp, pow } from "../quantities/portable-maths.js";
import { designAbsorption, type AbsorptionFit } from "./absorption-design.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** Air that sound travels through. Humidity: 0 dry, 1 saturated over water. */
export interface TravelAir {
  readonly temperatureK: number;
  readonly pressurePa: number;
  readonly humidityRatio: number;
  readonly soundSpeedMPerS: number;
}

// Reference temperature, triple point of water. [source: ISO 9613-1:1993, clause 4.2 and annex B]
const referenceK = 293.15;
const triplePointK = 273.16;

/**
 * Absorption of a pure tone in still air, dB/m: classical, rotational, and the relaxations of oxygen and nitrogen.
 *
 * @param frequencyHz 50 Hz to 10 kHz within 10 % of measurement
 * [source: ISO 9613-1:1993, equations 3 to 5 and annex B]
 */
export function airAbsorptionDbPerM(frequencyHz: number, air: TravelAir): number {
  const { temperatureK, pressurePa, humidityRatio } = air;
  const pressure = pressurePa / STANDARD_ATMOSPHERE_PA;
  const warmth = temperatureK / referenceK;
  const saturation = pow(10, 4.6151 - 6.8346 * pow(triplePointK / temperatureK, 1.261));
  const molarPercent = (100 * humidityRatio * saturation) / pressure;
  const oxygenHz = pressure * (24 + (4.04e4 * molarPercent * (0.02 + molarPercent)) / (0.391 + molarPercent));
  const nitrogenHz = (pressure / Math.sqrt(warmth)) * (9 + 280 * molarPercent * exp(-4.17 * (pow(warmth, -1 / 3) - 1)));
  const square = frequencyHz * frequencyHz;
  const oxygen = (0.01275 * exp(-2239.1 / temperatureK)) / (oxygenHz + square / oxygenHz);
  const nitrogen = (0.1068 * exp(-3352 / temperatureK)) / (nitrogenHz + square / nitrogenHz);
  const classical = (1.84e-11 / pressure) * Math.sqrt(warmth);
  return 8.686 * square * (classical + pow(warmth, -2.5) * (oxygen + nitrogen));
}

// Distances for which filters are designed; under the first they pass over into none at all. [common practice: what lies
// between two of them is mixed, 0.2 dB off]
const firstM = 4;
const stepRatio = Math.SQRT2;

/** Coefficients of the absorbing filter over distance, made once for an air and shared by all paths through it. */
export class AbsorptionTable {
  /** By distance: feed-forward and feed-back of the three like sections, then of the single one. The first passes all. */
  readonly rows: readonly Float64Array[];
  /** Where each row stands, m. */
  readonly distancesM: readonly number[];

  /** @throws RangeError for a rate outside 8 to 768 kHz, or a distance outside 1 m to 100 km */
  constructor(
    readonly sampleRateHz: number,
    air: TravelAir,
    farthestM: number,
  ) {
    requireSampleRateHz("AbsorptionTable", sampleRateHz);
    requireWithin("AbsorptionTable", "farthestM", farthestM, 1, 1e5, " m");
    const distancesM = [0, firstM];
    while (distancesM[distancesM.length - 1]! < farthestM) {
      distancesM.push(distancesM[distancesM.length - 1]! * stepRatio);
    }
    const frequenciesHz: number[] = [];
    // Third octaves on exact midbands, as far as a filter at this rate can follow.
    for (let band = -12; band <= 12; band++) {
      const frequencyHz = 1000 * pow(10, band / 10);
      if (frequencyHz < 0.4 * sampleRateHz) frequenciesHz.push(frequencyHz);
    }
    const dbPerM = frequenciesHz.map((frequencyHz) => airAbsorptionDbPerM(frequencyHz, air));
    const rows: Float64Array[] = [Float64Array.of(1, 0, 0, 1, 0, 0)];
    let fit: AbsorptionFit | null = null;
    for (const distanceM of distancesM.slice(1)) {
      const lossDb = dbPerM.map((db) => db * distanceM);
      fit = designAbsorption(sampleRateHz, frequenciesHz, lossDb, fit);
      rows.push(fit.coefficients);
    }
    this.rows = rows;
    this.distancesM = distancesM;
  }
}

// Keeps states off denormal numbers; it is taken out again behind the filter.
const FLOOR = 1e-30;

/**
 * What the air takes from sound on its way: four sections of the first order, gain 1 at low frequencies, mixed from those
 * of the two nearest distances of the table. Within 0.7 dB of ISO 9613-1 to 100 m and 1.6 dB to 1 km wherever the air
 * takes less than 12 dB; where it takes more, at least 11 dB. The distance may be led from row to row while it sounds.
 */
export class AirAbsorption {
  private readonly even: SectionChain;
  private readonly odd: SectionChain;
  private readonly scratch = new Float64Array(64);
  /** Of the odd chain: the other has the rest. */
  private share = 0.5;

  constructor(private readonly table: AbsorptionTable) {
    this.even = new SectionChain(table.rows[0]!);
    this.odd = new SectionChain(table.rows[1]!);
    this.takeDistance();
  }

  /** Settings only; held at the far end of the table. */
  setDistanceM(distanceM: number): void {
    this.distanceM[0] = distanceM;
    this.takeDistance();
  }

  /** One number, as a loop sets it that must not hand numbers to functions; then `takeDistance`. */
  readonly distanceM = new Float64Array(1);

  /** Settings only: the same for `distanceM`. */
  takeDistance(): void {
    const { rows, distancesM } = this.table;
    const distanceM = this.distanceM[0]!;
    let k = 0;
    while (k < rows.length - 2 && distancesM[k + 1]! <= distanceM) k++;
    const from = distancesM[k]!;
    const above = Math.min(1, Math.max(0, (distanceM - from) / (distancesM[k + 1]! - from)));
    // Going on by a distance changes the one chain that has no share in the sound just then.
    if (k % 2 === 0) {
      this.even.row = rows[k]!;
      this.odd.row = rows[k + 1]!;
      this.share = above;
    } else {
      this.odd.row = rows[k]!;
      this.even.row = rows[k + 1]!;
      this.share = 1 - above;
    }
  }

  /** State only. */
  reset(): void {
    this.even.reset();
    this.odd.reset();
  }

  /** `output` may be `input`. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void {
    const { even, odd, scratch, share } = this;
    for (let start = 0; start < frameCount; start += scratch.length) {
      const count = Math.min(scratch.length, frameCount - start);
      odd.process(input, start, scratch, 0, count);
      even.process(input, start, output, start, count);
      for (let i = 0; i < count; i++) {
        const own = output[start + i]!;
        output[start + i] = own + share * (scratch[i]! - own);
      }
    }
  }
}

class SectionChain {
  private readonly state = new Float64Array(4);

  constructor(public row: Float64Array) {
    this.reset();
  }

  reset(): void {
    const { row, state } = this;
    state.fill((row[1]! - row[2]!) * FLOOR, 0, 3);
    state[3] = (row[4]! - row[5]!) * FLOOR;
  }

  process(input: Float64Array, from: number, output: Float64Array, to: number, frameCount: number): void {
    const { row, state } = this;
    const b0 = row[0]!;
    const b1 = row[1]!;
    const a1 = row[2]!;
    const d0 = row[3]!;
    const d1 = row[4]!;
    const e1 = row[5]!;
    let s0 = state[0]!;
    let s1 = state[1]!;
    let s2 = state[2]!;
    let s3 = state[3]!;
    for (let i = 0; i < frameCount; i++) {
      const x = input[from + i]! + FLOOR;
      const y0 = b0 * x + s0;
      s0 = b1 * x - a1 * y0;
      const y1 = b0 * y0 + s1;
      s1 = b1 * y0 - a1 * y1;
      const y2 = b0 * y1 + s2;
      s2 = b1 * y1 - a1 * y2;
      const y3 = d0 * y2 + s3;
      s3 = d1 * y2 - e1 * y3;
      output[to + i] = y3 - FLOOR;
    }
    state[0] = s0;
    state[1] = s1;
    state[2] = s2;
    state[3] = s3;
  }
}
