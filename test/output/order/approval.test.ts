import { describe, expect, it } from "vitest";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveOrder } from "../../../server/language/order.ts";
import { letteringWidth } from "../../../server/output/films/lettering.ts";
import { type Approval, approvalPages } from "../../../server/output/order/approval.ts";
import type { Mark, SheetPage } from "../../../server/output/sheet/drawing.ts";

const SHOP = `shop: 1
sizes: { YS: { width: 300 mm, height: 400 mm }, M: { width: 500 mm, height: 700 mm }, L: { width: 560 mm, height: 740 mm } }
`;
const ORDER = `order: 1
title: Two halves
number: "42"
customer: Friends of halves
due: 2026-03-01
prints:
  front: { recipe: job.sep.yaml, place: front }
  chest: { recipe: job.sep.yaml, place: left-chest }
  back: { recipe: job.sep.yaml, place: back }
lines:
  - { garment: black, sizes: { M: 24, L: 3, YS: 12 }, prints: [front, back] }
  - { garment: brick, sizes: { XXL: 5, M: 4 }, prints: [chest] }
`;
const INKS = [
  { name: "ember", hex: "#d8431f" },
  { name: "rose", hex: "#d06080" },
];
const SIZES: Record<string, { width: number; height: number }> = {
  front: { width: 254, height: 127 },
  chest: { width: 90, height: 80 },
  back: { width: 300, height: 350 },
};

const approvalOf = (order = ORDER, shop = SHOP, more: Partial<Approval> = {}): Approval => ({
  order: resolveOrder(parseDocument("a.order.yaml", order), parseDocument("a.shop.yaml", shop, "shop")),
  pictureOf: (print, garment) => ({
    png: new TextEncoder().encode(`${print} on ${garment}`),
    size: SIZES[print]!,
  }),
  colourOf: (garment) => (garment === "black" ? "#17171a" : "#a04030"),
  inksOf: () => INKS,
  cautions: ["Wash first."],
  date: "2026-01-02",
  producer: "a test",
  ...more,
});
const pagesOf = (...args: Parameters<typeof approvalOf>) => approvalPages(approvalOf(...args));

type Of<K extends Mark["kind"]> = Extract<Mark, { kind: K }>;
const of = <K extends Mark["kind"]>(page: SheetPage, kind: K) =>
  page.marks.filter((mark): mark is Of<K> => mark.kind === kind);
const texts = (page: SheetPage) => of(page, "text").map(({ text }) => text);
/** Least and largest x and y of a shape. */
const spanOf = ({ points }: Of<"shape">) => {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
};
const garmentsOf = (page: SheetPage) => of(page, "shape").filter(({ points }) => points.length > 4);
/** Of 210 × 297 mm with 15 mm left free on either side. */
const [LEFT, RIGHT] = [15, 195];

describe("the sheet to be signed", () => {
  it("has a page for each line and one for the signature, A4, numbered", () => {
    const pages = pagesOf();
    expect(pages.map(({ width, height }) => [width, height])).toEqual(Array(3).fill([210, 297]));
    for (const [i, page] of pages.entries())
      expect(texts(page)).toContain(`Sheet ${i + 1} of 3 · 2026-01-02 · a test`);
  });

  it("says on each page which order it is, as far as the order says", () => {
    for (const page of pagesOf()) {
      const [title, about] = of(page, "text");
      expect([title!.text, about!.text, about!.grey]).toEqual([
        "Two halves",
        "order 42 · Friends of halves · promised for 2026-03-01",
        true,
      ]);
      expect(title!.grey).toBeUndefined();
    }
    const bare = ORDER.replace(/title.*\nnumber.*\n/, "").replace(/due.*\n/, "");
    expect(texts(pagesOf(bare)[0]!).slice(0, 2)).toEqual(["Order", "Friends of halves"]);
    expect(texts(pagesOf(bare.replace(/customer.*\n/, 'customer: ""\n'))[0]!)[1]).toBe("");
  });

  it("keeps to its margins, whatever the words", () => {
    const long = "a very long name that goes on and on ".repeat(8);
    const order = ORDER.replace("Two halves", long).replace("Friends of halves", long);
    const inks = Array.from({ length: 9 }, (_, i) => ({ name: `an ink of some name ${i}`, hex: "#112233" }));
    for (const page of pagesOf(order, SHOP, { inksOf: () => inks, cautions: [long] }))
      for (const mark of page.marks) {
        const [from, to] =
          mark.kind === "text"
            ? [mark.x, mark.x + letteringWidth(mark.text, mark.size)]
            : mark.kind === "line"
              ? [mark.from[0], mark.to[0]]
              : mark.kind === "shape"
                ? [spanOf(mark).left, spanOf(mark).right]
                : [mark.x, mark.x + mark.width];
        expect(from).toBeGreaterThanOrEqual(LEFT - 1e-9);
        expect(to).toBeLessThanOrEqual(RIGHT + 1e-9);
      }
  });
});

