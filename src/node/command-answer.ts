/** What a command has to say: one object for programs, words for people, notes that go to standard error either way. */
export interface CommandAnswer {
  readonly json: Readonly<Record<string, unknown>>;
  readonly text: string;
  /** Warnings and the like, one line each. */
  readonly notes: readonly string[];
}

/** Takes a command's answer to where it is shown. */
export type Answerer = (answer: CommandAnswer, asJson: boolean) => void;

/** Prints an answer; numbers that are not finite become `null` in JSON. */
export function printAnswer(answer: CommandAnswer, asJson: boolean): void {
  for (const note of answer.notes) process.stderr.write(`${note}\n`);
  process.stdout.write(asJson ? `${JSON.stringify(answer.json)}\n` : `${answer.text}\n`);
}
