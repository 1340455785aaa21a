import type { Lesson, Recipe } from "./recipe.ts";

/** A test print's lesson and what it is about. */
export interface RecipeLesson extends Lesson {
  /** "ember", "ink ember" or "dot gain": what a sheet can print before it. */
  readonly about: string;
  /** The plates that it reaches. */
  readonly plates: readonly string[];
}

/**
 * What test prints taught this recipe, in its order: adjustments, then the gains of the inks that it prints, then the
 * gain of all screens. With `plates`, only what reaches one of these.
 */
export function lessonsOf(recipe: Recipe, plates?: ReadonlySet<string>): RecipeLesson[] {
  const all = [...recipe.plates.values()];
  const found: RecipeLesson[] = recipe.adjustments.flatMap(({ plate, lesson }) =>
    lesson ? [{ ...lesson, about: plate, plates: [plate] }] : [],
  );
  for (const [name, { lesson }] of recipe.inks) {
    const printed = all.filter(({ ink }) => ink === name).map((plate) => plate.name);
    if (lesson && printed.length > 0) found.push({ ...lesson, about: `ink ${name}`, plates: printed });
  }
  const { lesson } = recipe.screening;
  const general = all.filter(({ ink }) => recipe.inks.get(ink)?.gain === undefined).map(({ name }) => name);
  if (lesson && general.length > 0) found.push({ ...lesson, about: "dot gain", plates: general });
  return plates ? found.filter((one) => one.plates.some((plate) => plates.has(plate))) : found;
}

/** `2026-03-14: the beetle's back printed too blue` */
export function lessonText({ date, because }: Lesson): string {
  return `${date}: ${because}`;
}
