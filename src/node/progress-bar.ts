import cliProgress from "cli-progress";

/** Shows how far a render is, on a terminal only and never on standard output. */
export class ProgressBar {
  private readonly bar: cliProgress.SingleBar | null;
  private isStarted = false;

  constructor(isTerminal: boolean = process.stderr.isTTY === true) {
    this.bar = isTerminal
      ? new cliProgress.SingleBar({
          format: "{bar} {percentage} %  {rendered} of {length} s",
          barCompleteChar: "#",
          barIncompleteChar: ".",
          barsize: 40,
          hideCursor: true,
          gracefulExit: false,
          clearOnComplete: true,
          stream: process.stderr,
        })
      : null;
  }

  show(doneFrames: number, totalFrames: number, rateHz: number): void {
    const words = { rendered: (doneFrames / rateHz).toFixed(0), length: (totalFrames / rateHz).toFixed(0) };
    if (!this.isStarted) this.bar?.start(totalFrames, doneFrames, words);
    else this.bar?.update(doneFrames, words);
    this.isStarted = true;
  }

  /** Takes the bar away and gives the cursor back. */
  stop(): void {
    if (this.isStarted) this.bar?.stop();
  }
}
