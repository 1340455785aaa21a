import { blocksOf, type Fields, fieldsOf, listOf, textsOf } from "../../language/partial-data.ts";
import { parseLength } from "../../language/values/length.ts";
import type { OrderContext, OrderRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** A place takes one print. */
export const placeTwice: OrderRule = {
  id: "place-twice",
  looksAt: "order",
  level: "error",
  why: "Two prints at the same place print on top of each other.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      prints:
        front: { recipe: a.sep.yaml, place: front }
        again: { recipe: a.sep.yaml, width: 9 in, place: front }
      lines:
        - { garment: black, sizes: { M: 24 }, prints: [front, again] }
    `,
    passes: yaml`
      prints:
        front: { recipe: a.sep.yaml, place: front }
        again: { recipe: a.sep.yaml, width: 9 in, place: back }
      lines:
        - { garment: black, sizes: { M: 24 }, prints: [front, again] }
    `,
  },
  *check({ doc }) {
    const prints = new Map(blocksOf(doc.value, "prints"));
    for (const [i, line] of listOf(doc.value, "lines")) {
      const taken = new Map<unknown, string>();
      for (const [at, name] of textsOf(line.prints)) {
        const place = prints.get(name)?.place;
        if (typeof place !== "string") continue;
        const other = taken.get(place);
        taken.set(place, name);
        if (other === undefined) continue;
        yield {
          path: ["lines", i, "prints", at],
          message:
            other === name
              ? `print ${name} stands here twice; take one out`
              : `${other} and ${name} both print on the ${place}; give one of them another place, or another line`,
        };
      }
    }
  },
};

/** A print must fit the smallest garment that gets it. */
export const printTooWide: OrderRule = {
  id: "print-too-wide",
  looksAt: "order",
  level: "warning",
  why: "A width that suits an XL runs into the seams and under the arms of a child's shirt.",
  source:
    "The shop's own sizes; two inches (51 mm) to each side seam on front and back, and a third of the width for a chest or a sleeve, are common practice, no source.",
  example: {
    fails: yaml`
      sizes: { YS: { width: 15 in, height: 20 in }, L: { width: 22 in, height: 29 in } }
      lines:
        - { garment: black, sizes: { YS: 12, L: 24 }, prints: [front] }
      prints:
        front: { recipe: a.sep.yaml, width: 12 in, place: front }
    `,
    passes: yaml`
      sizes: { YS: { width: 15 in, height: 20 in }, L: { width: 22 in, height: 29 in } }
      lines:
        - { garment: black, sizes: { YS: 12 }, prints: [small] }
        - { garment: black, sizes: { L: 24 }, prints: [front] }
      prints:
        front: { recipe: a.sep.yaml, width: 12 in, place: front }
        small: { recipe: a.sep.yaml, width: 9 in, place: front }
    `,
  },
  *check(context) {
    const { doc, shop } = context;
    const widths = new Map(
      blocksOf(shop?.doc.value, "sizes").flatMap(([name, { width }]) => {
        const widthMm = lengthOf(width);
        return widthMm === undefined ? [] : [[name, widthMm] as const];
      }),
    );
    const prints = new Map(blocksOf(doc.value, "prints"));
    for (const [i, line] of listOf(doc.value, "lines")) {
      const known = Object.keys(fieldsOf(line.sizes)).flatMap((name) => {
        const widthMm = widths.get(name);
        return widthMm === undefined ? [] : [{ name, widthMm }];
      });
      const smallest = known.sort((a, b) => a.widthMm - b.widthMm)[0];
      if (!smallest) continue;
      for (const [at, name] of textsOf(line.prints)) {
        const print = prints.get(name);
        const widthMm = print && widthOf(context, print);
        const room = roomFor(print?.place, smallest.widthMm);
        if (widthMm === undefined || widthMm <= room) continue;
        yield {
          path: ["lines", i, "prints", at],
          message: `${name} is ${mm(widthMm)} wide, and size ${smallest.name} has room for ${mm(room)} there; give that size a print of its own, ${mm(Math.floor(room))} wide or less`,
        };
      }
    }
  },
};

const SEAM_MM = 50.8;

function roomFor(place: unknown, widthMm: number): number {
  return place === "front" || place === "back" ? widthMm - 2 * SEAM_MM : widthMm / 3;
}

/** Printed width: the order's, else its recipe's. */
function widthOf({ recipes }: OrderContext, { width, recipe }: Fields): number | undefined {
  const artwork = fieldsOf(fieldsOf(recipes.get(String(recipe))?.doc.value).artwork);
  return lengthOf(width ?? artwork.width);
}

function lengthOf(text: unknown): number | undefined {
  const read = typeof text === "string" ? parseLength(text) : undefined;
  return read?.ok && read.value > 0 ? read.value : undefined;
}

/** Regions in millimetres stay where they are when the order prints the recipe in another width. */
export const regionStays: OrderRule = {
  id: "region-stays",
  looksAt: "order",
  level: "warning",
  why: "A region in millimetres does not scale with the print: at another width it adjusts another part of the picture.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      # The recipe is 10 in wide, and its region is written in inches.
      prints:
        front: { recipe: region.sep.yaml, width: 8 in, place: front }
    `,
    passes: yaml`
      prints:
        front: { recipe: region.sep.yaml, place: front }
    `,
  },
  *check(context) {
    for (const [name, print] of blocksOf(context.doc.value, "prints")) {
      const path = String(print.recipe);
      const recipe = context.recipes.get(path)?.doc.value;
      const own = lengthOf(fieldsOf(fieldsOf(recipe).artwork).width);
      const widthMm = lengthOf(print.width);
      if (own === undefined || widthMm === undefined || Math.abs(own - widthMm) < 1e-6) continue;
      const fixed = listOf(recipe, "adjust").filter(([, { region }]) => holdsLength(region));
      if (fixed.length === 0) continue;
      const plates = [...new Set(fixed.map(([, { plate }]) => String(plate)))].join(", ");
      yield {
        path: ["prints", name, "width"],
        message: `this is ${mm(widthMm)} and ${path} is made for ${mm(own)}; its regions on ${plates} in mm or in stay where they are: write them in percent`,
      };
    }
  },
};

/** Whether some length in it is no percentage. */
function holdsLength(part: unknown): boolean {
  if (typeof part === "string") return !part.trim().endsWith("%");
  if (Array.isArray(part)) return part.some(holdsLength);
  return Object.values(fieldsOf(part)).some(holdsLength);
}

/** A print that no garment gets. */
export const unorderedPrint: OrderRule = {
  id: "unordered-print",
  looksAt: "order",
  level: "warning",
  why: "A print that no line of the order names gets films and screens for nothing, or was forgotten on a line.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      prints:
        front: { recipe: a.sep.yaml, place: front }
        back: { recipe: a.sep.yaml, place: back }
    `,
    passes: yaml`
      prints:
        front: { recipe: a.sep.yaml, place: front }
        back: { recipe: a.sep.yaml, place: back }
      lines:
        - { garment: black, sizes: { M: 24 }, prints: [front, back] }
    `,
  },
  *check({ doc, symbols }) {
    const used = new Set(symbols.references.filter(({ kind }) => kind === "print").map(({ name }) => name));
    for (const [name] of blocksOf(doc.value, "prints")) {
      if (used.has(name)) continue;
      yield {
        path: ["prints", name],
        part: "key",
        message: `no line names print ${name}; put it on a line, or take it out`,
      };
    }
  },
};
