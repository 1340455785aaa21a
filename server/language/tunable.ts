import type { Path } from "./finding.ts";
import type * as Formats from "./generated/formats.ts";
import type { Recipe } from "./recipe.ts";

/** A number of a recipe that a search may move, and how; others are named by their places in one list. */
export interface TunableNumber {
  readonly path: Path;
  /** The plate that it changes. */
  readonly plate: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** What it is moved by at first. */
  readonly step: number;
  /** The number that it never goes under, and the one that it never goes over. */
  over?: number;
  under?: number;
  /** The other end of a range of hues. */
  turn?: { readonly other: number; readonly lower: boolean };
  /** Numbers that are worth moving with it: by as much, or by as much the other way. */
  together?: { readonly dial: number; readonly way: 1 | -1 }[];
  /** Of a curve of strength that the recipe does not have yet: where its pair stands. */
  readonly added?: number;
}

/** Most that ends and fades are moved to, and their first steps. */
const RANGES = {
  lightness: { most: 100, step: 6, fade: 90 },
  chroma: { most: 150, step: 8, fade: 120 },
  hue: { most: 360, step: 8, fade: 120 },
} as const;
const FADE_STEP = 8;
/** A shorter fade makes an edge where colours run into one another, and takes every second pixel of a noisy one. */
const LEAST_FADE = 4;
/** The same of a colour's reach, in ΔE00. */
const NEAR = { most: 60, step: 3 };
/** Percent that a curve's tones are moved by at first. */
const TONE_STEP = 8;
/** Where curves of strength that are added have their pairs. */
const ADDED = { lightness: [10, 40, 70, 95], chroma: [5, 40, 80] } as const;

/** Plates that are made by numbers: neither solved, indexed nor matched. */
export function tunablePlates({ plates }: Recipe): string[] {
  return [...plates.values()].flatMap(({ name, extract, strength, given }) =>
    given || extract.solve || extract.index || strength === "match" ? [] : [name],
  );
}

/**
 * The numbers of these plates that may be moved: ends and fades of ranges, reach of colours, what curves give. `held`
 * says which stay. With `strengths`, plates that print flat get curves of strength to be bent.
 */
export function tunableNumbers(
  recipe: Recipe,
  plates: ReadonlySet<string>,
  held: (path: Path) => boolean,
  strengths = false,
): readonly TunableNumber[] {
  const numbers = new Numbers(held);
  for (const { name, extract, strength } of recipe.plates.values()) {
    if (!plates.has(name)) continue;
    const path = ["plates", name];
    numbers.extraction(extract, [...path, "extract"], name);
    const own = typeof strength === "object" ? strength : {};
    for (const by of ["lightness", "chroma"] as const) {
      if (own[by]) numbers.curve(own[by], [...path, "strength", by], name);
      else if (strengths && (strength === "flat" || typeof strength === "object"))
        numbers.newCurve(ADDED[by], [...path, "strength", by], name);
    }
  }
  for (const [i, { plate, curve }] of recipe.adjustments.entries())
    if (plates.has(plate)) numbers.curve(curve, ["adjust", i, "curve"], plate);
  return numbers.all;
}

/** Gathers numbers, with what ties them to one another. */
class Numbers {
  readonly all: TunableNumber[] = [];
  readonly #held: (path: Path) => boolean;

  constructor(held: (path: Path) => boolean) {
    this.#held = held;
  }

