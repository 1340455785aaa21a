import { describe, expect, it } from "vitest";
import { makeReview, type Side } from "../../../server/output/review/review.ts";
import type { Print } from "../../../server/render/print.ts";
import { print, printWhere, RECIPE } from "../../render/small-prints.ts";
import { finding } from "./reviews.ts";

const sideOf = (made: Print | undefined, more: Partial<Side> = {}, artworkDigest = "a drawing"): Side => ({
  name: "job.sep.yaml",
  findings: [],
  levels: {},
  made: made && { recipe: made.recipe, print: made, artworkDigest },
  ...more,
});
const between = (before: Print | undefined, after: Print | undefined) =>
  makeReview(sideOf(before), sideOf(after));
const said = ({ said: all }: ReturnType<typeof makeReview>) =>
  all.map(({ subject, text, prints }) => (prints ? `${subject}: ${text}` : `(${subject}: ${text})`));

describe("a review's sides", () => {
  it("say nothing of the same print", async () => {
    const one = await print(5);
    expect(between(one, one)).toMatchObject({ verdict: "same", said: [], title: "", lessons: [] });
  });

  it("give it the new title, or the old one where there is no other", async () => {
    const titled = (title: string) => print(5, RECIPE.replace("artwork", `title: ${title}\nartwork`));
    const [old, fresh, none] = [await titled("Old"), await titled("New"), await print(5)];
    expect(between(old, fresh).title).toBe("New");
    expect([between(old, none).title, between(old, undefined).title]).toEqual(["Old", "Old"]);
  });

  it("that cannot be made are told, and only the new one is worse", async () => {
    const one = await print(5);
    const gone = between(one, undefined);
    expect([gone.verdict, said(gone), gone.figures, gone.lessons]).toEqual([
      "worse",
      ["recipe: plates cannot be made from the new one; see its findings"],
      undefined,
      [],
    ]);
    const came = between(undefined, one);
    expect([came.verdict, said(came), came.figures]).toEqual([
      "changed",
      ["recipe: plates could not be made from the old one, so there is nothing to compare with"],
      undefined,
    ]);
    expect(said(between(undefined, undefined))).toEqual(said(gone));
  });

  it("are worse by new errors alone", async () => {
    const one = await print(5);
    const found = (level: "error" | "warning") =>
      makeReview(sideOf(one), sideOf(one, { findings: [finding({ level })] })).verdict;
    expect([found("error"), found("warning")]).toEqual(["worse", "same"]);
    const gone = makeReview(sideOf(one, { findings: [finding({ level: "error" })] }), sideOf(one));
    expect([gone.verdict, gone.findings.gone.length]).toEqual(["same", 1]);
  });

  it("tell levels that a shop gives to rules, beside the print", async () => {
    const one = await print(5);
    const levels = (before: object, after: object) =>
      said(makeReview(sideOf(one, { levels: before as never }), sideOf(one, { levels: after as never })));
    expect(levels({ a: "off", b: "error", c: "note" }, { b: "error", c: "off", d: "note" })).toEqual([
      "(rule a: level off → usual)",
      "(rule c: level note → off)",
      "(rule d: level usual → note)",
    ]);
    expect(levels({ a: "usual" }, {})).toEqual([]);
  });

  it("tell another file of the artwork by what it changes", async () => {
    const one = await print(5);
    const of = (after: Print) => said(makeReview(sideOf(one), sideOf(after, {}, "another drawing")));
    expect(of(one)).toEqual(["(artwork: file saved anew; its picture is the same)"]);
    // Another red in one of the five columns, 0.1 cm².
    const left = await printWhere((x) => (x < 1 ? [217, 67, 31] : x < 5));
    expect(of(left)[0]).toBe("artwork: picture changed in 0.1 cm², mostly on the left");
    expect(of(await printWhere((x) => x < 5, { heightMm: 12 }))[0]).toBe(
      "artwork: another picture, of other proportions",
    );
  });
});

describe("what a review says of a plate", () => {
  const ember = async (before: Print, after: Print) =>
    said(between(before, after)).filter((line) => line.startsWith("ember: "));

  it("is how much tone came or went, and where most of it lies", async () => {
    const [few, many] = [await print(2), await print(6)];
    expect(await ember(few, many)).toEqual(["ember: tone up 20.0 % of the print area, mostly on the left"]);
    expect(await ember(many, few)).toEqual(["ember: tone down 20.0 % of the print area, mostly on the left"]);
  });

  it("is both where the smaller is more than a quarter of the larger, else what is left of them", async () => {
    const from = await printWhere((x) => x < 8);
    const moved = (left: number, right: number) => printWhere((x) => x >= left && x < 8 + right);
    // 10 % go and 40 come: not more than a quarter.
    expect(await ember(from, await moved(2, 8))).toEqual([
      expect.stringContaining("tone up 30.0 % of the print area"),
    ]);
    expect(await ember(from, await moved(3, 8))).toEqual([
      expect.stringContaining("tone up 40.0 % and down 15.0 % of the print area"),
    ]);
    expect(await ember(from, await moved(8, 2))).toEqual([
      expect.stringContaining("tone down 30.0 % of the print area"),
    ]);
  });

  it("has no figure under a twentieth of a percent", async () => {
    const scale = 5;
    // One and three pixels of 5000, 0.02 and 0.06 %.
    const with_ = (pixels: number) =>
      printWhere((x, y) => x < 5 || (y < 1 / scale && x > 5 && x < 5 + pixels / scale), { scale });
    const none = await with_(0);
    expect(await ember(none, await with_(1))).toEqual([
      "ember: tone differs by less than 0.1 % of the print area, mostly upper left",
    ]);
    expect(await ember(none, await with_(3))).toEqual([
      "ember: tone up 0.1 % of the print area, mostly upper left",
    ]);
  });

  it("is one sentence with what was edited, and has its lessons", async () => {
    const lesson = "lesson: { date: 2026-03-14, because: too dull }";
    const adjusted = `${RECIPE}adjust:\n  - { plate: ember, curve: [[0, 0], [100, 50]], ${lesson} }\n`;
    const review = between(await print(5), await print(5, adjusted));
    const [line, ...others] = said(review).filter((text) => text.startsWith("ember: "));
    expect(others).toEqual([]);
    expect(line).toMatch(/; tone down 12\.\d % of the print area, mostly on the left$/);
    expect(review.lessons.map(({ because }) => because)).toEqual(["too dull"]);
    expect(between(await print(5, adjusted), await print(5, adjusted)).lessons).toEqual([]);
  });

  it("is in its new name where it was renamed", async () => {
    const renamed = RECIPE.replace("  ember: { ink: ember", "  fire: { ink: ember").replace(
      "flash, ember]",
      "flash, fire]",
    );
    const review = between(await print(5), await print(5, renamed));
    expect(review.figures!.plates.map(({ name, up, down }) => [name, up, down])).toEqual([
      ["base", 0, 0],
      ["fire", 0, 0],
    ]);
    expect([review.figures!.screens, review.verdict]).toEqual([{ before: 2, after: 2 }, "same"]);
  });

  it("lies beside the print behind what is in it", async () => {
    const other = await print(9, RECIPE.replace("artwork", "title: Other\nartwork"));
    const lines = said(between(await print(5), other));
    expect(lines.map((line) => line.startsWith("("))).toEqual([false, true]);
  });
});
