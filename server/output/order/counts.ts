import { type Order, type OrderPrint, quantityOf } from "../../language/order.ts";
import type { Recipe, Setup } from "../../language/recipe.ts";
import { filmedPlates } from "../films/setup-films.ts";

/** One setup of one print, and what it prints in this order. */
export interface SetUp {
  /** Name of the print in the order. */
  readonly print: string;
  readonly setup: string;
  readonly garments: readonly string[];
  /** How many garments it prints. */
  readonly count: number;
  readonly stations: number;
  readonly flashes: number;
}

/** The screens of one print: one a plate, whatever the setups. */
export interface Screens {
  readonly print: string;
  readonly plates: readonly string[];
  /** Whether they stay for the next order. */
  readonly keep: boolean;
}

/** What an office counts. */
export interface Counts {
  readonly garments: number;
  /** Garments times their prints. */
  readonly impressions: number;
  readonly setUps: readonly SetUp[];
  readonly screens: readonly Screens[];
}

/** Sums of an order; `recipes` has the recipe of each print, at its width. */
export function countOrder(order: Order, recipes: ReadonlyMap<string, Recipe>): Counts {
  const setUps = [...order.prints.keys()].flatMap((print) => setUpsOf(order, print, recipes.get(print)!));
  return {
    garments: order.lines.reduce((sum, line) => sum + quantityOf(line), 0),
    impressions: setUps.reduce((sum, { count }) => sum + count, 0),
    setUps,
    screens: [...order.prints].map(([print, { keep }]) =>
      screensOf(print, keep, setUps, recipes.get(print)!),
    ),
  };
}

function setUpsOf(order: Order, print: string, recipe: Recipe): SetUp[] {
  const lines = order.lines.filter(({ prints }) => prints.includes(print));
  const used = new Map<string, Map<string, number>>();
  for (const line of lines) {
    const name = setupFor(recipe, line.garment);
    if (name === undefined) continue;
    const garments = used.get(name) ?? new Map<string, number>();
    used.set(name, garments.set(line.garment, (garments.get(line.garment) ?? 0) + quantityOf(line)));
  }
  // In the recipe's order of setups, whatever the order's lines.
  return [...recipe.setups.keys()].flatMap((name) => {
    const garments = used.get(name);
    if (!garments) return [];
    const { order: steps } = recipe.setups.get(name)!;
    return [
      {
        print,
        setup: name,
        garments: [...garments.keys()],
        count: [...garments.values()].reduce((sum, n) => sum + n, 0),
        stations: steps.length,
        flashes: steps.filter((step) => step === "flash").length,
      },
    ];
  });
}

/** The first setup that prints on a garment. */
export function setupFor({ setups }: Recipe, garment: string): string | undefined {
  return [...setups].find(([, setup]: [string, Setup]) => setup.garments.includes(garment))?.[0];
}

function screensOf(
  print: string,
  keep: OrderPrint["keep"],
  setUps: readonly SetUp[],
  recipe: Recipe,
): Screens {
  const plates = setUps
    .filter((one) => one.print === print)
    .flatMap(({ setup }) => filmedPlates(recipe, recipe.setups.get(setup)!).map(({ name }) => name));
  return { print, plates: [...new Set(plates)], keep };
}
