import { expect, it } from "vitest";
import { measuringKilled, type Outcome, serverGone, serverKilled, writersKilled } from "./faults.ts";

/** `npm run faults` makes 500 operations. */
const SEED = 20_050_101;

it.each<[what: string, run: (operations: number, seed: number) => Promise<Outcome>, operations: number]>([
  ["the process that reads artwork", measuringKilled, 25],
  ["the language server", serverKilled, 40],
  ["the language server, over a picture", serverGone, 10],
  ["programs that write files", writersKilled, 6],
])(
  "%s killed at random: nothing is lost",
  async (_, run, operations) => {
    const { losses, kills, done } = await run(operations, SEED);
    expect(losses).toEqual([]);
    expect(kills).toBeGreaterThan(0);
    expect(done).toBeGreaterThan(0);
  },
  240_000,
);
