import { describe, expect, it } from "vitest";
import { reviewPage } from "../../../server/output/review/page.ts";
import { makeReview, type Review, type Side } from "../../../server/output/review/review.ts";
import type { Print } from "../../../server/render/print.ts";
import { print, RECIPE } from "../../render/small-prints.ts";
import { finding, review, side } from "./reviews.ts";

const TWO = RECIPE.replace('"#17171a" }', '"#17171a" }, white: { colour: "#ffffff" }').replace(
  "setups:\n",
  "setups:\n  light: { garments: [white], order: [ember] }\n",
);
const sideOf = (name: string, made: Print): Side => ({
  name,
  findings: [],
  levels: {},
  made: { recipe: made.recipe, print: made, artworkDigest: "a drawing" },
});
const between = async (before: Print, after: Print, more: Partial<Review> = {}) =>
  reviewPage({ ...makeReview(sideOf("old <file>", before), sideOf("new", after)), ...more });
const section = (page: string, heading: string) =>
  new RegExp(`<section>\n<h2>${heading}</h2>(.*?)</section>`, "s").exec(page)?.[1]?.trim();
const plain = (text: string) => text.replace(/<[^>]*>/g, "").replace(/\n/g, " ");
const captions = (text: string) =>
  [...text.matchAll(/<p class="caption">(.*?)<\/p>/g)].map(([, caption]) => caption);
const labels = (text: string) =>
  [...text.matchAll(/<figcaption>(.*?)<\/figcaption>/g)].map(([, label]) => label);

