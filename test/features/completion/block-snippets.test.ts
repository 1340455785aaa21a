import { describe, expect, it } from "vitest";
import { completion } from "../../../server/features/completion/completion.ts";
import { read } from "../model.ts";
import { choose as chosen } from "./choose.ts";

/** Sections of a sound job, one after the other. */
const SECTIONS: Readonly<Record<string, string>> = {
  inks: `
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  soot: { colour: "#131316", opacity: 97% }`,
  plates: `
  under: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  coral: { ink: ember, extract: { hue: [350, 50] } }
  rose: { ink: ember, extract: { hue: [300, 340] } }
  night: { ink: soot, purpose: shadow, extract: { lightness: [0, 18] } }`,
  merges: `
  - { fold: rose, into: coral }`,
  setups: `
  first: { garments: [navy], order: [under, flash, coral, night] }`,
};
const HEAD = `recipe: 1
artwork: { file: art.png, width: 12 in }
garments:
  navy: { colour: "#17171a" }
`;

/** The job with the cursor on a new line of a section. */
function jobAt(section: string): string {
  const sections = Object.entries({ ...SECTIONS, [section]: `${SECTIONS[section] ?? ""}\n  |` });
  return HEAD + sections.map(([key, lines]) => `${key}:${lines}`).join("\n");
}

const IN_SECTION: Readonly<Record<string, readonly string[]>> = {
  plates: ["underbase", "colour plate", "near plate", "shadow plate", "highlight plate", "solved plate"],
  inks: ["ink by opacity", "measured ink"],
  adjust: ["adjust ellipse"],
  merges: ["fold a plate"],
  knockouts: ["knock a plate out"],
  traps: ["choke a plate"],
  setups: ["setup"],
};
const ALL = Object.values(IN_SECTION).flat();

function labelsAt(marked: string): string[] {
  const { model, at } = read(marked);
  return completion(model, at).map(({ label }) => label);
}

function choose(marked: string, label: string): string {
  const { model, at } = read(marked);
  return chosen(model, at, label);
}

describe("a block to begin with", () => {
  it.each(Object.entries(IN_SECTION))(
    "is offered in %s, and those of no other section",
    (section, labels) => {
      expect(labelsAt(jobAt(section)).filter((label) => ALL.includes(label))).toEqual(labels);
    },
  );

  it("is offered in a shop's inks", () => {
    const { model, at } = read("shop: 1\ninks:\n  |", { kind: "shop" });
    const labels = completion(model, at).map(({ label }) => label);
    expect(labels).toEqual(expect.arrayContaining([...IN_SECTION.inks]));
  });

  it.each([
    ["within a value", jobAt("plates").replace("  |", "  more: { ink: | }")],
    ["for a value", jobAt("plates").replace("  |", "  more: |")],
    ["in brackets", jobAt("plates").replace("  |", "").replace("plates:", "plates: { | }\nmore:")],
    ["inside of a plate", jobAt("plates").replace("  |", "  more:\n    |")],
    ["at the top", `${jobAt("plates").replace("  |", "")}\n|`],
    ["where a colon stands already", jobAt("plates").replace("  |", "  |: { ink: ember }")],
    ["in an entry of a list", jobAt("merges").replace("  |", "  - |")],
  ])("is not offered %s", (_, marked) => {
    expect(labelsAt(marked).filter((label) => ALL.includes(label))).toEqual([]);
  });

  const places = Object.entries(IN_SECTION).flatMap(([section, labels]) =>
    labels.map((label) => [label, section] as const),
  );
  it.each(places)("is sound as it stands: %s in %s", (label, section) => {
    // What is solved must be printed; what is folded must not be folded already.
    const marked = jobAt(section)
      .replace("coral, night]", label === "solved plate" ? "coral, night, ember]" : "coral, night]")
      .replace(section === "merges" ? SECTIONS.merges! : "", "");
    const text = choose(marked, label);
    const { findings } = read(text).model;
    expect(
      findings.filter(({ level }) => level === "error").map(({ message }) => message),
      text,
    ).toEqual([]);
  });

  it("begins with two plates where it is about two", () => {
    expect(choose(jobAt("knockouts"), "knock a plate out")).toContain("- { from: under, where: coral, choke");
  });

  it("names what there is, the usual one first where it is there", () => {
    expect(choose(jobAt("plates"), "underbase")).toContain("base: { ink: white, purpose: underbase");
    expect(choose(jobAt("plates"), "shadow plate")).toContain("black: { ink: white, purpose: shadow");
    const items = (section: string, label: string) => {
      const { model, at } = read(jobAt(section));
      return completion(model, at).find((item) => item.label === label)?.textEdit?.newText;
    };
    expect(items("plates", "solved plate")).toMatch(/ink: \$\{2\|ember,white,soot\|\},/);
    expect(items("setups", "setup")).toMatch(
      /garments: \[\$\{2:navy\}\], order: \[\$\{3:under, coral, night\}\]/,
    );
  });

  it("has a name of its own that is free", () => {
    expect(choose(jobAt("inks"), "ink by opacity")).toContain(
      "  ember-2: { colour: lab(56 56 56), opacity: 70% }",
    );
    const twice = jobAt("inks").replace("  |", "  ember-2: { colour: red, opacity: 70% }\n  |");
    expect(choose(twice, "ink by opacity")).toContain("ember-3: {");
  });

  it("starts with usual names where there are none yet", () => {
    const text = choose("recipe: 1\nplates:\n  |", "underbase");
    expect(text).toContain("  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }");
  });

  it("has its lines where the first one stands", () => {
    expect(choose("adjust:\n    |", "adjust ellipse")).toBe(
      [
        "adjust:",
        "    - plate: ember",
        "      region: { ellipse: { centre: [6 in, 4 in], radii: [2 in, 1.5 in] }, feather: 0.5 in }",
        "      curve: [[0, 0], [40, 55], [100, 100]]",
      ].join("\n"),
    );
  });
});
