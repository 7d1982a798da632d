/** How a machine is listened to and how finely it is stepped. */
export interface MachineSettings {
  readonly sampleRateHz: number;
  /** The fluid ticks at about 12 kHz (4), 24 kHz (2) or 48 kHz (1). */
  readonly fidelity: 1 | 2 | 4;
  /** Same seed, same bits. A whole number. */
  readonly seed: number;
  /** From every mouth, straight, free field. */
  readonly distanceM: number;
  /** The listener's surroundings as a stem of their own, dB SPL (A); null or not given: none. */
  readonly backgroundDb?: number | null;
  /** False: the steam's way alone, without the voices beside it; left out: with them. */
  readonly hasVoices?: boolean;
  /** Whether steam, load and inertia decide how fast the shaft turns; left out: the drive does. */
  readonly turnsItself?: boolean;
  /** Whether a pump without a crank is found at work, its strokes repeating; left out: at rest, let go at time 0. */
  readonly strokesAlready?: boolean;
  /** Whether fire, feed and what is drawn move the boiler; left out: it is held. */
  readonly boilerLives?: boolean;
  /** Whether boiler and engine are found cold; left out: in steam. */
  readonly startsCold?: boolean;
}
