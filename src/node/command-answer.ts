/** What a command has to say: one object for programs, words for people, notes that go to standard error either way. */
export interface CommandAnswer {
  readonly json: Readonly<Record<string, unknown>>;
  readonly text: string;
  /** Warnings and the like, one line each. */
  readonly notes: readonly string[];
}

/** Takes a command's answer to where it is shown. */
export type Answerer = (answer: CommandAnswer, asJson: boolean) => void;

/**
 * Prints an answer; in JSON an infinite number, such as the level of silence in dB, becomes `null`.
 *
 * @throws Error for a number that is none: `null` would pass a failure off as something that does not apply
 */
export function printAnswer(answer: CommandAnswer, asJson: boolean): void {
  for (const note of answer.notes) process.stderr.write(`${note}\n`);
  process.stdout.write(asJson ? `${JSON.stringify(answer.json, keepNumbers)}\n` : `${answer.text}\n`);
}

function keepNumbers(name: string, value: unknown): unknown {
  if (Number.isNaN(value)) throw new Error(`the figure ${name} came out as no number`);
  return value;
}
