import { type Order, type OrderPrint, quantityOf } from "../order.ts";
import { type Change, keysOf, mm, same } from "./change.ts";

/** What a person would say that changed from one order to the other: the order itself, its prints, then quantities. */
export function orderChanges(before: Order, after: Order): Change[] {
  const said: Change[] = [];
  const change = (subject: string, text: string, prints: boolean) =>
    said.push({ subject, plates: [], text, prints });
  for (const key of ["title", "number", "customer", "due"] as const)
    if (before[key] !== after[key])
      change("order", `${key} ${quoted(before[key])} → ${quoted(after[key])}`, false);

  const prints = keysOf(before.prints, after.prints);
  for (const name of prints.come) change(`print ${name}`, `new, ${printText(after.prints.get(name)!)}`, true);
  for (const name of prints.gone) change(`print ${name}`, "taken out", true);
  for (const name of prints.kept)
    for (const { text, prints: does } of printChanges(before.prints.get(name)!, after.prints.get(name)!))
      change(`print ${name}`, text, does);

  const lines = keysOf(linesOf(before), linesOf(after));
  for (const key of lines.come) change(key, `new: ${countsText(linesOf(after).get(key)!)}`, true);
  for (const key of lines.gone)
    change(key, `taken out; it was ${countsText(linesOf(before).get(key)!)}`, true);
  for (const key of lines.kept) {
    const [was, is] = [linesOf(before).get(key)!, linesOf(after).get(key)!];
    for (const size of new Set([...is.keys(), ...was.keys()])) {
      const [a, b] = [was.get(size) ?? 0, is.get(size) ?? 0];
      if (a !== b) change(key, `size ${size} ${a} → ${b}`, true);
    }
  }
  const [was, is] = [before, after].map(({ lines: all }) =>
    all.reduce((sum, line) => sum + quantityOf(line), 0),
  );
  if (was !== is) change("garments in all", `${was} → ${is}`, true);
  return said;
}

/** Quantities by garment and prints; lines that say the same are added up. */
function linesOf({ lines }: Order): Map<string, Map<string, number>> {
  const found = new Map<string, Map<string, number>>();
  for (const { garment, prints, sizes } of lines) {
    const key = `${garment} with ${[...prints].sort().join(", ")}`;
    const counts = found.get(key) ?? new Map<string, number>();
    for (const [size, count] of sizes) counts.set(size, (counts.get(size) ?? 0) + count);
    found.set(key, counts);
  }
  return found;
}

function countsText(counts: ReadonlyMap<string, number>): string {
  return [...counts].map(([size, count]) => `${size} ${count}`).join(", ");
}

function printChanges(was: OrderPrint, is: OrderPrint): Pick<Change, "text" | "prints">[] {
  const said: Pick<Change, "text" | "prints">[] = [];
  const say = (text: string, prints = true) => said.push({ text, prints });
  if (was.recipe !== is.recipe) say(`recipe ${was.recipe} → ${is.recipe}`);
  if (was.width !== is.width)
    say(`width ${was.width ?? "as its recipe says"} → ${is.width ?? "as its recipe says"}`);
  if (was.place !== is.place) say(`place ${was.place} → ${is.place}`);
  if (!same(was.downMm, is.downMm)) say(`down ${mm(was.downMm)} → ${mm(is.downMm)}`);
  if (!same(was.acrossMm, is.acrossMm)) say(`across ${mm(was.acrossMm)} → ${mm(is.acrossMm)}`);
  if (was.keep !== is.keep) say(is.keep ? "its screens are kept" : "its screens are no longer kept", false);
  return said;
}

function printText({ recipe, place, width }: OrderPrint): string {
  return `${recipe} on the ${place}${width === undefined ? "" : `, ${width} wide`}`;
}

function quoted(text: string | undefined): string {
  return text === undefined || text === "" ? "not said" : `“${text}”`;
}
