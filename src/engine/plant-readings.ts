import type { VoiceRecord } from "./voice-record.js";

/** Places of what is read of a boiler. */
export const READING = {
  pressurePa: 0,
  temperatureK: 1,
  waterRatio: 2,
  subcoolingK: 3,
  outletKgPerM3: 4,
  outletJPerKg: 5,
  airRatio: 6,
  fireW: 7,
  heatW: 8,
  steamRaised: 9,
  safetyKgPerS: 10,
  safetyMPerS: 11,
  safetyLift: 12,
  blowerKgPerS: 13,
  blowerMPerS: 14,
  blowdownKgPerS: 15,
  blowdownMPerS: 16,
  blowdownWaterKgPerS: 17,
  feedKgPerS: 18,
} as const; // [common practice: the layout of a row, no physics]

const readingCount = 19;

/** What is read of a boiler, led in straight lines from one state to the next, so that nothing steps. */
export class PlantReadings {
  /** The state that the next `aim` leads to. */
  readonly wanted = new Float64Array(readingCount);
  readonly shown = new Float64Array(readingCount);
  private readonly target = new Float64Array(readingCount);
  private readonly rise = new Float64Array(readingCount);
  // Places of those that rise or fall, and how many they are.
  private readonly moving = new Int32Array(readingCount);
  private movingCount = 0;
  private hasMoved = true;

  /** @param ticks from one `aim` to the next */
  constructor(private readonly ticks: number) {}

  /** Stands where it is wanted at once. */
  stand(): void {
    this.shown.set(this.wanted);
    this.target.set(this.wanted);
    this.rise.fill(0);
    this.movingCount = 0;
    this.hasMoved = true;
  }

  /** Arrives at the last aim, and sets out for the new one. */
  aim(): void {
    const { wanted, shown, target, rise, ticks, moving } = this;
    let count = 0;
    for (let i = 0; i < readingCount; i++) {
      const from = target[i]!;
      const to = wanted[i]!;
      shown[i] = from;
      target[i] = to;
      rise[i] = (to - from) / ticks;
      if (to !== from) moving[count++] = i;
    }
    this.movingCount = count;
    this.hasMoved = true;
  }

  /** One tick on. */
  lead(): void {
    const { shown, rise, moving, movingCount } = this;
    if (movingCount === 0) return;
    this.hasMoved = true;
    for (let m = 0; m < movingCount; m++) {
      const i = moving[m]!;
      shown[i] = shown[i]! + rise[i]!;
    }
  }

  /** Into the voices' row, where anything has moved since. */
  tell(voice: VoiceRecord): void {
    if (!this.hasMoved) return;
    this.hasMoved = false;
    const { shown } = this;
    voice.boilerPa = shown[READING.pressurePa]!;
    voice.boilerK = shown[READING.temperatureK]!;
    voice.waterRatio = shown[READING.waterRatio]!;
    voice.subcoolingK = shown[READING.subcoolingK]!;
    voice.fireW = shown[READING.fireW]!;
    voice.heatW = shown[READING.heatW]!;
    voice.steamRaisedKgPerS = shown[READING.steamRaised]!;
    voice.safetyKgPerS = shown[READING.safetyKgPerS]!;
    voice.safetyMPerS = shown[READING.safetyMPerS]!;
    voice.safetyLiftRatio = shown[READING.safetyLift]!;
    voice.blowerKgPerS = shown[READING.blowerKgPerS]!;
    voice.blowerMPerS = shown[READING.blowerMPerS]!;
    voice.blowdownKgPerS = shown[READING.blowdownKgPerS]!;
    voice.blowdownMPerS = shown[READING.blowdownMPerS]!;
    voice.blowdownWaterKgPerS = shown[READING.blowdownWaterKgPerS]!;
    voice.feedKgPerS = shown[READING.feedKgPerS]!;
  }
}