describe("a line's page", () => {
  const [black, brick] = pagesOf();

  it("names garment, prints and counts", () => {
    expect(texts(black!).slice(3, 5)).toEqual(["black: front, back", "24 M · 3 L · 12 YS"]);
    expect(texts(brick!).slice(3, 5)).toEqual(["brick: chest", "5 XXL · 4 M"]);
  });

  it("shows the smallest and the largest size on one scale, in the garment's colour", () => {
    const garments = garmentsOf(black!);
    expect(garments.map(({ fill, edge }) => [fill, edge])).toEqual(Array(4).fill(["#17171a", true]));
    const [small, , large] = garments.map(spanOf);
    const width = ({ left, right }: { left: number; right: number }) => right - left;
    expect(width(small!) / width(large!)).toBeCloseTo(300 / 560, 9);
    expect(large!.top).toBeGreaterThan(small!.bottom);
    expect(garmentsOf(brick!).map(({ fill }) => fill)).toEqual(["#a04030"]);
  });

  it("shows the back beside the front where something is printed there", () => {
    const [front, back] = garmentsOf(black!).map(spanOf);
    expect(front!.right).toBeLessThan(105);
    expect(back!.left).toBeGreaterThan(105);
    // Each in the middle of its half of the 180 mm.
    expect([(front!.left + front!.right) / 2, (back!.left + back!.right) / 2]).toEqual([
      expect.closeTo(60, 9),
      expect.closeTo(150, 9),
    ]);
    const only = spanOf(garmentsOf(brick!)[0]!);
    expect((only.left + only.right) / 2).toBeCloseTo(105, 9);
  });

  it("draws as large as there is room, and says how large", () => {
    const scaleOf = (page: SheetPage, widthMm: number) => {
      const { left, right } = spanOf(garmentsOf(page).at(-1)!);
      // With its sleeves a garment is 1.64 times as wide as its body.
      return (right - left) / (1.64 * widthMm);
    };
    // Two sides on 180 mm, with 6 mm between them.
    expect(scaleOf(black!, 560)).toBeCloseTo(84 / (1.64 * 560), 9);
    expect(texts(black!)).toContain("Drawn at 9.1 % of its size.");
    // Two rows in 170 mm, of a garment of 740 mm and 11 % of it above the collar's seam; 1 % is left free.
    const [narrow] = pagesOf(ORDER, SHOP.replace("560 mm", "510 mm"));
    expect(scaleOf(narrow!, 510)).toBeCloseTo(85 / (1.11 * 740) - 0.01, 9);
    // One row.
    expect(scaleOf(brick!, 500)).toBeCloseTo(170 / (1.11 * 700) - 0.01, 9);
    // One side, on 180 mm.
    const wide = pagesOf(
      ORDER,
      SHOP.replace("M: { width: 500 mm, height: 700 mm }", "M: { width: 900 mm, height: 500 mm }"),
    );
    expect(scaleOf(wide[1]!, 900)).toBeCloseTo(174 / (1.64 * 900), 9);
  });

  it("shows a usual adult's size where the shop keeps none of the line's, and says so where it keeps none at all", () => {
    const [, alone] = pagesOf(ORDER.replace(", M: 4", ""));
    expect(garmentsOf(alone!)).toHaveLength(1);
    // 21 × 28 in.
    const { left, right, top, bottom } = spanOf(garmentsOf(alone!)[0]!);
    expect((right - left) / (bottom - top)).toBeCloseTo((1.64 * 21) / (1.11 * 28), 6);
    expect(texts(alone!).filter((text) => text.startsWith("Drawn"))[0]).toMatch(/% of its size\.$/);
    const [none] = pagesOf(ORDER, "shop: 1\n");
    expect(texts(none!).filter((text) => text.startsWith("Drawn"))[0]).toMatch(
      /^Drawn at \d+\.\d % of its size, on a usual adult size\.$/,
    );
  });

  it("has each print on its side, at its place and size", () => {
    const pictures = of(black!, "picture");
    expect(pictures.map(({ png }) => new TextDecoder().decode(png))).toEqual([
      "front on black",
      "back on black",
      "front on black",
      "back on black",
    ]);
    const [, , garment, back] = garmentsOf(black!).map(spanOf);
    const scale = (garment!.right - garment!.left) / (1.64 * 560);
    const [, , front, behind] = pictures;
    expect([front!.width / scale, front!.height / scale]).toEqual([
      expect.closeTo(254, 6),
      expect.closeTo(127, 6),
    ]);
    // In the middle, 3 in below the collar's seam, which lies 11 % of the height below the shoulders.
    expect(front!.x + front!.width / 2).toBeCloseTo(60, 9);
    expect((front!.y - garment!.top) / scale).toBeCloseTo(0.11 * 740 + 76.2, 6);
    expect(behind!.x + behind!.width / 2).toBeCloseTo(150, 9);
    // The back's shoulders are as high as the front's.
    expect((back!.bottom - behind!.y) / scale).toBeCloseTo(740 - 76.2, 6);
    const [chest] = of(brick!, "picture");
    const one = spanOf(garmentsOf(brick!)[0]!);
    const brickScale = (one.right - one.left) / (1.64 * 500);
    expect((chest!.x + chest!.width / 2 - 105) / brickScale).toBeCloseTo(101.6, 6);
  });

  it("names each drawing under its middle", () => {
    const labels = of(black!, "text").filter(
      ({ text }) => /, (front|back)$/.test(text) && !text.includes(":"),
    );
    expect(labels.map(({ text }) => text)).toEqual(["YS, front", "YS, back", "L, front", "L, back"]);
    for (const [i, { text, x, y, size, grey }] of labels.entries()) {
      expect(x + letteringWidth(text, size) / 2).toBeCloseTo(i % 2 === 0 ? 60 : 150, 9);
      const { bottom } = spanOf(garmentsOf(black!)[i]!);
      expect([y - bottom, grey]).toEqual([expect.closeTo(4, 6), true]);
    }
    const [alone] = pagesOf(ORDER, "shop: 1\n");
    expect(texts(alone!)).toContain("front");
  });

  it("names the inks beside their colours, and each print with its size in mm and in", () => {
    const boxes = of(black!, "shape").filter(({ points }) => points.length === 4);
    expect(boxes.map(({ fill, edge }) => [fill, edge])).toEqual([
      ["#d8431f", true],
      ["#d06080", true],
    ]);
    for (const [i, { name }] of INKS.entries()) {
      const { left, right, top, bottom } = spanOf(boxes[i]!);
      const label = of(black!, "text").find(({ text }) => text === name)!;
      expect([right - left, bottom - top]).toEqual([expect.closeTo(5, 9), expect.closeTo(5, 9)]);
      expect([label.x - right, label.y - bottom]).toEqual([expect.closeTo(2, 9), expect.closeTo(-1, 9)]);
    }
    const [first, second] = boxes.map(spanOf);
    expect(second!.left).toBeGreaterThan(first!.right + 2 + letteringWidth("ember", 3.4));
    expect(second!.top).toBe(first!.top);
    expect(texts(black!).slice(-2)).toEqual([
      "front: front, 254 × 127 mm (10.0 × 5.0 in)",
      "back: back, 300 × 350 mm (11.8 × 13.8 in)",
    ]);
    expect(texts(brick!).at(-1)).toBe("chest: left chest, 90 × 80 mm (3.5 × 3.1 in)");
  });

  it("begins another row of inks where one is full", () => {
    const inks = Array.from({ length: 8 }, (_, i) => ({ name: `an ink of a name ${i}`, hex: "#112233" }));
    const [page] = pagesOf(ORDER, SHOP, { inksOf: () => inks });
    const boxes = of(page!, "shape")
      .filter(({ points }) => points.length === 4)
      .map(spanOf);
    const width = 7 + letteringWidth(inks[0]!.name, 3.4) + 5;
    const inRow = Math.floor(180 / width);
    for (const [i, { left, top }] of boxes.entries()) {
      expect(left).toBeCloseTo(LEFT + (i % inRow) * width, 0);
      expect(top - boxes[0]!.top).toBeCloseTo(7 * Math.floor(i / inRow), 9);
    }
    // The prints follow below the last row.
    const last = of(page!, "text").find(({ text }) => text.startsWith("front: "))!;
    expect(last.y).toBeGreaterThan(boxes.at(-1)!.bottom);
  });

  it("has all its rows on their lines", () => {
    expect(of(black!, "line")).toEqual([{ kind: "line", from: [LEFT, 31], to: [RIGHT, 31] }]);
    // Title, order, foot, line, counts; the drawing's note below its 170 mm, inks and prints.
    const rows = of(black!, "text").filter(({ x }) => x === LEFT);
    expect(rows.map(({ y, size }) => [y, size])).toEqual([
      [22, 8],
      [28, 3.6],
      [289, 2.8],
      [40, 6],
      [47, 4],
      [230, 3],
      [250, 3.4],
      [258, 3.4],
    ]);
    expect(spanOf(garmentsOf(black!)[0]!).top).toBeCloseTo(56, 9);
    expect(spanOf(of(black!, "shape").at(-1)!).top).toBe(238);
  });
});

