import { parentPort, workerData } from "node:worker_threads";
import { openRender } from "../offline/units-render.js";
import { InputFault } from "./input-fault.js";
import { filesOpenFlag, stopFlag, type WorkerNews, type WorkerOrder } from "./render-aside.js";
import { RenderStopped, runRenderJob } from "./render-job.js";

// Ten times a second is as often as a reader sees a bar move. [common practice]
const progressIntervalMs = 100;

const { job, flags } = workerData as WorkerOrder;
let lastProgressMs = 0;

function tell(news: WorkerNews): void {
  parentPort?.postMessage(news);
}

try {
  const result = runRenderJob(job, openRender, {
    onFilesOpen: () => void Atomics.store(flags, filesOpenFlag, 1),
    isStopped: () => Atomics.load(flags, stopFlag) === 1,
    onProgress: (doneFrames, totalFrames) => {
      const nowMs = performance.now();
      if (nowMs - lastProgressMs < progressIntervalMs) return;
      lastProgressMs = nowMs;
      tell({ kind: "progress", doneFrames, totalFrames });
    },
  });
  tell({ kind: "done", result });
} catch (error) {
  if (error instanceof InputFault) tell({ kind: "fault", rows: error.rows, furtherCount: error.furtherCount });
  else if (error instanceof RenderStopped) tell({ kind: "stopped" });
  else throw error;
}
