import { parentPort } from "node:worker_threads";
import type { Craft, CrewAnswer } from "./crew.ts";

/** Makes this thread one of a crew. */
export function serveCrew<Order, Result>(craft: Craft<Order, Result>): void {
  const port = parentPort;
  port?.on("message", async (order: Order) => {
    const tell = (answer: CrewAnswer<Result>) => port.postMessage(answer);
    try {
      tell({ kind: "made", result: await craft(order, (done) => tell({ kind: "progress", done })) });
    } catch (error) {
      tell({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
    }
  });
}
