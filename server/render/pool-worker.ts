import { parentPort } from "node:worker_threads";
import type { PoolMessage, Task } from "./worker-pool.ts";

/** Makes this thread one of a pool. */
export function servePool<Order, Result>(task: Task<Order, Result>): void {
  const port = parentPort;
  port?.on("message", async (order: Order) => {
    const tell = (answer: PoolMessage<Result>) => port.postMessage(answer);
    try {
      tell({ kind: "made", result: await task(order, (done) => tell({ kind: "progress", done })) });
    } catch (error) {
      tell({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
    }
  });
}
