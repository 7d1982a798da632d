/** Sample rate of everything that is measured, and longest stretch made at once. */
export const rateHz = 48_000;
export const block = 4096;
const repeats = 7;

export interface Row {
  readonly name: string;
  /** Processor time for one audio sample. */
  readonly nsPerSample: number;
}

/** Least processor time of several repeats, ns for one of `units`. */
export function cost(units: number, work: () => void): number {
  work();
  let least = Infinity;
  for (let r = 0; r < repeats; r++) {
    const before = process.cpuUsage();
    work();
    least = Math.min(least, (process.cpuUsage(before).user * 1000) / units);
  }
  return least;
}
