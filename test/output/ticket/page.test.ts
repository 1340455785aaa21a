import { describe, expect, it } from "vitest";
import type { Finding } from "../../../server/language/finding.ts";
import type { LeftOut } from "../../../server/output/films/left-out.ts";
import type { StationPlate, TicketFacts, TicketStation } from "../../../server/output/ticket/facts.ts";
import { type TicketPage, ticketPage, weight } from "../../../server/output/ticket/page.ts";

const plate = (more: Partial<StationPlate> = {}): StationPlate => ({
  ink: "ember",
  purpose: "colour",
  mesh: "fine (225/in)",
  screening: "45 lpi, 22.5°, round",
  coverage: 0.1234,
  filmCm2: 50.04,
  hits: 1,
  grams: 12.6,
  folded: [],
  ...more,
});
const station = (number: number, what: string, more: Partial<TicketStation> = {}): TicketStation => ({
  number,
  what,
  plate: undefined,
  note: "",
  ...more,
});
const FACTS: TicketFacts = {
  title: "Two <halves>",
  setupName: "dark",
  garments: ["black", "navy"],
  widthMm: 254,
  heightMm: 127.04,
  stations: [
    station(1, "base", {
      plate: plate({ ink: "white", purpose: "underbase", hits: 2, folded: ["a", "b"] }),
      note: "slowly",
    }),
    station(2, "flash", { note: "4 s" }),
    station(3, "ember", { plate: plate({ grams: undefined }) }),
  ],
  sharing: [],
  screens: 2,
  inkGarments: 60,
  inks: [],
  inkUse: { transfer: 0.72, spoilage: 0.035 },
  steadiness: "Steady.",
  findings: [],
  adjustments: [],
  traps: [],
  lessons: [],
};
const finding = (more: Partial<Finding>): Finding => ({
  rule: "a-rule",
  level: "warning",
  file: "a",
  range: { start: 0, end: 1 },
  path: ["inks", "ember"],
  message: "too <thin>",
  ...more,
});
const NOTHING = { count: 0, mm2: 0 };
const leftOut = (more: Partial<LeftOut>): LeftOut => ({
  marks: NOTHING,
  holes: NOTHING,
  lines: NOTHING,
  gaps: NOTHING,
  ...more,
});

const pageOf = (facts: Partial<TicketFacts> = {}, more: Partial<TicketPage> = {}) =>
  ticketPage({
    facts: { ...FACTS, ...facts },
    proofs: [],
    inkColours: new Map([["ember", "#d8431f"]]),
    films: [],
    cautions: [{ about: "Dust", text: "Wear a mask." }],
    date: "2026-01-02",
    fingerprint: "0123456789ab",
    producer: "a test",
    ...more,
  });
/** What stands under a heading, to the end of its section. */
const under = (page: string, heading: string) => {
  const found = new RegExp(`<h2>${heading}</h2>(.*?)</section>`, "s").exec(page);
  return found?.[1]?.trim();
};
const cells = (rows: string) =>
  [...rows.matchAll(/<tr[^>]*>(.*?)<\/tr>/gs)].map(([, row]) =>
    [...row!.matchAll(/<t[dh][^>]*>(.*?)<\/t[dh]>/gs)].map(([, cell]) =>
      cell!.replace(/<[^>]*>/g, "").trim(),
    ),
  );

