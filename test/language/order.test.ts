import { expect, it } from "vitest";
import { FileError, openProject } from "../../server/language/project.ts";
import { SOUND } from "./documents.ts";

const ORDER = (recipe: string) => `order: 1
prints:
  front: { recipe: ${recipe}, place: front }
lines:
  - { garment: black, sizes: { M: 24 }, prints: [front] }
`;

const openWith = (files: Readonly<Record<string, string>>) =>
  openProject("a.order.yaml", {
    readText: async (file) => {
      const text = files[file];
      if (text === undefined) throw new FileError(file, "there is no such file");
      return text;
    },
    exists: async (file) => file in files,
    resolve: (_, path) => path,
  });

it("opens with the recipes that it names, by their paths", async () => {
  const { main, recipes, findings } = await openWith({
    "a.order.yaml": ORDER("job.sep.yaml"),
    "job.sep.yaml": SOUND,
  });
  expect([main.kind, [...recipes!.keys()], findings]).toEqual(["order", ["job.sep.yaml"], []]);
});

it("tells a recipe that is not there at its print", async () => {
  const { findings } = await openWith({ "a.order.yaml": ORDER("job.sep.yaml") });
  expect(findings).toMatchObject([
    {
      rule: "missing-file",
      path: ["prints", "front", "recipe"],
      message: "the recipe cannot be read: job.sep.yaml: there is no such file",
    },
  ]);
});

it("quotes nothing of a file that is no recipe", async () => {
  const { findings, recipes } = await openWith({
    "a.order.yaml": ORDER("secret"),
    secret: "password: tr0ub4dor\n",
  });
  expect(findings.map(({ message }) => message)).toEqual([
    'the recipe cannot be read: secret: it is no recipe: it does not say "recipe: 1"',
  ]);
  expect(recipes!.size).toBe(0);
});

it.each([
  [
    "more prints than a shop prints",
    ORDER("job.sep.yaml").replace(
      "prints:",
      `prints:\n${Array.from({ length: 24 }, (_, i) => `  p${i}: { recipe: job.sep.yaml, place: back }\n`).join("")}`.trimEnd(),
    ),
    "has 25 entries; at most 24 belong here",
  ],
  [
    "a number that fills a page",
    `${ORDER("job.sep.yaml")}number: "${"1".repeat(41)}"\n`,
    "is too long; 40 characters at most",
  ],
])("refuses %s", async (_, text, message) => {
  const { findings } = await openWith({ "a.order.yaml": text, "job.sep.yaml": SOUND });
  expect(findings.map((one) => one.message)).toEqual([message]);
});

it("counts a number's characters, not the units that they take in memory", async () => {
  const numbered = (number: string) =>
    openWith({
      "a.order.yaml": ORDER("job.sep.yaml").replace("prints:", `number: "${number}"\nprints:`),
      "job.sep.yaml": SOUND,
    });
  expect((await numbered("☾🌙".repeat(20))).findings).toEqual([]);
  expect((await numbered(`${"☾🌙".repeat(20)}🌙`)).findings).toMatchObject([{ path: ["number"] }]);
});
