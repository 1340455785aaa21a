import { describe, expect, it } from "vitest";
import { escaped, html } from "../../server/output/html.ts";
import { ticketFacts } from "../../server/output/ticket/facts.ts";
import { ticketPage } from "../../server/output/ticket/page.ts";
import { CAUTIONS } from "../../server/rules/cautions.ts";
import { printOf, RED, WHITE } from "../rules/printed.ts";

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

  it("escapes text and keeps markup of its own", () => {
    expect(escaped(`<a b="c" d='e'>&`)).toBe("&#60;a b=&#34;c&#34; d=&#39;e&#39;&#62;&#38;");
    expect(html`<p>${"<"}${html`<b>${1}</b>`}${undefined}</p>`.text).toBe("<p>&#60;<b>1</b></p>");
  });
});