describe("a review's page", () => {
  it("says what was compared, and the verdict", async () => {
    const page = await between(await print(5), await print(9));
    for (const part of [
      "<title>new: 1 change to the print</title>",
      "<h1><bdi>new</bdi></h1>",
      '<p class="sides"><bdi>old &#60;file&#62;</bdi> → <bdi>new</bdi></p>',
      '<p class="verdict changed">1 change to the print</p>',
    ])
      expect(page).toContain(part);
    expect(await between(await print(5), await print(5), { title: "A job" })).toContain(
      "<title>A job: no change to the print</title>",
    );
  });

  it("lists what changed, findings, lessons and what lies beside the print, each if there is any", async () => {
    const page = await reviewPage(review({ figures: undefined }));
    const lists = {
      "What changes in the print":
        '<ul class="changes">\n<li><bdi><strong><bdi>ember</bdi></strong>: tone up 10.0 %</bdi></li>\n</ul>',
      "New findings":
        '<ul class="findings">\n<li><bdi>warning: inks.ember: It is *thin*. [a-rule]</bdi></li>\n</ul>',
      "Findings that are gone":
        '<ul class="findings">\n<li><bdi>error: It is *thin*. [a-rule]</bdi></li>\n</ul>',
      "Lessons of test prints": '<ul class="">\n<li><bdi>ember: 2026-03-14: too dull</bdi></li>\n</ul>',
      "Beside the print":
        '<ul class="">\n<li><bdi><strong><bdi>title</bdi></strong>: “A” → “B”</bdi></li>\n</ul>',
    };
    for (const [heading, list] of Object.entries(lists)) expect(section(page, heading)).toBe(list);
    const empty = await reviewPage(
      review({ figures: undefined, said: [], lessons: [], findings: { come: [], gone: [] } }),
    );
    expect(empty).not.toContain("<section>");
    expect(empty).toContain("<footer></footer>");
  });

  it("has tables of garments and plates", async () => {
    const few = await print(5, TWO);
    // An ink of another colour lies further off.
    const other = await print(9, TWO.replace('ember: { colour: "#d8431f"', 'ember: { colour: "#a01060"'));
    const figures = section(await between(few, other), "Figures")!;
    expect(figures).toContain("<p>Screens: <strong>2</strong></p>");
    const rows = [...figures.matchAll(/<tr>(.*?)<\/tr>/gs)].map(([, row]) => plain(row!));
    expect(rows[0]).toBe("garmentmean ΔE00 to artwork95 % withinvisibly changed");
    expect(rows[1]).toMatch(/^white setup light 0\.00 → \d+\.\d\d 0\.00 → \d+\.\d\d \d\.\d cm², /);
    expect(rows[2]).toMatch(/^black setup dark \d\.\d\d → \d+\.\d\d \d\.\d\d → \d+\.\d\d \d\.\d cm², /);
    expect(rows.slice(3)).toEqual(["platecoverageink", "ember 25.0 % → 45.0 % 0.5 cm² → 0.9 cm²"]);
    const same = section(await between(few, few), "Figures")!;
    expect(same).not.toContain("coverage");
  });

  it("shows each garment before, after and as it moved", async () => {
    const shown = section(await between(await print(5, TWO), await print(9, TWO)), "Garments")!;
    expect(captions(shown)).toEqual([
      expect.stringMatching(/^visibly changed: 0\.4 cm², /),
      expect.stringMatching(/^visibly changed: 0\.4 cm², /),
    ]);
    expect(labels(shown)).toEqual(Array(2).fill(["before", "after", "difference"]).flat());
    expect(shown).toContain("<h3><bdi>white</bdi> <small><bdi>setup light</bdi></small></h3>");
    expect(shown).toContain('width="20" height="10" alt="white: before">');
    expect(shown).toContain('<article class="proof">');
    expect(shown).toContain("full at ΔE00 10");
    expect(shown).not.toContain("–");
  });

  it("shows a garment that came alone, and one that went with a dash for what is not there", async () => {
    const [one, two] = [await print(5), await print(5, TWO)];
    const [came] = section(await between(one, two), "Garments")!.split("</article>");
    expect([captions(came!), labels(came!)]).toEqual([["on one side only"], ["after"]]);
    const went = section(await between(two, one), "Garments")!.split("</article>")[1]!;
    expect([captions(went), labels(went)]).toEqual([["on one side only"], ["before", "after", "difference"]]);
    expect(went.match(/<p class="absent">–<\/p>/g)).toHaveLength(2);
  });

  it("shows each garment once where nothing changed", async () => {
    const one = await print(5, TWO);
    const page = await between(one, one);
    const shown = section(page, "Garments")!;
    expect([labels(shown), captions(shown)]).toEqual([["after", "after"], []]);
    expect(page).not.toContain("Plates that change");
  });

  it("shows the plates that differ, with their ink and coverage", async () => {
    const shown = section(await between(await print(5), await print(9)), "Plates that change")!;
    expect(shown.match(/<h3>.*<\/h3>/g)).toEqual([
      "<h3><bdi>ember</bdi> <small><bdi>ink ember</bdi></small></h3>",
    ]);
    expect(captions(shown)).toEqual(["coverage 25.0 % → 45.0 %"]);
    expect(shown).toContain('<article class="film">');
    const without = RECIPE.replace(/ {2}ember: \{ ink.*\n/, "").replace("flash, ember", "flash");
    const gone = section(await between(await print(5), await print(5, without)), "Plates that change")!;
    expect(gone).toContain("<small><bdi>ink ember</bdi></small>");
    expect(captions(gone)).toEqual(["coverage 25.0 % → –"]);
  });

  it("says at what size it was made", async () => {
    const one = await print(5);
    expect(await between(one, one)).toContain(
      "made at 20 × 10 pixels, 25.4 ppi on the garment. A change counts as visible from ΔE00 2 on.",
    );
  });

  it("says what is wrong where plates cannot be made", async () => {
    const after = { ...side("new"), made: undefined };
    const page = await reviewPage(
      review({ verdict: "worse", after, figures: undefined, findings: { come: [finding()], gone: [] } }),
    );
    expect(page).toContain('<p class="verdict worse">plates cannot be made</p>');
  });
});
