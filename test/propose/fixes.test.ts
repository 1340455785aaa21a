import { expect, it } from "vitest";
import type { Finding } from "../../server/language/finding.ts";
import type { Draft } from "../../server/propose/draft.ts";
import { fixed } from "../../server/propose/fixes.ts";
import { recipeText } from "../../server/propose/text.ts";

const DRAFT: Draft = {
  title: "Pond",
  shop: undefined,
  artwork: { file: "pond.png", width: "10 in" },
  garments: [{ name: "white", colour: "#f4f3ef" }],
  inks: [{ name: "reed", colour: "#3c7a2e", opacity: "60%" }],
  plates: ["reed", "black"].map((name) => ({
    name,
    ink: name,
    extract: { solve: "jointly" as const },
    comment: `The ${name}.`,
  })),
  knockouts: [],
  traps: [],
  screening: undefined,
  solve: undefined,
  setups: [{ name: "light", garments: ["white"], order: ["black", "reed"], comment: "Dark first." }],
  head: [],
  allowances: [],
};

const unsteady = (angle?: number): Finding => ({
  rule: "unsteady-colour",
  level: "warning",
  file: "pond.sep.yaml",
  range: { start: 0, end: 1 },
  path: ["setups", "light"],
  message: "",
  ...(angle === undefined ? {} : { data: { angle: { plate: "reed", angle } } }),
});

it("turns a plate whose colours change from print to print, and says why", () => {
  const { draft, drop } = fixed(DRAFT, [unsteady(67.5)], 0);
  expect(drop).toEqual([]);
  const text = recipeText(draft);
  expect(text).toContain(
    "  # The reed. At 67.5°, so that its colours come out alike from print to print.\n" +
      "  reed: { ink: reed, extract: { solve: jointly }, screening: { angle: 67.5 } }",
  );
  expect(text).not.toContain("allow");
});

it("allows it where no angle is left", () => {
  expect(recipeText(fixed(DRAFT, [unsteady()], 0).draft)).toContain(
    "# allow unsteady-colour: the shop's own ruling and register",
  );
});

it("prints a plate through the mesh of the shop that holds its dots", () => {
  const coarse: Finding = {
    ...unsteady(),
    rule: "mesh-ruling",
    path: ["plates", "reed"],
    data: { mesh: { plate: "reed", mesh: "fine" } },
  };
  const text = recipeText(fixed(DRAFT, [coarse], 0).draft);
  expect(text).toContain("reed: { ink: reed, extract: { solve: jointly }, mesh: fine }");
  expect(text).not.toContain("allow");
});
