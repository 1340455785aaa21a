import { describe, expect, it } from "vitest";
import { jobOf, panelFindings } from "../../../server/features/panel/job.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { read, SOUND } from "../model.ts";

it("a job is the recipe with its names resolved", () => {
  const { model } =
    read(`${SOUND.replace("  ember: { ink", '  rose: { ink: ember, extract: { near: "#ff0066", within: 5 } }\n  ember: { ink')}merges: [{ fold: rose, into: ember }]
adjust:
  - { plate: base, curve: [[0, 0], [100, 90]] }
  - { plate: ember, region: { rectangle: { from: [1 mm, 1 mm], to: [2 mm, 2 mm] } }, curve: [[0, 0], [100, 90]] }
`);
  const job = jobOf(resolveRecipe(model.source), "in");
  expect(job).toMatchObject({
    title: "",
    widthMm: 50.8,
    garments: [{ name: "black", hex: "#17171a" }],
    plates: [
      { name: "base", ink: "white", purpose: "underbase" },
      { name: "rose", ink: "ember", purpose: "colour", foldedInto: "ember" },
      { name: "ember", ink: "ember", purpose: "colour" },
    ],
    setups: [{ name: "dark", garments: ["black"], order: [{ plate: "base" }, "flash", { plate: "ember" }] }],
  });
  expect(job.inks.map(({ name, hex, opacity }) => [name, hex, opacity.toFixed(2)])).toEqual([
    ["white", "#f8f8f4", "0.92"],
    ["ember", "#d8431f", "0.70"],
  ]);
  expect(job.regions.map(({ entry, plate }) => [entry, plate])).toEqual([[1, "ember"]]);
});

describe("findings know the plates that they are about:", () => {
  const about = (text: string) =>
    panelFindings(read(text).model).map(({ level, line, plates }) => [level, line, [...plates]]);

  it.each([
    ["a plate's own block", SOUND.replace("{ ink: ember,", "{ ink: embre,"), [["error", 10, ["ember"]]]],
    [
      "an order's entry",
      SOUND.replace("flash, ember]", "flash, ember, ember]"),
      [["warning", 12, ["ember"]]],
    ],
    [
      "an entry that names plates",
      `${SOUND}knockouts: [{ from: base, where: base }]\n`,
      [["error", 13, ["base"]]],
    ],
    ["none", SOUND.replace("width: 2 in", "width: 2"), [["error", 2, []]]],
  ])("%s", (_what, text, expected) => {
    const found = about(text);
    for (const one of expected) expect(found).toContainEqual(one);
  });

  it("the worst come first", () => {
    const levels = about(SOUND.replace("flash, ember]", "flash, ember, ember, embre]")).map(
      ([level]) => level,
    );
    expect(levels).toEqual(
      [...levels].sort(
        (a, b) =>
          ["error", "warning", "note"].indexOf(a as string) -
          ["error", "warning", "note"].indexOf(b as string),
      ),
    );
    expect(levels.length).toBeGreaterThan(1);
  });
});
