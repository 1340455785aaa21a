import { expect, it } from "vitest";
import { diagnostics } from "../../server/features/diagnostics.ts";
import { read, SOUND, soundBut } from "./model.ts";

const ERROR = 1;
const WARNING = 2;
const INFORMATION = 3;

it("says where, what, by which rule, and what mends it", () => {
  const { model, ranges } = read(soundBut("ink: ember", "ink: «embr»"));
  expect(diagnostics(model)).toEqual([
    {
      range: ranges[0],
      severity: ERROR,
      source: "platewright",
      code: "unknown-name",
      message: 'There is no ink "embr"; did you mean "ember"?',
      data: { path: ["plates", "ember", "ink"], replacement: "ember" },
    },
  ]);
});

it("gives warnings and notes their own severity", () => {
  const { model } = read(
    soundBut("  white: {", '  slate: { colour: "#7b8088", opacity: 70% }\n  white: {').replace(
      "flash, ember]",
      "flash]",
    ),
  );
  expect(diagnostics(model).map(({ code, severity }) => [code, severity])).toEqual([
    ["unused-ink", INFORMATION],
    ["unprinted-plate", WARNING],
  ]);
});

it("fades what is unnecessary", () => {
  const { model } = read(soundBut("  white: {", '  slate: { colour: "#7b8088", opacity: 70% }\n  white: {'));
  expect(diagnostics(model)[0]?.tags).toEqual([1]);
});

it("leaves the shop's findings to the shop file", () => {
  const shop = "shop: 1\npres: { stations: 10 }\n";
  const recipe = soundBut("recipe: 1\n", "recipe: 1\nshop: ../back-lane.shop.yaml\n");
  const { model } = read(recipe, { shop });
  expect(model.findings).toHaveLength(1);
  expect(diagnostics(model)).toEqual([]);
  expect(diagnostics(read(shop, { kind: "shop" }).model).map(({ code }) => code)).toEqual(["schema"]);
});

it("says nothing of a sound recipe", () => {
  expect(diagnostics(read(SOUND).model)).toEqual([]);
});
