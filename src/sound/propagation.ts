import { AirAbsorption, type AbsorptionTable } from "./air-absorption.js";
import { type Ground, groundFilter } from "./ground-reflection.js";
import { LEAST_TRAVEL_SAMPLES, MovingDelay } from "./moving-delay.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** What lies between sources and a listener. */
export interface OpenAir {
  readonly soundSpeedMPerS: number;
  /** Null: the air takes nothing. */
  readonly absorption: AbsorptionTable | null;
  /** Null: no ground. Its plane is z = 0. */
  readonly ground: Ground | null;
}

/** Of one path from source to microphone. */
export interface PathSettings {
  readonly sampleRateHz: number;
  /** The place is taken anew every so many samples. */
  readonly rowSamples: number;
  /** Farthest distance for which delays are kept; beyond it the travelling time stands still. */
  readonly farthestM: number;
  /** Distance at which the source's sound pressure is given. */
  readonly givenAtM: number;
  /** Pick-up of every channel: four numbers each, what it takes of pressure and of the three components of the direction (x, y, z) that the sound comes from. */
  readonly pickUp: Float64Array;
}

/** Nearest that a listener may come to a source: nearer, no source of a machine is a point any more. [common practice] */
export const NEAREST_M = 0.25;

const groundStepRatio = 1.25; // [common practice: reflection changes little between such distances]

// Keeps states off denormal numbers; it is taken out again behind the filter.
const FLOOR = 1e-30;

/**
 * One source heard at one point: spreading, travelling time (moving: Doppler), what the air takes, and the image of the
 * source in the ground. A moving source is louder ahead than behind by 1/(1 + range rate/c)^2.
 * [source: Morse & Ingard, Theoretical Acoustics, 1968, 11.2, simple source; the near field is left out]
 *
 * The place is set for the end of the row to come, and where it stands already at `reset`.
 */
export class SoundPath {
  /**
   * Where the source will stand at the end of the next row, seen from the listener (x, y, z in m), and how fast it goes along
   * x (m/s). Settings, which the owner writes, never nearer than `NEAREST_M`; the z of the ground's image follows from the
   * heights.
   */
  readonly place = new Float64Array(4);
  /** Rows in which the source was farther than delays are kept for. Anyone may set it back to 0. */
  heldCount = 0;

  private readonly direct: MovingDelay;
  private readonly image: MovingDelay | null;
  private readonly absorption: AirAbsorption | null;
  private readonly groundRows: readonly Float64Array[];
  private readonly groundDistancesM: readonly number[];
  private readonly samplesPerM: number;
  private readonly greatestSamples: number;
  private readonly filtered: Float64Array;
  private readonly reflected: Float64Array;
  private readonly filter = new Float64Array(3);
  private readonly ray = new Float64Array(4);
  /** Of the ground's filter: the input before, and the output. */
  private readonly groundState = new Float64Array(2);
  private written = 0;
  private silentSamples = 0;
  private isQuiet = true;
  private readonly quietAfter: number;

  /**
   * @param sourceHeightM and `earHeightM` above the ground's plane
   * @throws RangeError for settings out of range
   */
  constructor(
    private readonly air: OpenAir,
    private readonly settings: PathSettings,
    private readonly sourceHeightM: number,
    private readonly earHeightM: number,
    nearestHorizontalM: number,
  ) {
    const { sampleRateHz, rowSamples, farthestM, pickUp } = settings;
    requireSampleRateHz("SoundPath", sampleRateHz);
    requireWithin("SoundPath", "farthestM", farthestM, NEAREST_M, 1e5, " m");
    requireWithin("SoundPath", "givenAtM", settings.givenAtM, 0.1, 1e4, " m");
    requireWithin("SoundPath", "soundSpeedMPerS", air.soundSpeedMPerS, 100, 2000, " m/s");
    if (air.ground !== null) {
      requireWithin("SoundPath", "sourceHeightM", sourceHeightM, 0, 1000, " m");
      requireWithin("SoundPath", "earHeightM", earHeightM, 0, 1000, " m");
    }
    this.samplesPerM = sampleRateHz / air.soundSpeedMPerS;
    const image = farthestM + 2 * (Math.abs(sourceHeightM) + Math.abs(earHeightM));
    this.greatestSamples = Math.max(2 * LEAST_TRAVEL_SAMPLES, image * this.samplesPerM);
    const channelCount = pickUp.length / 4;
    this.direct = new MovingDelay(this.greatestSamples, rowSamples, channelCount);
    this.image = air.ground === null ? null : new MovingDelay(this.greatestSamples, rowSamples, channelCount);
    this.absorption = air.absorption === null ? null : new AirAbsorption(air.absorption);
    const distances: number[] = [];
    const first = Math.max(0.1, nearestHorizontalM);
    if (air.ground?.kind === "porous") {
      for (let d = first; d < farthestM * groundStepRatio; d *= groundStepRatio) distances.push(d);
    } else distances.push(first);
    this.groundDistancesM = distances;
    const { ground } = air;
    this.groundRows = ground === null ? [] : distances.map((horizontalM) => this.filterAt(ground, horizontalM));
    this.filtered = new Float64Array(rowSamples);
    this.reflected = new Float64Array(rowSamples);
    // All that was under way has been written over with silence by then, and the filters have come to rest.
    this.quietAfter = (2 * this.greatestSamples + 4 * rowSamples + 64 + 0.2 * sampleRateHz) | 0;
    this.place[0] = first;
    this.place[2] = sourceHeightM - earHeightM;
    this.reset();
  }

