import { parseDocument as parseYaml } from "yaml";
import { parseDocument } from "../../server/language/document.ts";
import type { Finding } from "../../server/language/finding.ts";
import { assembleProject, type Project } from "../../server/language/project.ts";
import { type CheckOptions, checkProject } from "../../server/rules/check.ts";

/** A job without a fault. The examples of the rules' reference are pieces of it, each in place of a whole section. */
const RECIPE: Readonly<Record<string, string>> = {
  recipe: "recipe: 1",
  shop: "shop: b.shop.yaml",
  artwork: "artwork: { file: art.png, width: 10 in }",
  garments: 'garments: { black: { colour: "#17171a" } }',
  inks: `inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  black: { colour: "#131316", opacity: 97% }`,
  plates: `plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
  glint: { ink: white, purpose: highlight, extract: { lightness: [92, 100], fade: 6 } }`,
  knockouts: "knockouts:\n  - { from: base, where: black, choke: 0.4 mm }",
  traps: "traps:\n  - { plate: base, choke: 0.2 mm }",
  setups: "setups:\n  dark: { garments: [black], order: [base, flash, ember, black, glint] }",
};

const SHOP: Readonly<Record<string, string>> = {
  shop: "shop: 1",
  press: "press: { stations: 10, flashes: 2 }",
};
const SHOP_ONLY = [
  "press",
  "meshes",
  "usual-mesh",
  "film",
  "press-notes",
  "calibration-days",
  "rules",
  "ink-use",
  "sizes",
];

const WITH_REGION = `adjust:
  - { plate: ember, region: { ellipse: { centre: [5 in, 5 in], radii: [1 in, 1 in] } }, curve: [[0, 0], [100, 80]] }`;
const ORDER: Readonly<Record<string, string>> = {
  order: "order: 1",
  shop: "shop: b.shop.yaml",
  prints: "prints:\n  front: { recipe: a.sep.yaml, width: 10 in, place: front }",
  lines: "lines:\n  - { garment: black, sizes: { M: 24 }, prints: [front] }",
};

/** An order of the sound job, where the example has sections of one. */
function orderWith(example: string): Project {
  const order: Record<string, string> = { ...ORDER };
  const shop: Record<string, string> = { ...SHOP };
  for (const [key, text] of sectionsOf(example)) (SHOP_ONLY.includes(key) ? shop : order)[key] = text;
  const file = (name: string, sections: Readonly<Record<string, string>>) =>
    parseDocument(name, `${Object.values(sections).join("\n")}\n`);
  return assembleProject(
    file("a.order.yaml", order),
    file("b.shop.yaml", shop),
    true,
    new Map(),
    new Map([
      ["a.sep.yaml", file("a.sep.yaml", RECIPE)],
      ["region.sep.yaml", file("region.sep.yaml", { ...RECIPE, adjust: WITH_REGION })],
    ]),
  );
}

/** The job with the example's sections in place of its own, and with nothing left that names what they took away. */
export function jobWith(example: string): Project {
  if (/^(?:lines|prints):/m.test(example)) return orderWith(example);
  const recipe: Record<string, string> = { ...RECIPE };
  const shop: Record<string, string> = { ...SHOP };
  for (const [key, text] of sectionsOf(example)) (SHOP_ONLY.includes(key) ? shop : recipe)[key] = text;
  const plates = Object.keys(parseYaml(recipe.plates!).toJS().plates as object);
  for (const list of ["knockouts", "traps"]) {
    const own = sectionsOf(example).some(([key]) => key === list);
    const named = list === "knockouts" ? ["base", "black"] : ["base"];
    if (!own && !named.every((plate) => plates.includes(plate))) delete recipe[list];
  }
  const inks = new Set(
    Object.values(parseYaml(recipe.plates!).toJS().plates as Record<string, { ink: string }>).map(
      (p) => p.ink,
    ),
  );
  if (!sectionsOf(example).some(([key]) => key === "inks"))
    recipe.inks = recipe
      .inks!.split("\n")
      .filter((line, i) => i === 0 || inks.has(/\w+/.exec(line)![0]))
      .join("\n");
  const text = (sections: Record<string, string>) => `${Object.values(sections).join("\n")}\n`;
  return assembleProject(
    parseDocument("a.sep.yaml", text(recipe)),
    parseDocument("b.shop.yaml", text(shop)),
    true,
  );
}

export function findingsOf(example: string, options?: CheckOptions): Finding[] {
  return checkProject(jobWith(example), { today: "2026-04-14", ...options });
}

/** Comments go with the section behind them. */
function sectionsOf(example: string): [key: string, text: string][] {
  const sections: [string, string][] = [];
  let lead = "";
  for (const line of example.split("\n")) {
    const key = /^([\w-]+):/.exec(line)?.[1];
    if (key) {
      sections.push([key, lead + line]);
      lead = "";
    } else if (line.startsWith("#")) lead += `${line}\n`;
    else if (sections.length > 0) sections.at(-1)![1] += `\n${line}`;
  }
  return sections;
}
