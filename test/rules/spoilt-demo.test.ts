import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { disk } from "../../server/jobs/disk.ts";
import { openJob, withText } from "../../server/jobs/open.ts";
import type { Finding } from "../../server/language/finding.ts";
import { checkedJob } from "../jobs/checked.ts";

const path = (name: string) => fileURLToPath(new URL(`../../samples/${name}`, import.meta.url));
const RECIPE_FILE = path("night-garden/night-garden.sep.yaml");
const RECIPE = readFileSync(RECIPE_FILE, "utf8");
const SHOP = readFileSync(path("workshop.shop.yaml"), "utf8");

type Edit = readonly [piece: string, by: string];

const edited = (text: string, edits: readonly Edit[]) =>
  edits.reduce((now, [piece, by]) => {
    expect(now.split(piece).length, `"${piece}" stands there once`).toBe(2);
    return now.replace(piece, () => by);
  }, text);

/** Rules worse than a note. */
const rulesOf = (findings: readonly Finding[]) =>
  findings.filter(({ level }) => level !== "note").map(({ rule }) => rule);

// That it passes as it stands is tested with `check` on the command line.
it("the demo needs no allowance", () => {
  expect(RECIPE).not.toMatch(/#\s*allow/);
});

describe("the demo's text", () => {
  it.each<[string, string, readonly Edit[], readonly Edit[]]>([
    [
      "the recipe's structure",
      "repeated-plate",
      [["violet, grey, black, glint]", "violet, grey, glint, glint]"]],
      [],
    ],
    ["press", "flash-after-underbase", [["order: [base, flash, gold,", "order: [base, gold,"]], []],
    ["screening", "moire", [], [["angle: 22.5", "angle: 0"]]],
    ["the shop file", "mesh-figures", [], [["opening: 73 um", "opening: 37 um"]]],
  ])("spoilt in %s is told of by %s", async (_, rule, recipe, shop) => {
    const files = withText(disk, RECIPE_FILE, edited(RECIPE, recipe));
    const both = withText(files, disk.resolve(RECIPE_FILE, "../workshop.shop.yaml"), edited(SHOP, shop));
    expect(rulesOf((await openJob(RECIPE_FILE, both)).findings)).toContain(rule);
  });
});

describe("the demo's plates", () => {
  it.each<[string, string, readonly Edit[]]>([
    ["artwork", "print-size", [["width: 12 in", "width: 17 in"]]],
    [
      "inks and plates",
      "unprinted-artwork",
      [
        ["hue: [50, 139]", "hue: [50, 51]"],
        ["fade: { hue: 29, lightness: 10 }", "fade: { hue: 1, lightness: 10 }"],
        ["fade: { hue: 79, lightness: 31 }", "fade: { hue: 9, lightness: 31 }"],
      ],
    ],
    [
      "edges of the underbase",
      "base-peeks",
      [["{ plate: base, choke: 0.1 mm }", "{ plate: base, choke: 0.05 mm }"]],
    ],
  ])("spoilt in %s are told of by %s", async (_, rule, recipe) => {
    expect(rulesOf(await checkedJob(RECIPE_FILE, { [RECIPE_FILE]: edited(RECIPE, recipe) }))).toContain(rule);
  });
});