describe("the last page", () => {
  const page = pagesOf().at(-1)!;

  it("counts each line's sizes as the shop lists them, those that it does not list behind, and all", () => {
    expect(texts(page).slice(3, 8)).toEqual([
      "How many of each",
      "black (front, back)",
      "YS 12   M 24   L 3   in all 39",
      "brick (chest)",
      "M 4   XXL 5   in all 9",
    ]);
  });

  it("has notes, cautions and lines to sign on", () => {
    for (const part of ["Please note", "– Wash first.", "Name", "Signature", "Date"])
      expect(texts(page)).toContain(part);
    // What a customer is told of any order: that colours and places are not exact.
    const notes = texts(page).join(" ");
    expect(notes).toContain("near to the print, not the same");
    expect(notes).toContain("up to 1 cm off its place");
    expect(texts(page).at(-1)).toBe("I have checked words, colours, places, sizes and numbers. Print it so.");
    const [rule, ...signed] = of(page, "line");
    expect(rule!.from).toEqual([LEFT, 31]);
    expect(signed.map(({ from, to }) => [from, to])).toEqual([
      [
        [15, 250],
        [67, 250],
      ],
      [
        [77, 250],
        [129, 250],
      ],
      [
        [139, 250],
        [191, 250],
      ],
    ]);
  });

  it("breaks what is too long between words, at as many as fit, and goes on under its beginning", () => {
    const words = Array.from({ length: 60 }, (_, i) => `word${i}`).join(" ");
    const long = pagesOf(ORDER, SHOP, { cautions: [words] }).at(-1)!;
    const rows = of(long, "text").filter(({ text }) => /word\d/.test(text));
    expect(rows.length).toBeGreaterThan(2);
    expect(rows.map(({ text }) => text.slice(0, 2))).toEqual(["– ", ...Array(rows.length - 1).fill("  ")]);
    expect(rows.map(({ text }) => text.slice(2)).join(" ")).toBe(words);
    const next = (i: number) => rows[i + 1]!.text.slice(2).split(" ")[0]!;
    for (const [i, { text, size }] of rows.entries()) {
      expect(letteringWidth(text.slice(2), size)).toBeLessThanOrEqual(174);
      if (i + 1 < rows.length)
        expect(letteringWidth(`${text.slice(2)} ${next(i)}`, size)).toBeGreaterThan(174);
    }
  });

  it("moves the signature down where there is much to note, clear of it", () => {
    const long = pagesOf(ORDER, SHOP, { cautions: Array(34).fill("A note.") }).at(-1)!;
    const notes = of(long, "text").filter(({ text }) => text === "– A note.");
    const checked = of(long, "text").at(-1)!;
    const [, first] = of(long, "line");
    expect(first!.from[1]).toBeGreaterThan(250);
    expect(checked.y).toBeGreaterThan(notes.at(-1)!.y + 4);
    expect(first!.from[1] - checked.y).toBe(14);
  });

  it("goes on on further pages where the order has many lines, and loses none of them", () => {
    const lines = Array.from(
      { length: 40 },
      (_, i) => `  - { garment: black, sizes: { M: ${100 + i} }, prints: [front] }\n`,
    );
    for (const count of [13, 14, 17, 18, 40]) {
      const order = ORDER.replace(/lines:\n[\s\S]*/, `lines:\n${lines.slice(0, count).join("")}`);
      const pages = pagesOf(order);
      const last = pages.slice(count);
      for (const [i, one] of pages.entries()) {
        const numbered = texts(one).filter((words) => words.startsWith("Sheet "));
        expect(numbered).toEqual([`Sheet ${i + 1} of ${pages.length} · 2026-01-02 · a test`]);
      }
      const told = last.flatMap(texts).filter((words) => words.startsWith("M "));
      expect(told).toEqual(lines.slice(0, count).map((_, i) => `M ${100 + i}   in all ${100 + i}`));
      // Nothing but the foot stands below 287 mm, and nothing stands on something else.
      for (const one of last) {
        const rows = of(one, "text").filter(({ text }) => !text.startsWith("Sheet "));
        expect(Math.max(...rows.map(({ y }) => y))).toBeLessThanOrEqual(287);
        const places = rows.map(({ x, y }) => `${x} ${y.toFixed(3)}`);
        expect(new Set(places).size).toBe(places.length);
      }
      expect(last.flatMap(texts).filter((words) => words === "Signature")).toHaveLength(1);
      expect(texts(last.at(-1)!)).toContain("Signature");
      // Garment and counts take 13.5 mm of the 242 mm; notes and signature want 55 mm.
      expect(last.length).toBe(count === 40 ? 3 : count > 13 ? 2 : 1);
      // A garment's name and its counts stay together.
      for (const one of last)
        expect(texts(one).filter((words) => words === "black (front)")).toHaveLength(
          texts(one).filter((words) => words.startsWith("M ")).length,
        );
    }
  });

  it("has all its rows on their lines", () => {
    const rows = of(page, "text").map(({ x, y, size, grey }) => [
      x,
      Number(y.toFixed(3)),
      size,
      grey === true,
    ]);
    expect(rows.slice(3, 10)).toEqual([
      [15, 40, 6, false],
      [15, 50, 4, false],
      [20, 56, 3.6, false],
      [15, 63.5, 4, false],
      [20, 69.5, 3.6, false],
      [15, 81, 5, false],
      [15, 87, 3, true],
    ]);
    expect(rows.slice(-4)).toEqual([
      [15, 255, 3, true],
      [77, 255, 3, true],
      [139, 255, 3, true],
      [15, 236, 4, false],
    ]);
    const noted = rows.slice(9, -4).map(([, y]) => y as number);
    for (const [i, y] of noted.slice(1).entries()) expect(y - noted[i]!).toBeCloseTo(4.4, 6);
  });
});
