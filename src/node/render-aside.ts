import { Worker } from "node:worker_threads";
import { InputFault, type FaultRow } from "./input-fault.js";
import type { RenderJob, RenderResult } from "./render-job.js";
import { StoppedBySignal, type StopSignal } from "./stop-signal.js";

/** Places in the numbers shared with the worker: 1 asks it to stop; 1 says that its files are open. */
export const stopFlag = 0;
export const filesOpenFlag = 1;

/** What the worker is given. */
export interface WorkerOrder {
  readonly job: RenderJob;
  readonly flags: Int32Array;
}

/** What the worker tells. */
export type WorkerNews =
  | { readonly kind: "progress"; readonly doneFrames: number; readonly totalFrames: number }
  | { readonly kind: "done"; readonly result: RenderResult }
  | { readonly kind: "fault"; readonly rows: readonly FaultRow[]; readonly furtherCount: number }
  | { readonly kind: "stopped" };

// A worker that has not opened its files by then is in its run-up, has nothing to tidy, and is ended. [common practice]
const patienceMs = 300;

/**
 * Runs a render on a thread of its own, so that this one can draw the bar and answer Ctrl-C at once.
 *
 * @throws InputFault what the render met; `StoppedBySignal` after a signal, when the temporary files are gone
 */
export async function renderAside(
  job: RenderJob,
  onProgress: (doneFrames: number, totalFrames: number) => void,
): Promise<RenderResult> {
  const flags = new Int32Array(new SharedArrayBuffer(8));
  const order: WorkerOrder = { job, flags };
  const worker = new Worker(new URL("./render-worker.js", import.meta.url), { workerData: order });
  let signal: StopSignal | null = null;
  const stop = (name: StopSignal): void => {
    if (signal !== null) return; // the worker is tidying up
    signal = name;
    Atomics.store(flags, stopFlag, 1);
    setTimeout(() => {
      if (Atomics.load(flags, filesOpenFlag) === 0) void worker.terminate();
    }, patienceMs);
  };
  const signals: readonly StopSignal[] = ["SIGINT", "SIGTERM", "SIGHUP"];
  for (const name of signals) process.on(name, stop);
  try {
    return await new Promise<RenderResult>((resolve, reject) => {
      worker.on("message", (news: WorkerNews) => {
        if (news.kind === "progress") onProgress(news.doneFrames, news.totalFrames);
        else if (news.kind === "done") resolve(news.result);
        else if (news.kind === "fault") reject(new InputFault(news.rows, news.furtherCount));
      });
      worker.on("error", reject);
      worker.on("exit", (code) => {
        reject(signal === null ? new Error(`The render's thread ended with ${code}.`) : new StoppedBySignal(signal));
      });
    });
  } finally {
    for (const name of signals) process.off(name, stop);
  }
}