describe("a ticket's page", () => {
  it("says what is printed on what, how large, and from which recipe", () => {
    for (const part of [
      "<title>Two &#60;halves&#62; — dark</title>",
      "<h1>Two &#60;halves&#62;</h1>",
      "setup <b>dark</b> on black, navy · 254.0 × 127.0 mm · 2 screens · 3 stations",
      "2026-01-02<br />recipe 0123456789ab",
      '<p class="small">Steady.</p>',
      "Made by a test.",
      "<li><b>Dust.</b> Wear a mask.</li>",
    ])
      expect(pageOf()).toContain(part);
    const bare = pageOf({ title: "" });
    expect(bare).toContain("<title>Job — dark</title>");
    expect(bare).toContain("<h1>Job ticket</h1>");
  });

  it("shows the proofs with their differences", () => {
    // A part of a longer buffer, as files are read.
    const png = Uint8Array.of(9, 1, 2, 3, 9).subarray(1, 4);
    expect(pageOf({}, { proofs: [{ garment: "black", png, mean: 1.25, p95: 3 }] })).toContain(
      '<img src="data:image/png;base64,AQID" alt="proof on black" /><figcaption><b>black</b> mean ΔE00 1.3, 95 % within 3.0</figcaption>',
    );
  });

  it("has a row for each station, with strokes and notes, and what is not known left open", () => {
    const rows = cells(under(pageOf(), "Stations")!);
    expect(rows.slice(1)).toEqual([
      [
        "1",
        "base with a, b underbase",
        "white",
        "fine (225/in)",
        "45 lpi, 22.5°, round",
        "12.3 %",
        "50.0 cm²",
        "13 g",
        "2 strokes; slowly",
      ],
      ["2", "flash", "4 s"],
      ["3", "ember", "ember", "fine (225/in)", "45 lpi, 22.5°, round", "12.3 %", "50.0 cm²", "", ""],
    ]);
    expect(pageOf()).toContain('<i style="background:#d8431f"></i>ember');
  });

  it("lists ink for so many garments, millilitres and grams, and how it is estimated", () => {
    const ink = { plates: ["a", "b"], density: 1.44, assumed: false, mix: [] };
    const text = under(
      pageOf({
        inks: [
          { ...ink, ink: "ember", cm3: 12.6, grams: 9.96 },
          { ...ink, ink: "rose", cm3: 1000, grams: 1234, assumed: true },
          { ...ink, ink: "gold", cm3: undefined, grams: undefined, assumed: true },
          { ...ink, ink: "white", cm3: 999.4, grams: 999.4, assumed: true },
        ],
      }),
      "Ink for 60 garments",
    )!;
    expect(cells(text)).toEqual([
      ["ember", "a, b", "13 ml", "10.0 g"],
      ["rose", "a, b", "1.00 l", "1.23 kg"],
      ["gold", "a, b", "mesh not known", ""],
      ["white", "a, b", "999 ml", "999 g"],
    ]);
    expect(text).toContain("72 % of it on the garment and 3.5 % more for spoilage.");
    expect(text).toMatch(/not in it\. Usual densities are taken for rose, white\.<\/p>$/);
    expect(under(pageOf(), "Ink for 60 garments")).toMatch(/not in it\.<\/p>$/);
  });

  it("says which screens stay, come and go for each other setup", () => {
    const others = [
      { setup: "light", shared: ["a", "b"], out: ["c"], in: ["d", "e"] },
      { setup: "plain", shared: ["a"], out: [], in: [] },
    ];
    expect(under(pageOf({ sharing: others }), "Screens of the other setups")).toBe(
      "<ul><li>to <b>light</b>: 2 screens stay, take out c, put in d, e</li><li>to <b>plain</b>: 1 screens stay</li></ul>",
    );
    expect(under(pageOf(), "Screens of the other setups")).toBe("<p>This is the job's only setup.</p>");
  });

  it("lists films by file", () => {
    const films = [
      { plate: "a", file: "one.pdf" },
      { plate: "b", file: "two.pdf" },
      { plate: "c", file: "one.pdf" },
    ];
    expect(under(pageOf({}, { films }), "Films")).toContain(
      "<li><b>one.pdf</b>: a, c</li><li><b>two.pdf</b>: b</li>",
    );
  });

  it("says what films leave out of the plates that print here, where they were made", () => {
    expect(under(pageOf(), "Films")).toContain("told here once they lie beside this ticket");
    const marks = leftOut({ marks: { count: 2, mm2: 1.23 } });
    const of = (leftOutOf: [string, LeftOut][]) =>
      under(pageOf({}, { made: { dpi: 600, platePpi: 150.04, leftOut: new Map(leftOutOf) } }), "Films");
    expect(of([["ember", leftOut({})]])).toContain(
      "600 dpi, from plates of 150 ppi. Their screens hold all of the artwork.",
    );
    expect(of([["another", marks]])).toContain("hold all of the artwork");
    expect(of([["ember", marks]])).toContain(
      '600 dpi, from plates of 150 ppi. Too small for the screens:</p><ul class="small"><li>ember: left out 2 marks (1.2 mm²)</li></ul>',
    );
  });

  it("has lists of what there is, and no heading of what there is not", () => {
    const all = pageOf({ traps: ["t"], adjustments: ["<a>"], lessons: ["l"] }, { lastRun: ["r1", "r2"] });
    const headings = {
      Traps: "<ul><li>t</li></ul>",
      "Adjusted tones": "<ul><li>&#60;a&#62;</li></ul>",
      "What test prints taught": "<ul><li>l</li></ul>",
      "Last run": "<ul><li>r1</li><li>r2</li></ul>",
    };
    for (const [heading, list] of Object.entries(headings)) {
      expect(under(all, heading)).toBe(list);
      expect(pageOf()).not.toContain(heading);
    }
    // Nor anything else.
    expect(pageOf()).toMatch(/once they lie beside this ticket\.<\/p>\s*<\/section>\s*<\/div>/);
  });

  it("lists findings with their place, and what is allowed with its reason", () => {
    expect(under(pageOf(), "Findings")).toBe("<p>No warnings.</p>");
    expect(
      under(
        pageOf({
          findings: [finding({}), finding({ path: [], level: "error", allowed: "both are cheap" })],
        }),
        "Findings",
      ),
    ).toBe(
      '<ul class="findings"><li class="warning"><b>warning</b> inks.ember: too &#60;thin&#62; <span class="quiet">a-rule</span></li><li class="allowed"><b>allowed</b> too &#60;thin&#62; — allowed: both are cheap <span class="quiet">a-rule</span></li></ul>',
    );
  });
});

it("a weight is in grams under a kilogram, with a decimal under ten", () => {
  expect([0.04, 9.99, 10, 999.4, 1000, 12_345].map(weight)).toEqual([
    "0.0 g",
    "10.0 g",
    "10 g",
    "999 g",
    "1.00 kg",
    "12.35 kg",
  ]);
});
