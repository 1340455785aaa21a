import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, afterEach, beforeAll, describe, expect, it } from "vitest";
import { builtProgram, WorkerPool } from "../../server/render/worker-pool.ts";

type Order = { readonly word: string } | { readonly die: "throw" | "exit" } | { readonly wrong: string };

/** Says a word backwards; speaks as pool-worker.ts does. */
const PROGRAM = `
import { parentPort, threadId } from "node:worker_threads";
parentPort.on("message", ({ word, die, wrong }) => {
  if (die === "exit") process.exit(0);
  if (die === "throw") throw new Error("out of ink");
  if (wrong) return parentPort.postMessage({ kind: "failed", message: wrong });
  parentPort.postMessage({ kind: "progress", done: 0.5 });
  const result = [...word].reverse().join("") + (word === "who" ? threadId : "");
  setTimeout(() => parentPort.postMessage({ kind: "made", result }), 20);
});`;

let folder: string;
let program: URL;
let pool: WorkerPool<Order, string>;
const backwards = (order: Order, progress: (done: number) => void): string => {
  if (!("word" in order)) throw new Error("wrong");
  progress(0.5);
  return [...order.word].reverse().join("");
};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "platewright-pool-"));
  writeFileSync(join(folder, "pool.mjs"), PROGRAM);
  program = pathToFileURL(join(folder, "pool.mjs"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
afterEach(() => pool.close());

describe("a pool", () => {
  it("works on orders and tells how far it is", async () => {
    pool = new WorkerPool(program, backwards);
    const shares: number[] = [];
    expect(await pool.make({ word: "base" }, (done) => shares.push(done))).toBe("esab");
    expect(shares).toEqual([0.5]);
  });

  it("gives the same without a program, on this thread", async () => {
    pool = new WorkerPool<Order, string>(undefined, backwards);
    expect(pool.places).toBe(1);
    const shares: number[] = [];
    expect(await pool.make({ word: "base" }, (done) => shares.push(done))).toBe("esab");
    expect(shares).toEqual([0.5]);
  });

  it("takes more orders than it has threads, and starts no more threads than places", async () => {
    pool = new WorkerPool(program, backwards);
    const words = Array.from({ length: 12 }, () => ({ word: "who" }));
    const answers = await Promise.all(words.map((order) => pool.make(order)));
    expect(new Set(answers).size).toBeLessThanOrEqual(pool.places);
    expect(answers.every((answer) => answer.startsWith("ohw"))).toBe(true);
  });

  it("passes on what went wrong, and goes on", async () => {
    pool = new WorkerPool(program, backwards);
    await expect(pool.make({ wrong: "no such ink" })).rejects.toThrow("no such ink");
    expect(await pool.make({ word: "ink" })).toBe("kni");
  });

  it.each(["throw", "exit"] as const)(
    "outlives threads that %s: their orders fail, others do not",
    async (die) => {
      pool = new WorkerPool(program, backwards);
      const failing = Array.from({ length: pool.places + 1 }, () => pool.make({ die }));
      const working = Array.from({ length: 4 }, () => pool.make({ word: "rose" }));
      for (const result of await Promise.allSettled(failing))
        expect(result).toMatchObject({
          status: "rejected",
          reason: { message: /^a thread at work stopped/ },
        });
      expect(await Promise.all(working)).toEqual(Array.from({ length: 4 }, () => "esor"));
    },
  );

  it("ends what waits and what is under way when it is closed", async () => {
    pool = new WorkerPool(program, backwards);
    const orders = Array.from({ length: pool.places + 3 }, () => pool.make({ word: "leaf" }));
    const settled = Promise.allSettled(orders);
    await pool.close();
    for (const { status } of await settled) expect(status).toBe("rejected");
    await expect(pool.make({ word: "leaf" })).rejects.toThrow("the work was ended");
  });

  it("has no program beside the sources", () => {
    expect(builtProgram("strip-worker.js")).toBeUndefined();
  });
});
