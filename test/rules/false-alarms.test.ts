import { existsSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { checkedJob } from "../jobs/checked.ts";

/** Debian's openclipart-svg: drawings by others, dedicated to the public. */
const FOLDER = "/usr/share/openclipart/svg";

interface Job {
  readonly drawing: string;
  /** Name, colour and opacity; each gets a plate that takes what is near its colour. */
  readonly inks: readonly (readonly [name: string, colour: string, opacity: number, within?: number])[];
  /** Further plates, as YAML lines. */
  readonly plates?: readonly string[];
  readonly dark: readonly string[];
  readonly light: readonly string[];
  /** Everything worse than a note that is found, looked at and right. */
  readonly right: readonly string[];
}

/** Plain, sensible recipes for drawings that nobody here made. */
const JOBS: Readonly<Record<string, Job>> = {
  "a hiker in seven flat colours": {
    drawing: "recreation/sports/hikinh_ganson.svg",
    inks: [
      ["green", "#137f40", 75],
      ["blue", "#1c7ab5", 70],
      ["brown", "#a16121", 75],
      ["skin", "#e8bdb1", 75],
      ["red", "#fb0f0c", 70],
    ],
    dark: ["skin", "red", "brown", "blue", "green", "black"],
    light: ["black", "green", "blue", "brown", "red", "skin"],
    right: [],
  },
  // The eyes' yellow has no plate.
  "a grey cat without its eyes": {
    drawing: "animals/mammals/housecats/gatto_cat_architetto_fra_03.svg",
    inks: [
      ["ash", "#666666", 80],
      ["cream", "#ffffeb", 85, 12],
      ["mauve", "#996666", 75, 10],
    ],
    dark: ["cream", "mauve", "ash", "black"],
    light: ["black", "ash", "mauve", "cream"],
    right: ["unprinted-artwork: setups.dark #ffbf00", "unprinted-artwork: setups.light #ffbf00"],
  },
  // Brown and umber fade into each other's colour.
  "an ice cream with two browns that overlap": {
    drawing: "food/desserts/cone_alt3.svg",
    inks: [
      ["wafer", "#fbdf99", 75],
      ["brown", "#a16121", 75, 10],
      ["pink", "#f5aabb", 75],
      ["umber", "#7f4008", 80, 12],
    ],
    dark: ["wafer", "pink", "brown", "umber", "black"],
    light: ["black", "umber", "brown", "pink", "wafer"],
    right: ["twin-plates: plates.umber"],
  },
  "a puffin with gradients": {
    drawing: "animals/birds/puffin-md.svg",
    inks: [
      ["rust", "#bf551b", 75, 10],
      ["orange", "#fe7e3a", 70, 12],
    ],
    plates: [
      "steel: { ink: steel, extract: { lightness: [30, 74], chroma: [0, 12], fade: 10 } }",
      "glint: { ink: white, purpose: highlight, extract: { lightness: [94, 100], fade: 4 } }",
    ],
    dark: ["orange", "rust", "steel", "black", "glint"],
    light: ["black", "steel", "rust", "orange"],
    right: [],
  },
  // The glass is half transparent, so its underbase is all dots, and light ones on an open mesh; what prints on them in
  // halftones of its own lattice shifts with the register.
  "an hourglass of half-transparent glass": {
    drawing: "signs_and_symbols/clocks/sandglass_vermin_.svg",
    inks: [
      ["sand", "#fbe885", 75, 10],
      ["amber", "#d6a130", 72, 9],
      ["bronze", "#9b731e", 75, 12],
      ["lilac", "#9696ff", 70],
    ],
    dark: ["sand", "amber", "lilac", "bronze", "black"],
    light: ["black", "bronze", "lilac", "amber", "sand"],
    right: ["soft-edge: artwork.file", "dots-under-mesh: plates.base", "unsteady-colour: setups.dark"],
  },
};

const SHOP = `shop: 1
press: { stations: 10, flashes: 2, area: { width: 16 in, height: 20 in }, misregistration: 0.1 mm }
meshes:
  base: { count: 122/in, thread: 70 um, opening: 138 um, thickness: 113 um }
  colour: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um }
usual-mesh: { underbase: base, colour: colour, shadow: colour, highlight: colour }
inks:
  white: { colour: "#f6f5f1", opacity: 93% }
  black: { colour: "#131316", opacity: 97% }
  steel: { colour: "#7f7f80", opacity: 80% }
`;

function recipeOf({ drawing, inks, plates = [], dark, light }: Job): string {
  const colours = inks.map(
    ([name, colour, opacity]) => `  ${name}: { colour: "${colour}", opacity: ${opacity}% }`,
  );
  const near = inks.map(
    ([name, colour, , within = 16]) =>
      `  ${name}: { ink: ${name}, extract: { near: "${colour}", within: ${within}, fade: 10 } }`,
  );
  return `recipe: 1
shop: my.shop.yaml
artwork: { file: ${FOLDER}/${drawing}, width: 8 in }
garments: { black: { colour: "#17171a" }, white: { colour: "#f4f3ef" } }
inks:
${colours.join("\n")}
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
${[...near, ...plates.map((line) => `  ${line}`)].join("\n")}
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 12], fade: 14 } }
knockouts:
  - { from: base, where: black, choke: 0.2 mm }
traps:
  - { plate: base, choke: 0.1 mm }
setups:
  dark: { garments: [black], order: [base, flash, ${dark.join(", ")}] }
  light: { garments: [white], order: [${light.join(", ")}] }
`;
}

describe.skipIf(!existsSync(FOLDER))("plain recipes for drawings of openclipart-svg (apt package)", () => {
  it.each(Object.entries(JOBS))("%s: nothing is found but what is right", async (_, job) => {
    const found = await checkedJob("a.sep.yaml", { "a.sep.yaml": recipeOf(job), "my.shop.yaml": SHOP });
    const worse = found.filter(({ level }) => level !== "note");
    expect(
      worse.map(({ rule, path, data }) =>
        [
          `${rule}: ${path.join(".")}`,
          ...(data?.colour && rule === "unprinted-artwork" ? [data.colour] : []),
        ].join(" "),
      ),
    ).toEqual(job.right);
  });
});
