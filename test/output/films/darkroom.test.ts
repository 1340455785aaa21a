import { expect, it } from "vitest";
import { Darkroom } from "../../../server/output/films/darkroom.ts";
import type { FilmOrder } from "../../../server/output/films/film.ts";
import { OutputError } from "../../../server/output/staging.ts";

/** A thread that gives back the number of its order, or does what the order's name says. */
const THREAD = new URL(
  `data:text/javascript,${encodeURIComponent(`
import { parentPort } from "node:worker_threads";
parentPort.on("message", ({ number, way }) => {
  if (way === "exit") process.exit(1);
  if (way === "throw") setImmediate(() => { throw new Error("out of memory"); });
  else parentPort.postMessage({ kind: "made", film: { coding: "rows", rows: Uint8Array.of(number) } });
});`)}`,
);

const order = (number: number, way?: "exit" | "throw") => ({ number, way }) as unknown as FilmOrder;

it("makes the films that wait after one whose thread stopped, and those asked for later", async () => {
  const darkroom = new Darkroom(THREAD);
  const ways = [undefined, "exit", undefined, "throw", "exit", undefined, undefined, "exit"] as const;
  for (let round = 0; round < 3; round++) {
    const made = await Promise.allSettled(ways.map((way, i) => darkroom.make(order(i, way), () => {})));
    expect(made.map((film) => film.status)).toEqual(ways.map((way) => (way ? "rejected" : "fulfilled")));
    for (const [i, film] of made.entries()) {
      if (film.status === "fulfilled") expect(film.value).toEqual({ coding: "rows", rows: Uint8Array.of(i) });
      else expect(film.reason).toBeInstanceOf(OutputError);
    }
    expect(String((made[3] as PromiseRejectedResult).reason)).toMatch(
      /the thread that makes films stopped \(out of memory\); nothing was changed, try again$/,
    );
  }
  await darkroom.close();
});
