import { type Order, type OrderLine, quantityOf } from "../../language/order.ts";
import type { Size } from "../../language/recipe.ts";
import { fitted, letteringWidth } from "../films/lettering.ts";
import type { Mark, SheetPage } from "../sheet/drawing.ts";
import { outline, printCorner, reach, type Side, sideOf } from "./garment.ts";

/** A print on one garment's colour as the customer sees it. */
export interface ShownPrint {
  readonly png: Uint8Array;
  readonly size: Size;
}

/** What the sheet shows; ΔE00 and findings are for the shop's ticket. */
export interface Approval {
  readonly order: Order;
  /** The pictures, by print and garment. */
  pictureOf(print: string, garment: string): ShownPrint;
  /** A garment's colour, as #rrggbb. */
  colourOf(garment: string): string;
  /** Names and colours of a line's inks. */
  inksOf(line: OrderLine): readonly { readonly name: string; readonly hex: string }[];
  readonly cautions: readonly string[];
  readonly date: string;
  readonly producer: string;
}

const PAGE = { width: 210, height: 297 };
const LEFT = 15;
const RIGHT = PAGE.width - 15;
const ROOM = RIGHT - LEFT;
/** Where the shop keeps no sizes: an adult's, common practice, no source. */
const USUAL: Size = { width: 533.4, height: 711.2 };

/** Lowest row of a page, above its foot. */
const LOWEST = 282;

/** The sheet to be signed: a page a line of the order, then sizes, cautions and the line for a signature. */
export function approvalPages(approval: Approval): SheetPage[] {
  const pages = [...approval.order.lines.map((line) => lineMarks(approval, line)), ...lastMarks(approval)];
  return pages.map((marks, i) => ({ ...PAGE, marks: [...head(approval, i, pages.length), ...marks] }));
}

function lineMarks(approval: Approval, line: OrderLine): Mark[] {
  const { order } = approval;
  const marks: Mark[] = [];
  marks.push(text(`${line.garment}: ${line.prints.join(", ")}`, LEFT, 40, 6));
  const counts = [...line.sizes].map(([size, count]) => `${count} ${size}`).join(" · ");
  marks.push(text(counts, LEFT, 47, 4));

  const shown = shownSizes(order, line);
  const sides = (["front", "back"] as const).filter(
    (side) =>
      side === "front" || line.prints.some((print) => sideOf(order.prints.get(print)!.place) === "back"),
  );
  // One scale for all on the page, so that a child's shirt looks like one.
  const scale = Math.min(
    ...shown.map(({ size }) => {
      const { half, above, below } = reach(size);
      return Math.min((ROOM / sides.length - 6) / (2 * half), ROWS / shown.length / (above + below) - 0.01);
    }),
  );
  for (const [row, one] of shown.entries()) {
    const top = 56 + (row * ROWS) / shown.length;
    for (const [column, side] of sides.entries()) {
      const middle = LEFT + (ROOM / sides.length) * (column + 0.5);
      marks.push(...garmentMarks(approval, line, side, one, { middle, top, scale }));
    }
  }
  const scaleText = `Drawn at ${(scale * 100).toFixed(1)} % of its size${order.sizes.size === 0 ? ", on a usual adult size" : ""}.`;
  marks.push(text(scaleText, LEFT, 56 + ROWS + 4, 3, true));
  marks.push(...inkMarks(approval, line, 56 + ROWS + 12));
  return marks;
}

/** Room for garments on a page. */
const ROWS = 170;

function head({ order, date, producer }: Approval, index: number, count: number): Mark[] {
  const title = order.title || "Order";
  const about = [
    order.number && `order ${order.number}`,
    order.customer,
    order.due && `promised for ${order.due}`,
  ].filter((part) => part !== undefined && part !== "");
  return [
    text(title, LEFT, 22, 8),
    text(about.join(" · "), LEFT, 28, 3.6, true),
    { kind: "line", from: [LEFT, 31], to: [RIGHT, 31] },
    text(`Sheet ${index + 1} of ${count} · ${date} · ${producer}`, LEFT, 289, 2.8, true),
  ];
}

interface ShownSize {
  readonly name: string | undefined;
  readonly size: Size;
}

/** The smallest and the largest of a line's sizes. */
function shownSizes({ sizes }: Order, line: OrderLine): ShownSize[] {
  const known = [...line.sizes.keys()]
    .flatMap((name) => {
      const size = sizes.get(name);
      return size ? [{ name, size }] : [];
    })
    .sort((a, b) => a.size.width - b.size.width);
  if (known.length === 0) return [{ name: undefined, size: USUAL }];
  return known.length === 1 ? known : [known[0]!, known.at(-1)!];
}

