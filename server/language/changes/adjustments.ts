import type { Region } from "../../engine/plan.ts";
import { lessonText } from "../lessons.ts";
import type { Adjustment, Lesson } from "../recipe.ts";
import { alike, type Change, number, same } from "./change.ts";

/** What changed in the tone curves. Their order counts within a plate, not between plates. */
export function adjustmentChanges(before: readonly Adjustment[], after: readonly Adjustment[]): Change[] {
  const plates = new Set([...after, ...before].map(({ plate }) => plate));
  return [...plates].flatMap((plate) => {
    const of = (list: readonly Adjustment[]) => list.filter((one) => one.plate === plate);
    return ofPlate(of(before), of(after)).map(
      ({ text, prints }): Change => ({ subject: plate, plates: [plate], text, prints }),
    );
  });
}

/**
 * The adjustments of a recipe whose artwork was so much narrower than the other's, with those regions moved along that
 * grew with it: they are told in percent of its width, and did not change.
 */
export function grownWith(
  ratio: number,
  before: readonly Adjustment[],
  after: readonly Adjustment[],
): readonly Adjustment[] {
  if (same(ratio, 1)) return before;
  return before.map((one) => {
    const region = one.region && (grown(one.region, ratio) as Region);
    const grew = after.some((other) => other.plate === one.plate && alike(other.region, region));
    return grew ? { ...one, region } : one;
  });
}

/** Every number in it times the ratio. */
function grown(part: unknown, ratio: number): unknown {
  if (typeof part === "number") return part * ratio;
  if (Array.isArray(part)) return part.map((one) => grown(one, ratio));
  if (typeof part !== "object" || part === null) return part;
  return Object.fromEntries(Object.entries(part).map(([key, one]) => [key, grown(one, ratio)]));
}

type Said = Pick<Change, "text" | "prints">;

function ofPlate(before: readonly Adjustment[], after: readonly Adjustment[]): Said[] {
  const [gone, come] = [[...before], [...after]];
  const said: Said[] = [];
  // From both ends inwards: what was put in or taken out leaves the rest where it was.
  const drop = (from: "shift" | "pop") => {
    for (;;) {
      const at = from === "shift" ? 0 : -1;
      const [a, b] = [gone.at(at), come.at(at)];
      if (!a || !b || !prints(a, b)) return;
      said.push(...lessonChange(a.lesson, b.lesson, "tone curve"));
      gone[from]();
      come[from]();
    }
  };
  drop("shift");
  drop("pop");
  if (gone.length === come.length && gone.length > 1) {
    const sorted = (list: readonly Adjustment[]) =>
      list.map(({ curve, region }) => JSON.stringify([curve, region])).sort();
    if (alike(sorted(gone), sorted(come)))
      return [...said, { text: "tone curves in another order", prints: true }];
  }
  while (gone.length > 0 && come.length > 0) said.push(...curveChange(gone.shift()!, come.shift()!));
  for (const one of come)
    said.push({
      text: `tone curve added${placeText(one.region)}: ${curveText(one)}${why(one.lesson)}`,
      prints: true,
    });
  for (const one of gone)
    said.push({ text: `tone curve taken out${placeText(one.region)}: ${curveText(one)}`, prints: true });
  return said;
}

function prints(a: Adjustment, b: Adjustment): boolean {
  return alike([a.curve, a.region], [b.curve, b.region]);
}

function curveChange(before: Adjustment, after: Adjustment): Said[] {
  const said: Said[] = [];
  if (!alike(before.curve, after.curve)) {
    const text = `tone curve${placeText(after.region)} ${curveText(before)} becomes ${curveText(after)}`;
    said.push({ text: text + why(after.lesson), prints: true });
  } else said.push(...lessonChange(before.lesson, after.lesson, "tone curve"));
  if (!alike(before.region, after.region)) {
    const was = placeText(before.region) || " everywhere";
    said.push({
      text: `tone curve${was} now works${placeText(after.region) || " everywhere"}`,
      prints: true,
    });
  }
  return said;
}

/** A lesson by itself prints nothing, but says why. */
export function lessonChange(before: Lesson | undefined, after: Lesson | undefined, what: string): Said[] {
  if (before?.date === after?.date && before?.because === after?.because) return [];
  const text = after
    ? `lesson noted for its ${what} (${lessonText(after)})`
    : `lesson of its ${what} taken out (${lessonText(before!)})`;
  return [{ text, prints: false }];
}

export function why(lesson: Lesson | undefined): string {
  return lesson ? ` (${lessonText(lesson)})` : "";
}

function curveText({ curve }: Adjustment): string {
  return curve.map(([tone, out]) => `${number(tone)}→${number(out)}`).join(" ");
}

function placeText(region: Region | undefined): string {
  if (!region) return "";
  const at = (x: number, y: number) => `${number(x)} × ${number(y)} mm`;
  const feather = region.feather > 0 ? `, feather ${number(region.feather)} mm` : "";
  switch (region.shape) {
    case "ellipse":
      return ` in an ellipse at ${at(...region.centre)}, radii ${at(...region.radii)}${feather}`;
    case "rectangle":
      return ` in a rectangle from ${at(...region.from)} to ${at(...region.to)}${feather}`;
    case "polygon":
      return ` in a polygon of ${region.points.length} corners${feather}`;
  }
}
