import { expect, it } from "vitest";
import { fuzzCase } from "./mutations.ts";
import { shrunk } from "./shrink.ts";
import { Trial } from "./trial.ts";

/** The same documents on every run; `npm run fuzz` tries others, longer ones too, and many more. */
const SEED = 20_050_101;
const DOCUMENTS = 1_500;

it(`${DOCUMENTS} recipes and shop files, mutated by grammar and by byte: nothing throws, every finding is inside`, async () => {
  const trial = new Trial();
  const faults: string[] = [];
  for (let i = 0; i < DOCUMENTS; i++) {
    // Every feature is asked of each eighth: that is most of the time it takes.
    const fault = await trial.faultOf(fuzzCase(SEED, i, true), i % 8 === 0);
    if (fault) faults.push(`document ${i}: ${fault}`);
  }
  expect(faults).toEqual([]);
}, 240_000);

it("the documents differ, and are those of their seed", () => {
  const texts = new Set(Array.from({ length: 300 }, (_, i) => fuzzCase(1, i).text));
  expect(texts.size).toBeGreaterThan(280);
  expect(fuzzCase(1, 17)).toEqual(fuzzCase(1, 17));
  expect(fuzzCase(2, 17)).not.toEqual(fuzzCase(1, 17));
});

it("a failing text is made as short as it fails", async () => {
  const fails = async (text: string) => text.includes("{") && text.includes("*x");
  expect(await shrunk("recipe: 1\nplates: { a: *x }\nmore: yes\n", fails)).toBe("{*x");
});