  /** State only: silence, and the source where it was last set. */
  reset(): void {
    this.takePlace();
    this.absorption?.reset();
    this.direct.reset();
    this.image?.reset();
    const f = this.filter;
    this.groundState[0] = FLOOR;
    this.groundState[1] = ((f[0]! + f[1]!) / (1 + f[2]!)) * FLOOR;
    this.written = 0;
    this.silentSamples = this.quietAfter;
    this.isQuiet = true;
    this.heldCount = 0;
  }

  /** Adds what is heard to the first samples from `offset` of every output. Not in place. */
  process(
    input: Float64Array,
    inputOffset: number,
    outputs: readonly Float64Array[],
    offset: number,
    frameCount: number,
  ): void {
    const { direct, image, absorption, filtered, reflected, settings } = this;
    const { rowSamples } = settings;
    let done = 0;
    while (done < frameCount) {
      const within = this.written % rowSamples;
      if (within === 0) {
        this.takePlace();
        this.isQuiet = this.silentSamples >= this.quietAfter;
      }
      let count = Math.min(frameCount - done, rowSamples - within) | 0;
      const from = offset + done;
      const start = inputOffset + done;
      // Sleep begins with a row and ends with the sample that ends the silence, wherever the block is cut.
      let leading = 0;
      while (this.isQuiet && leading < count && input[start + leading] === 0) leading++;
      if (leading > 0) {
        count = leading;
        direct.skip(count);
        if (image !== null) image.skip(count);
      } else {
        this.isQuiet = false;
        let silent = this.silentSamples;
        for (let i = 0; i < count; i++) {
          const x = input[start + i]!;
          filtered[i] = x;
          silent = x === 0 ? silent + 1 : 0;
        }
        this.silentSamples = silent < this.quietAfter ? silent : this.quietAfter;
        if (absorption !== null) absorption.process(filtered, filtered, count);
        direct.process(filtered, 0, outputs, from, count);
        if (image !== null) {
          this.reflect(count);
          image.process(reflected, 0, outputs, from, count);
        }
      }
      this.written += count;
      done += count;
    }
  }

  private reflect(count: number): void {
    const { filtered, reflected, filter } = this;
    const b0 = filter[0]!;
    const b1 = filter[1]!;
    const a1 = filter[2]!;
    // What a constant comes to, so that the floor can be taken out again.
    const still = ((b0 + b1) / (1 + a1)) * FLOOR;
    const state = this.groundState;
    let before = state[0]!;
    let y = state[1]!;
    for (let i = 0; i < count; i++) {
      const x = filtered[i]! + FLOOR;
      y = b0 * x + b1 * before - a1 * y;
      before = x;
      reflected[i] = y - still;
    }
    state[0] = before;
    state[1] = y;
  }

  // Distance, rate and direction at the end of the next row, straight and by way of the ground. Handed over in `ray`: x, y,
  // z and length.
  private takePlace(): void {
    const { place, absorption, image, ray } = this;
    const x = place[0]!;
    const y = place[1]!;
    const z = place[2]!;
    ray[0] = x;
    ray[1] = y;
    ray[2] = z;
    ray[3] = Math.sqrt(x * x + y * y + z * z);
    this.lead(this.direct);
    if (absorption !== null) {
      absorption.distanceM[0] = ray[3]!;
      absorption.takeDistance();
    }
    if (image === null) return;
    const below = -(this.sourceHeightM + this.earHeightM);
    ray[2] = below;
    ray[3] = Math.sqrt(x * x + y * y + below * below);
    this.lead(image);
    ray[3] = Math.sqrt(x * x + y * y);
    this.takeFilter();
  }

  private lead(delay: MovingDelay): void {
    const { samplesPerM, greatestSamples, settings, air, ray, place } = this;
    const { pickUp, givenAtM } = settings;
    const { gains, travel } = delay;
    const inverse = 1 / ray[3]!;
    const samples = ray[3]! * samplesPerM;
    const rate = (ray[0]! * inverse * place[3]!) / air.soundSpeedMPerS;
    travel[0] = samples;
    travel[1] = rate;
    if (samples > greatestSamples) {
      travel[0] = greatestSamples;
      travel[1] = 0;
      this.heldCount++;
    }
    const crowding = 1 / (1 + rate);
    const spread = givenAtM * inverse * crowding * crowding;
    for (let c = 0; c < gains.length; c++) {
      const at = 4 * c;
      const toward = pickUp[at + 1]! * ray[0]! + pickUp[at + 2]! * ray[1]! + pickUp[at + 3]! * ray[2]!;
      gains[c] = spread * (pickUp[at]! + toward * inverse);
    }
  }

  private filterAt(ground: Ground, horizontalM: number): Float64Array {
    const heights = this.sourceHeightM + this.earHeightM;
    const reflectedM = Math.sqrt(horizontalM * horizontalM + heights * heights);
    const { soundSpeedMPerS } = this.air;
    return groundFilter(ground, this.settings.sampleRateHz, heights / reflectedM, reflectedM, soundSpeedMPerS);
  }

  private takeFilter(): void {
    const horizontalM = this.ray[3]!;
    const { groundRows: rows, groundDistancesM: distances, filter } = this;
    const last = rows.length - 1;
    let k = 0;
    while (k < last - 1 && distances[k + 1]! <= horizontalM) k++;
    const high = Math.min(k + 1, last);
    const width = distances[high]! - distances[k]!;
    const share = width > 0 ? Math.min(1, Math.max(0, (horizontalM - distances[k]!) / width)) : 0;
    for (let i = 0; i < 3; i++) filter[i] = rows[k]![i]! + share * (rows[high]![i]! - rows[k]![i]!);
  }
}
