import { Worker } from "node:worker_threads";

/** How often it is asked whether the parent still runs, and how much memory is taken. */
const ASK_MS = 1000;

/**
 * Ends this process, without waiting for anything, once the one that started it is gone or it takes more than
 * `mostBytes` of memory: from a thread of its own, since a picture may keep the main thread busy for ever.
 */
export function endWithParent(mostBytes = Number.MAX_SAFE_INTEGER): void {
  const watch = `
    const parent = process.ppid;
    setInterval(() => {
      try {
        if (process.ppid === parent && process.memoryUsage.rss() <= ${mostBytes}) process.kill(parent, 0);
        else process.kill(process.pid, "SIGKILL");
      } catch {
        process.kill(process.pid, "SIGKILL");
      }
    }, ${ASK_MS});
  `;
  // Where no thread can be started the process goes on without the watch.
  new Worker(watch, { eval: true }).on("error", () => {}).unref();
}
