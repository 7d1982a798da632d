/** A beat of a made-up engine: power envelope (x/rise)^2 exp(-x/fall) from `startDeg` on, floor and noise apart. */
export interface SyntheticBeat {
  readonly startDeg: number;
  /** Mean of the gamma-shaped power is 3 x fallDeg behind the start. */
  readonly fallDeg: number;
  readonly levelDb: number;
}

export interface SyntheticEngine {
  readonly beats: readonly SyntheticBeat[];
  readonly turns: number;
  readonly rpm?: number;
  readonly sampleRateHz?: number;
  readonly start?: number;
  /** Floor of the noise against the greatest power of a beat of 0 dB. */
  readonly floorDb?: number;
  /** `noise` white, the same for every engine with the same start; `tone` a steady 1.5 kHz. */
  readonly carrier?: "noise" | "tone";
}

/** Centre of a beat's power, degrees: closed form of the gamma distribution, mean = shape x scale = 3 x fall. */
export const centreDeg = (beat: SyntheticBeat) => beat.startDeg + 3 * beat.fallDeg;

/** Gaussian enough: the sum of four even variables, unit variance; a 32-bit mixing generator, so that turns are unlike. */
export function whiteNoise(start: number): () => number {
  let state = start;
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) | 0) / 2 ** 31;
  };
  return () => (next() + next() + next() + next()) * Math.sqrt(3 / 4);
}

/** Samples, and the times at which turns start. */
export function synthesise(engine: SyntheticEngine): {
  samples: Float64Array;
  sampleRateHz: number;
  turnStartsS: number[];
} {
  const { beats, turns, rpm = 60, sampleRateHz = 12000, start = 1, floorDb = -Infinity, carrier = "noise" } = engine;
  const samplesPerTurn = Math.round((60 / rpm) * sampleRateHz);
  const noise = whiteNoise(start);
  // One turn of amplitude. The peak of x^2 exp(-x) is at 2 and is 4 exp(-2).
  const turn = Float64Array.from({ length: samplesPerTurn }, (_, i) => {
    let power = 10 ** (floorDb / 10);
    for (const beat of beats) {
      const x = (((((360 * i) / samplesPerTurn - beat.startDeg) % 360) + 360) % 360) / beat.fallDeg;
      power += (10 ** (beat.levelDb / 10) * x * x * Math.exp(2 - x)) / 4;
    }
    return Math.sqrt(power);
  });
  const samples = new Float64Array(turns * samplesPerTurn);
  for (let i = 0; i < samples.length; i++) {
    const wave = carrier === "tone" ? Math.sin((2 * Math.PI * 1500.3 * i) / sampleRateHz) : noise();
    samples[i] = turn[i % samplesPerTurn] * wave;
  }
  const turnStartsS = Array.from({ length: turns + 1 }, (_, k) => (k * samplesPerTurn) / sampleRateHz);
  return { samples, sampleRateHz, turnStartsS };
}