function garmentMarks(
  approval: Approval,
  line: OrderLine,
  side: Side,
  { name, size }: ShownSize,
  { middle, top, scale }: { readonly middle: number; readonly top: number; readonly scale: number },
): Mark[] {
  const { order } = approval;
  const { above, below } = reach(size);
  const at = ([x, y]: readonly [number, number]) => [middle + x * scale, top + (above + y) * scale] as const;
  const marks: Mark[] = [
    { kind: "shape", points: outline(size, side).map(at), fill: approval.colourOf(line.garment), edge: true },
  ];
  for (const printName of line.prints) {
    const print = order.prints.get(printName)!;
    if (sideOf(print.place) !== side) continue;
    const { png, size: printed } = approval.pictureOf(printName, line.garment);
    const [x, y] = at(printCorner(print, printed, size));
    marks.push({ kind: "picture", png, x, y, width: printed.width * scale, height: printed.height * scale });
  }
  const label = [name, side].filter((part) => part !== undefined).join(", ");
  marks.push(
    text(label, middle - letteringWidth(label, 3.2) / 2, top + (above + below) * scale + 4, 3.2, true),
  );
  return marks;
}

function inkMarks(approval: Approval, line: OrderLine, top: number): Mark[] {
  const { order } = approval;
  const marks: Mark[] = [];
  let [x, y] = [LEFT, top];
  for (const { name, hex } of approval.inksOf(line)) {
    const width = 7 + letteringWidth(name, 3.4) + 5;
    if (x + width > RIGHT) [x, y] = [LEFT, y + 7];
    marks.push({ kind: "shape", points: box(x, y, 5, 5), fill: hex, edge: true });
    marks.push(text(name, x + 7, y + 4, 3.4));
    x += width;
  }
  for (const name of line.prints) {
    y += 8;
    const { place } = order.prints.get(name)!;
    const { width, height } = approval.pictureOf(name, line.garment).size;
    const size = `${name}: ${place.replace("-", " ")}, ${width.toFixed(0)} × ${height.toFixed(0)} mm (${inches(width)} × ${inches(height)} in)`;
    marks.push(text(size, LEFT, y + 4, 3.4));
  }
  return marks;
}

/** The last page, or as many as the order's lines take. */
function lastMarks(approval: Approval): Mark[][] {
  const { order } = approval;
  const pages: Mark[][] = [[]];
  let y = 40;
  const turn = () => {
    pages.push([]);
    y = 40;
  };
  /** With `heads` the next row stays on its page. */
  const row = (
    words: string,
    x: number,
    size: number,
    step: number,
    { grey = false, heads = false } = {},
  ) => {
    if (y + (heads ? step : 0) > LOWEST) turn();
    pages.at(-1)!.push(text(words, x, y, size, grey));
    y += step;
  };
  row("How many of each", LEFT, 6, 10);
  const sizes = [...new Set(order.lines.flatMap((line) => [...line.sizes.keys()]))];
  const known = [...order.sizes.keys()];
  // As the shop lists them; what it does not list stands behind.
  sizes.sort((a, b) => place(a) - place(b));
  function place(size: string): number {
    return known.includes(size) ? known.indexOf(size) : known.length;
  }
  for (const line of order.lines) {
    row(`${line.garment} (${line.prints.join(", ")})`, LEFT, 4, 6, { heads: true });
    const counts = sizes.flatMap((size) => {
      const count = line.sizes.get(size);
      return count === undefined ? [] : [`${size} ${count}`];
    });
    for (const words of wrapped(`${counts.join("   ")}   in all ${quantityOf(line)}`, 3.6))
      row(words, LEFT + 5, 3.6, 5.5);
    y += 2;
  }
  y += 4;
  row("Please note", LEFT, 5, 6, { heads: true });
  const notes = [
    "Colours on a screen and on paper are near to the print, not the same; the named inks are what is printed.",
    "A print may lie up to 1 cm off its place; sewn garments differ by as much.",
    ...approval.cautions,
  ];
  for (const note of notes)
    for (const [i, words] of wrapped(note, 3).entries())
      row(i === 0 ? `– ${words}` : `  ${words}`, LEFT, 3, 4.4, { grey: true });
  if (y + 22 > LOWEST - 5) turn();
  const sign = Math.max(y + 22, 250);
  const marks = pages.at(-1)!;
  for (const [x, what] of [
    [LEFT, "Name"],
    [LEFT + 62, "Signature"],
    [LEFT + 124, "Date"],
  ] as const) {
    marks.push({ kind: "line", from: [x, sign], to: [x + 52, sign] });
    marks.push(text(what, x, sign + 5, 3, true));
  }
  marks.push(
    text("I have checked words, colours, places, sizes and numbers. Print it so.", LEFT, sign - 14, 4),
  );
  return pages;
}

/** Lines of words that fit the page. */
function wrapped(words: string, size: number): string[] {
  const rows: string[] = [];
  let row = "";
  for (const word of words.split(" ")) {
    const longer = row === "" ? word : `${row} ${word}`;
    if (row !== "" && letteringWidth(longer, size) > ROOM - 6) {
      rows.push(row);
      row = word;
    } else row = longer;
  }
  return [...rows, row];
}

function text(words: string, x: number, y: number, size: number, grey = false): Mark {
  return { kind: "text", text: fitted(words, size, RIGHT - x), x, y, size, ...(grey ? { grey } : {}) };
}

function box(x: number, y: number, width: number, height: number) {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ] as const;
}

function inches(mm: number): string {
  return (mm / 25.4).toFixed(1);
}
