/** The signals that ask a program to stop. */
export type StopSignal = "SIGINT" | "SIGTERM" | "SIGHUP";

/** Thrown when the user or the system asked to stop; everything temporary is gone by then. */
export class StoppedBySignal extends Error {
  constructor(readonly signal: StopSignal) {
    super("Stopped. No file was written.");
    this.name = "StoppedBySignal";
  }

  /** 128 and the signal's number, as shells expect. [common practice] */
  get exitCode(): number {
    return 128 + (this.signal === "SIGINT" ? 2 : this.signal === "SIGTERM" ? 15 : 1);
  }
}
