import type { Recipe, Setup } from "../recipe.ts";
import { alike, type Change, keysOf } from "./change.ts";

type Names = ReadonlyMap<string, string>;

/**
 * The old recipe in the new one's names, where something only got another name: one thing gone and one come that are
 * alike in all else. So what is renamed is told once, and not as a difference of everything that names it.
 */
export function inNewNames(
  before: Recipe,
  after: Recipe,
): { recipe: Recipe; changes: Change[]; plateName: (old: string) => string } {
  const changes: Change[] = [];
  const told = (kind: string, names: Names) => {
    for (const [from, to] of names) {
      const subject = kind === "plate" ? to : `${kind} ${to}`;
      changes.push({
        subject,
        plates: kind === "plate" ? [to] : [],
        text: `was called ${from}`,
        prints: false,
      });
    }
    return (name: string) => names.get(name) ?? name;
  };

  const usedInks = new Map([...before.inks].filter(([name]) => uses(before, name)));
  const ink = told("ink", renamed(usedInks, new Map([...after.inks].filter(([name]) => uses(after, name)))));
  const garment = told("garment", renamed(before.garments, after.garments));
  const inked = new Map([...before.plates].map(([name, plate]) => [name, { ...plate, ink: ink(plate.ink) }]));
  const bare = (plates: Recipe["plates"]) =>
    new Map([...plates].map(([name, plate]) => [name, { ...plate, name: "" }]));
  const plate = told("plate", renamed(bare(inked), bare(after.plates)));
  const setups = new Map(
    [...before.setups].map(([name, setup]): [string, Setup] => [
      name,
      {
        ...setup,
        garments: setup.garments.map(garment),
        order: setup.order.map((step) => (typeof step === "string" ? step : { plate: plate(step.plate) })),
      },
    ]),
  );
  const setup = told("setup", renamed(setups, after.setups));

  const recipe: Recipe = {
    ...before,
    inks: keyed(before.inks, ink),
    garments: keyed(before.garments, garment),
    plates: new Map([...inked].map(([name, one]) => [plate(name), { ...one, name: plate(name) }])),
    adjustments: before.adjustments.map((one) => ({ ...one, plate: plate(one.plate) })),
    merges: before.merges.map(({ fold, into }) => ({ fold: plate(fold), into: plate(into) })),
    knockouts: before.knockouts.map((one) => ({ ...one, from: plate(one.from), where: plate(one.where) })),
    traps: before.traps.map((one) => ({
      ...one,
      plate: plate(one.plate),
      under: one.under === undefined ? undefined : plate(one.under),
    })),
    setups: keyed(setups, setup),
    process: before.process && {
      ...before.process,
      cyan: plate(before.process.cyan),
      magenta: plate(before.process.magenta),
      yellow: plate(before.process.yellow),
      black: plate(before.process.black),
    },
    solve: {
      ...before.solve,
      garments: before.solve.garments && keyed(before.solve.garments, garment),
    },
  };
  return { recipe, changes, plateName: plate };
}

function uses({ plates }: Recipe, ink: string): boolean {
  return [...plates.values()].some((plate) => plate.ink === ink);
}

/** Old names and new ones of things that are alike; each is taken once, in the file's order. */
function renamed(before: ReadonlyMap<string, unknown>, after: ReadonlyMap<string, unknown>): Names {
  const { gone, come } = keysOf(before, after);
  const names = new Map<string, string>();
  for (const to of come) {
    const from = gone.find((name) => !names.has(name) && alike(before.get(name), after.get(to)));
    if (from !== undefined) names.set(from, to);
  }
  return names;
}

function keyed<T>(map: ReadonlyMap<string, T>, name: (old: string) => string): Map<string, T> {
  return new Map([...map].map(([key, value]) => [name(key), value]));
}
