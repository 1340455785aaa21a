import type { SourceDocument } from "./document.ts";
import type * as Formats from "./generated/formats.ts";
import type { Size } from "./recipe.ts";
import { parseLength, parsePosition } from "./values/length.ts";
import { read } from "./values/parsed.ts";

/** An order with every quantity in one unit. */
export interface Order {
  readonly title: string;
  readonly number: string | undefined;
  readonly customer: string | undefined;
  /** As year, month and day. */
  readonly due: string | undefined;
  /** In the order of the file. */
  readonly prints: ReadonlyMap<string, OrderPrint>;
  readonly lines: readonly OrderLine[];
  /** The shop's sizes, laid flat. */
  readonly sizes: ReadonlyMap<string, Size>;
  /** Width of the film device's roll. */
  readonly rollMm: number | undefined;
}

export type Place = Formats.Place;

export interface OrderPrint {
  /** Path as the order writes it. */
  readonly recipe: string;
  /** As the order writes it; undefined where the recipe's counts. */
  readonly width: string | undefined;
  readonly place: Place;
  /** From the collar's seam to the print's upper edge; on a sleeve from its hem to the lower edge. */
  readonly downMm: number;
  /** From the garment's or the sleeve's middle to the print's, towards the viewer's right. */
  readonly acrossMm: number;
  readonly keep: boolean;
}

export interface OrderLine {
  readonly garment: string;
  readonly sizes: ReadonlyMap<string, number>;
  readonly prints: readonly string[];
}

/** Where an order does not say. Print shops' size guides: 2 to 3 in below the collar on front and back; others common practice, no source. */
const DOWN: Readonly<Record<Place, string>> = {
  front: "3 in",
  back: "3 in",
  "left-chest": "4 in",
  "right-chest": "4 in",
  "left-sleeve": "1 in",
  "right-sleeve": "1 in",
};
/** The wearer's left is the viewer's right. */
const ACROSS: Readonly<Partial<Record<Place, string>>> = { "left-chest": "4 in", "right-chest": "-4 in" };

/** The order that the documents mean. Both must be free of errors. */
export function resolveOrder(orderDoc: SourceDocument, shopDoc?: SourceDocument): Order {
  const order = orderDoc.value as Formats.Order;
  const shop = shopDoc?.value as Formats.Shop | undefined;
  return {
    title: order.title ?? "",
    number: order.number,
    customer: order.customer,
    due: order.due,
    prints: new Map(
      Object.entries(order.prints).map(([name, print]) => [
        name,
        {
          recipe: print.recipe,
          width: print.width,
          place: print.place,
          downMm: read(parseLength(print.down ?? DOWN[print.place])),
          acrossMm: read(parsePosition(print.across ?? ACROSS[print.place] ?? "0 mm")),
          keep: print.keep ?? false,
        },
      ]),
    ),
    lines: order.lines.map(({ garment, sizes, prints }) => ({
      garment,
      sizes: new Map(Object.entries(sizes)),
      prints,
    })),
    sizes: new Map(
      Object.entries(shop?.sizes ?? {}).map(([name, { width, height }]) => [
        name,
        { width: read(parseLength(width)), height: read(parseLength(height)) },
      ]),
    ),
    rollMm: shop?.film?.roll === undefined ? undefined : read(parseLength(shop.film.roll)),
  };
}

/** Garments of a line. */
export function quantityOf({ sizes }: OrderLine): number {
  return [...sizes.values()].reduce((sum, count) => sum + count, 0);
}
