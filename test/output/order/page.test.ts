import { describe, expect, it } from "vitest";
import { parseDocument } from "../../../server/language/document.ts";
import type { Finding } from "../../../server/language/finding.ts";
import { resolveOrder } from "../../../server/language/order.ts";
import { type OrderPage, orderPage } from "../../../server/output/order/page.ts";
import type { InkNeed } from "../../../server/render/ink-needs.ts";

const ORDER = `order: 1
title: Two <halves>
number: "42"
customer: Friends of halves
due: 2026-03-01
prints:
  front: { recipe: job.sep.yaml, place: front }
  back: { recipe: job.sep.yaml, place: back, keep: true }
lines:
  - { garment: black, sizes: { M: 24, L: 3 }, prints: [front, back] }
`;
const need = (ink: string, more: Partial<InkNeed> = {}): InkNeed => ({
  ink,
  plates: [ink, `${ink}2`],
  cm3: 100.4,
  grams: 144.4,
  density: 1.44,
  assumed: false,
  mix: [],
  ...more,
});
const finding = (level: Finding["level"], message: string): Finding => ({
  rule: "a-rule",
  level,
  file: "a",
  range: { start: 0, end: 1 },
  path: [],
  message,
});
const pageOf = (more: Partial<OrderPage> = {}, text = ORDER) =>
  orderPage({
    order: resolveOrder(parseDocument("a.order.yaml", text)),
    counts: {
      garments: 27,
      impressions: 54,
      setUps: [
        { print: "front", setup: "dark", garments: ["black", "navy"], count: 27, stations: 4, flashes: 2 },
        { print: "back", setup: "light", garments: ["black"], count: 26, stations: 3, flashes: 1 },
      ],
      screens: [
        { print: "front", plates: ["base", "ember"], keep: false },
        { print: "back", plates: ["ember"], keep: true },
      ],
    },
    inks: [need("ember")],
    inkColours: new Map([["ember", "#d8431f"]]),
    filmMm: [800, 435.5],
    findings: [],
    cautions: [{ about: "Dust", text: "Wear a <mask>." }],
    date: "2026-01-02",
    producer: "a test",
    ...more,
  });

/** Cells of a section's rows as plain text. */
const rowsOf = (page: string, heading: string) => {
  const [, table] = new RegExp(`<h2>${heading}</h2>\\s*<table>(.*?)</table>`, "s").exec(page)!;
  return [...table!.matchAll(/<tr>(.*?)<\/tr>/gs)].map(([, row]) =>
    [...row!.matchAll(/<t[dh][^>]*>(.*?)<\/t[dh]>/gs)].map(([, cell]) => cell!.replace(/<[^>]*>/g, "")),
  );
};

describe("the office's page of an order", () => {
  it("says which order it is, as far as the order says", () => {
    const page = pageOf();
    for (const part of [
      "<title>Two &#60;halves&#62;</title>",
      "<h1>Two &#60;halves&#62;</h1><p>42 · Friends of halves · due 2026-03-01</p></div><p>2026-01-02</p>",
      "Made by a test.",
    ])
      expect(page).toContain(part);
    const bare = pageOf({}, ORDER.replace(/title.*\n/, "").replace(/customer.*\ndue.*\n/, ""));
    expect(bare).toContain("<h1>Order</h1><p>42</p>");
  });

  it("adds up screens, setups, flashes and metres of film", () => {
    expect(pageOf()).toContain(
      "<b>27</b> garments · <b>54</b> impressions · <b>3</b> screens · <b>2</b> setups · <b>3</b> flashes · <b>1.24 m of film</b>",
    );
    expect(pageOf({ filmMm: undefined })).toContain("<b>no films made</b>");
  });

  it("lists garments, setups and screens", () => {
    const page = pageOf();
    expect(rowsOf(page, "Garments")).toEqual([["black", "M 24 · L 3", "front, back", "27"]]);
    expect(rowsOf(page, "Setups")).toEqual([
      ["print", "setup", "garments", "stations", "flashes", "impressions"],
      ["front", "dark", "black, navy", "4", "2", "27"],
      ["back", "light", "black", "3", "1", "26"],
    ]);
    expect(rowsOf(page, "Screens")).toEqual([
      ["front", "base, ember", "reclaim", "2"],
      ["back", "ember", "keep for the next order", "1"],
    ]);
  });

  it("lists inks with what they are mixed of, and leaves open what is not known", () => {
    const mix = [
      { of: "base", parts: 9, grams: 1300 },
      { of: "red", parts: 1, grams: 9.87 },
    ];
    const open = mix.map((part) => ({ ...part, grams: undefined }));
    const page = pageOf({
      inks: [
        need("ember", { mix }),
        need("rose", { cm3: undefined, grams: undefined, assumed: true, mix: open }),
        need("white", { assumed: true }),
        need("gold", { assumed: true }),
      ],
    });
    expect(rowsOf(page, "Ink")).toEqual([
      ["ember", "ember, ember2", "base 1.30 kg + red 9.9 g", "100 ml", "144 g"],
      ["rose", "rose, rose2", "base — + red —", "mesh not known", ""],
      ["white", "white, white2", "", "100 ml", "144 g"],
      ["gold", "gold, gold2", "", "100 ml", "144 g"],
    ]);
    expect(page).toContain('<i style="background:#d8431f"></i><b>ember</b>');
    // What is weighed by a usual density is named.
    expect(page).toContain("spoilage included. Usual densities are taken for white, gold.</p>");
    expect(pageOf()).toContain("spoilage included.</p>");
  });

  it("lists findings with what they are about, and cautions", () => {
    expect(pageOf()).toContain("<p>Nothing was found.</p>");
    const page = pageOf({
      findings: [
        { about: "front", finding: finding("error", "too <small>") },
        { about: "order", finding: finding("warning", "late") },
      ],
    });
    expect(page).not.toContain("Nothing was found");
    expect(page).toContain(
      '<ul><li><b>error</b> front: too &#60;small&#62; <span class="small">a-rule</span></li><li><b>warning</b> order: late <span class="small">a-rule</span></li></ul>',
    );
    expect(page).toContain("<li><b>Dust.</b> Wear a &#60;mask&#62;.</li>");
  });
});
