import { describe, expect, it } from "vitest";
import type { Finding } from "../../../server/language/finding.ts";
import { DEFAULT_MISREGISTRATION_MM } from "../../../server/language/recipe.ts";
import { ticketFacts } from "../../../server/output/ticket/facts.ts";
import { ticketPage } from "../../../server/output/ticket/page.ts";
import { Print } from "../../../server/render/print.ts";
import { CAUTIONS } from "../../../server/rules/cautions.ts";
import { printOf, RED, WHITE } from "../../rules/printed.ts";

/** 100 × 100 mm, the left half red: 50 cm² of ember, 100 cm² of base. */
const EXAMPLE = `artwork: { file: a.png, width: 100 mm }
garments: { black: { colour: "#17171a" }, white: { colour: "#f4f3ef" } }
meshes:
  fine: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um }
usual-mesh: { colour: fine, underbase: fine }
traps: []
press-notes: { underbase: two strokes, flash: by the data sheet }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [0, 60], chroma: [20, 150] } }
  rose: { ink: ember, extract: { hue: [320, 340] } }
merges: [{ fold: rose, into: ember }]
adjust:
  - { plate: ember, region: { rectangle: { from: [0 mm, 0 mm], to: [1 mm, 1 mm] } }, curve: [[0, 0], [100, 100]], lesson: { date: 2026-03-14, because: printed too dull } }
setups:
  dark: { garments: [black], order: [base, flash, ember] }
  light: { garments: [white], order: [ember] }
`;
const art = { width: 100, height: 100, at: (x: number) => (x < 50 ? RED : WHITE) };

async function page(example = EXAMPLE, title?: string): Promise<string> {
  const print = await printOf(title === undefined ? example : `title: ${title}\n${example}`, art);
  const facts = ticketFacts(print, "dark", [
    {
      rule: "close-inks",
      level: "warning",
      file: "a",
      range: { start: 0, end: 1 },
      path: ["inks"],
      message: "alike",
      allowed: "both are <b>cheap</b>",
    },
  ]);
  return ticketPage({
    facts,
    proofs: [{ garment: "black", png: Uint8Array.of(1, 2, 3), mean: 1.25, p95: 3 }],
    inkColours: new Map([
      ["ember", "#d8431f"],
      ["white", 'red" onload="alert(1)'],
    ]),
    films: [
      { plate: "base", file: "job.pdf" },
      { plate: "ember", file: "job.pdf" },
    ],
    cautions: CAUTIONS,
    date: "2026-01-02",
    fingerprint: "0123456789ab",
    producer: "Platewright",
  });
}

describe("a ticket's facts", () => {
  it("count ink for a hundred garments by film area and the mesh's volume, and 3 % for spoilage", async () => {
    const { inks } = ticketFacts(await printOf(EXAMPLE, art), "dark", []);
    // 42 % × 59 µm = 24.6 cm³/m²; 100 garments of 50 cm² are half a square metre.
    const volume = (73 / 113) ** 2 * 59;
    expect(inks).toMatchObject([
      { ink: "white", plates: ["base"], cm3: expect.closeTo(1.03 * volume, 6) },
      { ink: "ember", plates: ["ember"], cm3: expect.closeTo((1.03 * volume) / 2, 6) },
    ]);
  });

  it("say which screens stay for another setup, what each station does, and what is folded", async () => {
    const facts = ticketFacts(await printOf(EXAMPLE, art), "dark", []);
    expect(facts.sharing).toEqual([{ setup: "light", shared: ["ember"], out: ["base"], in: [] }]);
    expect(facts.stations.map(({ number, what, note }) => [number, what, note])).toEqual([
      [1, "base", "two strokes"],
      [2, "flash", "by the data sheet"],
      [3, "ember", ""],
    ]);
    expect(facts.stations[2]!.plate).toMatchObject({
      ink: "ember",
      mesh: "fine (225/in)",
      coverage: 0.5,
      filmCm2: 50,
      hits: 1,
      // 12.68 ml at 1.44 g/cm³, as of its ink.
      grams: expect.closeTo(((1.03 * (73 / 113) ** 2 * 59) / 2) * 1.44, 6),
      folded: ["rose"],
    });
    expect(facts.adjustments).toEqual(["ember, inside a rectangle: 0 → 0, 100 → 100 %"]);
    expect(facts.lessons).toEqual(["ember, 2026-03-14: printed too dull"]);
  });

  it("leave ink open where a mesh's figures are not known", async () => {
    const bare = EXAMPLE.replace(", thread: 40 um, opening: 73 um, thickness: 59 um", "");
    const { inks } = ticketFacts(await printOf(bare, art), "dark", []);
    expect(inks.map(({ cm3 }) => cm3)).toEqual([undefined, undefined]);
  });

  it("leave an ink open where a mesh of one of its plates is not known, and add up its plates where all are", async () => {
    const two = EXAMPLE.replace("merges: [{ fold: rose, into: ember }]\n", "").replace(
      "order: [base, flash, ember] }",
      "order: [base, flash, ember, glow, ember] }",
    );
    const glow = (mesh: string) =>
      two.replace("  rose:", `  glow: { ink: ember, extract: { artwork: opaque }${mesh} }\n  rose:`);
    const emberOf = async (example: string) =>
      ticketFacts(await printOf(example, art), "dark", []).inks.find(({ ink }) => ink === "ember")!;
    // Half of the print, and all of it; a plate that prints twice counts once.
    const volume = (73 / 113) ** 2 * 59;
    expect(await emberOf(glow(""))).toMatchObject({
      ink: "ember",
      plates: ["ember", "glow"],
      cm3: expect.closeTo(1.03 * 1.5 * volume, 6),
    });
    const coarse = glow(", mesh: coarse").replace("meshes:\n", "meshes:\n  coarse: { count: 110/in }\n");
    expect((await emberOf(coarse)).cm3).toBeUndefined();
  });
});

