import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, afterEach, beforeAll, describe, expect, it } from "vitest";
import { builtProgram, Crew } from "../../server/render/crew.ts";

type Order = { readonly word: string } | { readonly die: "throw" | "exit" } | { readonly wrong: string };

/** Says a word backwards; speaks as crew-worker.ts does. */
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
let crew: Crew<Order, string>;
const backwards = (order: Order, progress: (done: number) => void): string => {
  if (!("word" in order)) throw new Error("wrong");
  progress(0.5);
  return [...order.word].reverse().join("");
};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "platewright-crew-"));
  writeFileSync(join(folder, "crew.mjs"), PROGRAM);
  program = pathToFileURL(join(folder, "crew.mjs"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
afterEach(() => crew.close());

describe("a crew", () => {
  it("works on orders and tells how far it is", async () => {
    crew = new Crew(program, backwards);
    const shares: number[] = [];
    expect(await crew.make({ word: "base" }, (done) => shares.push(done))).toBe("esab");
    expect(shares).toEqual([0.5]);
  });

  it("gives the same without a program, on this thread", async () => {
    crew = new Crew<Order, string>(undefined, backwards);
    expect(crew.places).toBe(1);
    const shares: number[] = [];
    expect(await crew.make({ word: "base" }, (done) => shares.push(done))).toBe("esab");
    expect(shares).toEqual([0.5]);
  });

  it("takes more orders than it has threads, and starts no more threads than places", async () => {
    crew = new Crew(program, backwards);
    const words = Array.from({ length: 12 }, () => ({ word: "who" }));
    const answers = await Promise.all(words.map((order) => crew.make(order)));
    expect(new Set(answers).size).toBeLessThanOrEqual(crew.places);
    expect(answers.every((answer) => answer.startsWith("ohw"))).toBe(true);
  });

  it("passes on what went wrong, and goes on", async () => {
    crew = new Crew(program, backwards);
    await expect(crew.make({ wrong: "no such ink" })).rejects.toThrow("no such ink");
    expect(await crew.make({ word: "ink" })).toBe("kni");
  });

  it.each(["throw", "exit"] as const)(
    "outlives threads that %s: their orders fail, others do not",
    async (die) => {
      crew = new Crew(program, backwards);
      const failing = Array.from({ length: crew.places + 1 }, () => crew.make({ die }));
      const working = Array.from({ length: 4 }, () => crew.make({ word: "rose" }));
      for (const result of await Promise.allSettled(failing))
        expect(result).toMatchObject({
          status: "rejected",
          reason: { message: /^a thread at work stopped/ },
        });
      expect(await Promise.all(working)).toEqual(Array.from({ length: 4 }, () => "esor"));
    },
  );

  it("ends what waits and what is under way when it is closed", async () => {
    crew = new Crew(program, backwards);
    const orders = Array.from({ length: crew.places + 3 }, () => crew.make({ word: "leaf" }));
    const settled = Promise.allSettled(orders);
    await crew.close();
    for (const { status } of await settled) expect(status).toBe("rejected");
    await expect(crew.make({ word: "leaf" })).rejects.toThrow("the work was ended");
  });

  it("has no program beside the sources", () => {
    expect(builtProgram("strip-worker.js")).toBeUndefined();
  });
});