  extraction(e: Formats.Extraction, path: Path, plate: string): void {
    const fadeAt = [...path, "fade"];
    /** One for all ranges, where it is one number. */
    const shared =
      typeof e.fade === "number"
        ? this.#add({
            path: fadeAt,
            plate,
            value: e.fade,
            low: Math.min(LEAST_FADE, e.fade),
            high: 120,
            step: FADE_STEP,
          })
        : undefined;
    const fadeOf = (key: keyof typeof RANGES | "near", high: number, step: number) => {
      const value = typeof e.fade === "object" ? e.fade[key] : undefined;
      if (value === undefined) return shared;
      return this.#add({
        path: [...fadeAt, key],
        plate,
        value,
        low: Math.min(LEAST_FADE, value),
        high,
        step,
      });
    };
    for (const key of ["lightness", "chroma", "hue"] as const) {
      const range = e[key];
      if (range) this.#range(key, range, [...path, key], plate, fadeOf(key, RANGES[key].fade, FADE_STEP));
    }
    if (e.near !== undefined && e.within !== undefined) {
      const fade = fadeOf("near", NEAR.most, NEAR.step);
      const own = { path: [...path, "within"], plate, value: e.within, low: 0, high: NEAR.most };
      this.#tie(this.#add({ ...own, step: NEAR.step }), fade, -1);
    }
    for (const key of ["all", "any"] as const)
      for (const [i, part] of (e[key] ?? []).entries()) this.extraction(part, [...path, key, i], plate);
    if (e.except) this.extraction(e.except, [...path, "except"], plate);
  }

  #range(
    key: keyof typeof RANGES,
    range: readonly number[],
    path: Path,
    plate: string,
    fade: number | undefined,
  ): void {
    const [from, to] = [range[0]!, range[1]!];
    const { step, most } = RANGES[key];
    const wraps = key === "hue";
    const own = { plate, step, low: 0, high: Math.max(most, to) };
    const [heldFrom, heldTo] = [0, 1].map((end) => this.#held([...path, end]));
    // An end that is held bounds the other; round the circle it holds both.
    if (wraps && (heldFrom || heldTo)) return;
    const lower = this.#add({ ...own, path: [...path, 0], value: from, ...(heldTo ? { high: to } : {}) });
    const upper = this.#add({ ...own, path: [...path, 1], value: to, ...(heldFrom ? { low: from } : {}) });
    if (lower !== undefined && upper !== undefined) {
      if (wraps) {
        this.all[lower]!.turn = { other: upper, lower: true };
        this.all[upper]!.turn = { other: lower, lower: false };
      } else {
        this.all[lower]!.under = upper;
        this.all[upper]!.over = lower;
      }
      this.#tie(lower, upper, 1);
    }
    // The foot of the fade stays where it is.
    this.#tie(lower, fade, 1);
    this.#tie(upper, fade, -1);
  }

  /** What a curve gives. A tone curve that rises goes on rising. */
  curve(pairs: readonly (readonly number[])[], path: Path, plate: string): void {
    const tones = pairs.map((pair) => pair[1]!);
    const rises = path[0] === "adjust" && tones.every((tone, k) => k === 0 || tone >= tones[k - 1]!);
    const dials = tones.map((value, k) =>
      // What a tone curve gives for no ink is printed where the artwork is clear.
      path[0] === "adjust" && pairs[k]![0] === 0
        ? undefined
        : this.#add({ path: [...path, k, 1], plate, value, low: 0, high: 100, step: TONE_STEP }),
    );
    if (!rises) return;
    for (const [k, dial] of dials.entries()) {
      const next = dials[k + 1];
      if (dial === undefined || next === undefined) continue;
      this.all[dial]!.under = next;
      this.all[next]!.over = dial;
    }
  }

  newCurve(at: readonly number[], path: Path, plate: string): void {
    if (this.#held(path.slice(0, 2))) return;
    for (const [k, added] of at.entries())
      this.all.push({ path: [...path, k, 1], plate, value: 100, low: 0, high: 100, step: TONE_STEP, added });
  }

  #add(number: TunableNumber): number | undefined {
    return this.#held(number.path) ? undefined : this.all.push(number) - 1;
  }

  #tie(dial: number | undefined, other: number | undefined, way: 1 | -1): void {
    if (dial === undefined || other === undefined) return;
    this.all[dial]!.together = [...(this.all[dial]!.together ?? []), { dial: other, way }];
  }
}