describe("a ticket's facts in words", () => {
  const made = printOf(EXAMPLE, art);

  it("name the job, its size, and how many it is for", async () => {
    const named = ticketFacts(await printOf(`title: Halves\n${EXAMPLE}`, art), "dark", []);
    expect(named).toMatchObject({
      title: "Halves",
      setupName: "dark",
      garments: ["black"],
      widthMm: 100,
      heightMm: 100,
      screens: 2,
      inkGarments: 100,
    });
    const few = ticketFacts(await made, "light", [], 10);
    expect(few).toMatchObject({ setupName: "light", garments: ["white"], screens: 1, inkGarments: 10 });
    // A tenth of a hundred's.
    expect(few.inks[0]!.cm3).toBeCloseTo((1.03 * (73 / 113) ** 2 * 59) / 20, 6);
    expect(few.stations[0]!.plate!.grams).toBeCloseTo(((1.03 * (73 / 113) ** 2 * 59) / 20) * 1.44, 6);
    expect(few.sharing).toEqual([{ setup: "dark", shared: ["ember"], out: [], in: ["base"] }]);
  });

  it("leave out notes, and findings of other setups", async () => {
    const told = [
      ["warning", ["setups"]],
      ["error", ["setups", "dark", "order"]],
      ["error", ["setups", "light", "order"]],
      ["warning", ["inks", "light"]],
      ["note", ["inks"]],
    ].map(([level, path], i) => ({
      rule: `rule-${i}`,
      level: level as Finding["level"],
      path: path as string[],
      file: "a",
      range: { start: 0, end: 1 },
      message: "",
    }));
    const { findings } = ticketFacts(await made, "dark", told);
    expect(findings.map(({ rule }) => rule)).toEqual(["rule-0", "rule-1", "rule-3"]);
  });

  it("tell mesh and screen of a plate as far as they are known", async () => {
    const stations = async (example: string) =>
      ticketFacts(await printOf(example, art), "dark", []).stations.map(({ plate }) => plate);
    const [base, , ember] = await stations(
      EXAMPLE.replace("fine: { count: 225/in", "fine: { count: 225.4/in")
        .replace("usual-mesh: { colour: fine, underbase: fine }", "usual-mesh: { colour: fine }")
        .concat("screening: { ruling: 45.04 lpi, angle: 22.5, dot: line }\n"),
    );
    expect([base!.mesh, ember!.mesh, ember!.screening]).toEqual([
      "—",
      "fine (225/in)",
      "45 lpi, 22.5°, line",
    ]);
    const [grained] = await stations(`${EXAMPLE}screening: { method: fm, grain: 0.12 mm }\n`);
    expect(grained!.screening).toBe("fm, 0.12 mm");
  });

  it("tell where plates overlap by traps, of those that print here", async () => {
    const two = `artwork: { file: a.png, width: 100 mm }
garments: { black: { colour: "#17171a" } }
inks:
  ember: { colour: "#d8431f", opacity: 70% }
  dark: { colour: "#202020", opacity: 70% }
plates:
  ember: { ink: ember, extract: { hue: [0, 60], chroma: [20, 150] } }
  dark: { ink: dark, extract: { lightness: [90, 100] } }
knockouts: []
traps:
  - { plate: ember, spread: 0.25 mm, under: dark }
setups:
  dark: { garments: [black], order: [ember, dark] }
  light: { garments: [black], order: [ember] }
`;
    const print = await printOf(two, art);
    // Down the middle of 100 mm.
    expect(ticketFacts(print, "dark", []).traps).toEqual(["ember under dark: 0.25 mm along 100 mm"]);
    expect(ticketFacts(print, "light", []).traps).toEqual([]);
    const apart = await printOf(two.replace(/traps:\n.*\n/, "traps: []\n"), art);
    expect(ticketFacts(apart, "dark", []).traps).toEqual([]);
  });

  it("tell adjustments without a region, and inside of a polygon and an ellipse", async () => {
    const curve = "curve: [[0, 0], [100, 90]]";
    const regions = [
      "",
      ", region: { polygon: [[0 mm, 0 mm], [9 mm, 0 mm], [0 mm, 9 mm]] }",
      ", region: { ellipse: { centre: [5 mm, 5 mm], radii: [3 mm, 3 mm] } }",
    ];
    const text = regions.map((region) => `  - { plate: ember${region}, ${curve} }\n`).join("");
    const facts = ticketFacts(
      await printOf(EXAMPLE.replace(/adjust:\n.*\n/, `adjust:\n${text}`), art),
      "dark",
      [],
    );
    expect(facts.adjustments).toEqual([
      "ember: 0 → 0, 100 → 90 %",
      "ember, inside a polygon: 0 → 0, 100 → 90 %",
      "ember, inside an ellipse: 0 → 0, 100 → 90 %",
    ]);
  });

  it("tell how colours vary, by the shop's register or the usual one, and where plates overlap most", async () => {
    const { steadiness } = ticketFacts(await made, "dark", []);
    expect(steadiness).toMatch(
      /^Colours vary from print to print by \d+\.\d ΔE00 on average, 95 % within \d+\.\d.*, with screens up to [\d.]+ mm off\.$/,
    );
    const halftones = EXAMPLE.replace(
      /adjust:\n.*\n/,
      "adjust:\n  - { plate: ember, curve: [[0, 0], [100, 50]] }\n  - { plate: base, curve: [[0, 0], [100, 60]] }\n",
    );
    const two = ticketFacts(await printOf(halftones, art), "dark", []).steadiness;
    expect(two).toMatch(/, most of all where (?:base and ember|ember and base) overlap, with screens/);
    const pressed = `${EXAMPLE}press: { stations: 8, flashes: 2, misregistration: 0.127 mm }\n`;
    expect(ticketFacts(await printOf(pressed, art), "dark", []).steadiness).toMatch(/up to 0\.13 mm off\.$/);
    const { press: _, ...bare } = (await made).recipe;
    const unknown = new Print({ ...bare, press: undefined }, (await made).artwork, (await made).plates);
    expect(ticketFacts(unknown, "dark", []).steadiness).toMatch(
      new RegExp(
        `up to ${DEFAULT_MISREGISTRATION_MM} mm off, the usual figure, as no shop file gives one\\.$`,
      ),
    );
  });
});

describe("the page", () => {
  it("holds title, stations, ink, films, findings with their reason, and cautions", async () => {
    const text = await page();
    for (const part of [
      "setup <b>dark</b> on black",
      "two strokes",
      "fine (225/in)",
      "with rose",
      "50.0 %",
      "13 ml",
      "25 ml",
      // 12.68 and 25.36 ml at 1.44 g/cm³.
      "18 g",
      "37 g",
      "Usual densities are taken for white, ember.",
      "job.pdf</b>: base, ember",
      "allowed: both are",
      "recipe 0123456789ab",
      "Children&#39;s wear",
    ])
      expect(text).toContain(part);
  });

  it("lets nothing in the recipe become markup, and fetches nothing", async () => {
    const text = await page(EXAMPLE, '"<script>alert(1)</script> & <img src=x onerror=alert(2)>"');
    expect(text).not.toMatch(/<script|<img src=x|<b>cheap|onload=/);
    expect(text).toContain("&#60;script&#62;");
    expect(text).toContain("default-src 'none'");
    expect(text).not.toMatch(/(?:src|href)="(?!data:)/);
  });
});
