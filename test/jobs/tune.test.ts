import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { diskWithin } from "../../server/jobs/disk.ts";
import { nearerPlates } from "../../server/jobs/nearer-plates.ts";
import { canBePrinted, openJob, type ReadableJob, sourceOf, withText } from "../../server/jobs/open.ts";
import { type Tuning, tuneRecipe } from "../../server/jobs/tune.ts";
import { readForPlates } from "../../server/render/artworks.ts";
import { put } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";
import { RAMPS_RECIPE, rampsPng } from "./ramps.ts";

const { fresh } = scratch();
const files = diskWithin(undefined);
let file = "";
/** The recipe at its best, as tuning leaves it. */
let best = "";
let bestMean = 0;

async function opened(text: string): Promise<ReadableJob> {
  const job = await openJob(file, withText(files, file, text));
  if (!canBePrinted(job)) throw new Error(job.findings.map(({ message }) => message).join("; "));
  return job;
}

const tuned = async (text: string, more: Partial<Parameters<typeof tuneRecipe>[0]> = {}): Promise<Tuning> =>
  tuneRecipe({ job: await opened(text), seconds: 0.5, numbers: 40, strengths: false, ...more });

function changed(tuning: Tuning): Exclude<Tuning, { untouched: string }> {
  if ("untouched" in tuning) throw new Error(tuning.untouched);
  return tuning;
}

const meansOf = ({ review }: ReturnType<typeof changed>, side: "before" | "after") =>
  review.figures!.garments.map((one) => one[side]!.mean);

beforeAll(async () => {
  const folder = fresh();
  put(folder, "art.png", await rampsPng());
  file = join(folder, "job.sep.yaml");
  best = RAMPS_RECIPE;
  for (let round = 0; round < 5; round++) {
    const next = await tuned(best);
    if ("untouched" in next) break;
    best = next.text;
    bestMean = meansOf(next, "after")[0]!;
  }
}, 60_000);

describe("a recipe that is tuned", () => {
  it("comes nearer, and keeps its comments and its layout", async () => {
    const tuning = changed(await tuned(RAMPS_RECIPE));
    expect(meansOf(tuning, "after")[0]).toBeLessThan(meansOf(tuning, "before")[0]! - 0.5);
    const shape = (text: string) => text.replace(/\d+(?:\.\d+)?/g, "0");
    expect(shape(tuning.text)).toBe(shape(RAMPS_RECIPE));
    expect(tuning.text.split("\n").slice(0, 10)).toEqual(RAMPS_RECIPE.split("\n").slice(0, 10));
    // The same again: chance has a seed, and no clock takes part.
    expect(changed(await tuned(RAMPS_RECIPE)).text).toBe(tuning.text);
  });

  it("is left alone at its best", async () => {
    expect(best).not.toBe(RAMPS_RECIPE);
    expect(await tuned(best)).toMatchObject({
      untouched: expect.stringMatching(/^its numbers are as good|^there is no number/),
    });
  });

  it("is brought back from one range moved and one curve bent, there alone", async () => {
    const spoilt = replaced(
      replaced(best, /(blue: .*? hue: \[)(\d+)/, (value) => value + 75),
      /(curve: .*?\[50, )(\d+)/,
      (value) => value + 45,
    );
    const tuning = changed(await tuned(spoilt));
    expect(tuning.review.said.map(({ subject, text }) => [subject, text.split(" ")[0]]).sort()).toEqual([
      ["blue", "hue"],
      ["ember", "tone"],
    ]);
    expect(tuning.left[0]).toMatch(/^white: ΔE00 \d+\.\d\d at sampled pixels, \d+\.\d\d out of gamut/);
    expect(meansOf(tuning, "before")[0]).toBeGreaterThan(bestMean + 1);
    expect(meansOf(tuning, "after")[0]).toBeLessThan(bestMean + 0.3);
  });

  it("is known to come nearer by a plate whose range was moved, before it is tuned", async () => {
    const nearer = async (text: string) => {
      const job = await opened(text);
      const artwork = await readForPlates(job.recipe, await sourceOf(job));
      return nearerPlates(job.project.main, job.recipe, artwork, async () => {});
    };
    const spoilt = replaced(best, /(blue: .*? hue: \[)(\d+)/, (value) => value + 75);
    const found = await nearer(spoilt);
    expect(found.get("blue")).toBeGreaterThan(0.5);
    expect(Math.max(...found.values())).toBe(found.get("blue"));
    expect(await nearer(best)).toEqual(new Map());
    // What is held is not offered, nor anything of plates that are solved.
    const held = await nearer(spoilt.replace(/(blue: .*hue: .*)/, "$1 # fixed"));
    expect(held.has("blue")).toBe(false);
    const solved = RAMPS_RECIPE.replace(/extract: .* fade: 50 \}/, "extract: { solve: jointly }");
    expect(await nearer(solved)).toEqual(new Map());
  });

  it("keeps what a comment holds, and what a test print taught", async () => {
    const text = RAMPS_RECIPE.replace(
      "screening: { angle: 82.5 } }",
      "screening: { angle: 82.5 } } # fixed: as proofed",
    ).replace("[100, 100]] }", "[100, 100]], lesson: { date: 2026-03-14, because: too weak } }");
    const lines = changed(await tuned(text)).text.split("\n");
    const moved = text
      .split("\n")
      .flatMap((line, i) => (line === lines[i] ? [] : [line.trim().split(":")[0]]));
    expect(moved).toEqual(["extract", "black"]);
  });

  it("is left alone where its plates are solved or its art is flat", async () => {
    const solved = RAMPS_RECIPE.replace(/extract: .* fade: 50 \}/, "extract: { solve: jointly }");
    expect(await tuned(solved)).toEqual({
      untouched: expect.stringMatching(/^tones of black are found/),
      left: [expect.stringMatching(/^white: ΔE00 /), expect.stringMatching(/^most would come of an ink/)],
    });
    const flat = RAMPS_RECIPE.replace(
      "width: 0.8 in",
      'width: 0.8 in, flat: { colours: ["#ffffff", "#191919"] }',
    );
    expect(await tuned(flat)).toEqual({ untouched: expect.stringMatching(/^flat art is printed solid/) });
  });
});

/** The text with the number in the second group of a pattern changed. */
function replaced(text: string, pattern: RegExp, change: (value: number) => number): string {
  const made = text.replace(pattern, (_, before: string, value: string) => before + change(Number(value)));
  expect(made).not.toBe(text);
  return made;
}
