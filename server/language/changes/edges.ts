import type { Knockout, Recipe, Trap } from "../recipe.ts";
import { percentage } from "../words.ts";
import { type Change, keysOf, mm, numbers, same } from "./change.ts";

/** Knockouts and traps: what is taken out where, and edges drawn in or pushed out. */
export function edgeChanges(before: Recipe, after: Recipe): Change[] {
  return [
    ...knockoutChanges(before, after),
    ...trapChanges(before, after),
    ...neighbourChanges(before.neighbours?.distanceMm ?? 0, after.neighbours?.distanceMm ?? 0),
  ];
}

function knockoutChanges(before: Recipe, after: Recipe): Change[] {
  const { gone, come, kept } = keysOf(knockouts(before), knockouts(after));
  const [was, is] = [knockouts(before), knockouts(after)];
  const change = (key: string, text: string): Change => {
    const [from = "", where] = JSON.parse(key) as [string, string];
    return { subject: from, plates: [from], text: text.replace("…", () => `${where}`), prints: true };
  };
  const said = ({ above, chokeMm }: Hole) =>
    `${above > 0 ? ` above ${percentage(above)}` : ""}${chokeMm > 0 ? `, choke ${mm(chokeMm)}` : ""}`;
  return [
    ...come.map((key) => change(key, `knocked out under …${is.get(key)!.map(said).join(" and")}`)),
    ...gone.map((key) => change(key, "no longer knocked out under …")),
    ...kept.flatMap((key) => {
      const [a, b] = [was.get(key)!, is.get(key)!];
      if (a.length === b.length && a.every((hole, i) => sameHole(hole, b[i]!))) return [];
      if (a.length === 1 && b.length === 1)
        return [change(key, `knockout under …: ${between(a[0]!, b[0]!)}`)];
      return [change(key, `knocked out under … ${a.length} → ${b.length} times`)];
    }),
  ];
}

type Hole = Pick<Knockout, "above" | "chokeMm">;

function sameHole(a: Hole, b: Hole): boolean {
  return same(a.above, b.above) && same(a.chokeMm, b.chokeMm);
}

function between(a: Hole, b: Hole): string {
  return [
    ...(same(a.above, b.above) ? [] : [`above ${numbers(a.above * 100, b.above * 100, " %")}`]),
    ...(same(a.chokeMm, b.chokeMm) ? [] : [`choke ${numbers(a.chokeMm, b.chokeMm, " mm")}`]),
  ].join(", ");
}

/** Holes, by which plate is knocked out where which other prints. */
function knockouts({ knockouts: list }: Recipe): Map<string, Hole[]> {
  const holes = new Map<string, Hole[]>();
  for (const { from, where, above, chokeMm } of list) {
    const key = JSON.stringify([from, where]);
    holes.set(
      key,
      [...(holes.get(key) ?? []), { above, chokeMm }].sort(
        (a, b) => a.chokeMm - b.chokeMm || a.above - b.above,
      ),
    );
  }
  return holes;
}

function trapChanges(before: Recipe, after: Recipe): Change[] {
  const of = ({ traps }: Recipe) =>
    new Map(
      traps
        .filter(({ distanceMm }) => distanceMm > 0)
        .map((trap) => [JSON.stringify([trap.plate, trap.under]), trap]),
    );
  const [was, is] = [of(before), of(after)];
  const { gone, come, kept } = keysOf(was, is);
  const change = (key: string, text: string): Change => {
    const [plate = ""] = JSON.parse(key) as [string];
    return { subject: plate, plates: [plate], text, prints: true };
  };
  return [
    ...come.map((plate) => change(plate, `now ${trapText(is.get(plate)!)}`)),
    ...gone.map((plate) => change(plate, `no longer ${trapText(was.get(plate)!)}`)),
    ...kept.flatMap((plate) => {
      const [a, b] = [was.get(plate)!, is.get(plate)!];
      if (a.way !== b.way) return [change(plate, `${trapText(a)} → ${trapText(b)}`)];
      if (same(a.distanceMm, b.distanceMm)) return [];
      return [change(plate, `${a.way}${underText(a)} ${numbers(a.distanceMm, b.distanceMm, " mm")}`)];
    }),
  ];
}

function trapText(trap: Trap): string {
  return `${trap.way === "choke" ? "choked" : "spread"}${underText(trap)} ${mm(trap.distanceMm)}`;
}

function underText({ under }: Trap): string {
  return under === undefined ? "" : ` under ${under}`;
}

function neighbourChanges(was: number, is: number): Change[] {
  if (same(was, is)) return [];
  const text =
    was === 0
      ? `plates now spread under darker neighbours by ${mm(is)}`
      : is === 0
        ? "plates no longer spread under darker neighbours"
        : `plates spread under darker neighbours: ${numbers(was, is, " mm")}`;
  return [{ subject: "traps", plates: [], text, prints: true }];
}
