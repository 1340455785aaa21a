import { type GainSource, gainOf } from "../readings/gain.ts";
import type { Recipe, Screening } from "../recipe.ts";
import { lessonChange, why } from "./adjustments.ts";
import { alike, type Change, mm, numbers, percent, same } from "./change.ts";

const NONE: readonly (readonly [number, number])[] = [
  [0, 0],
  [1, 1],
];

/** Screening of all plates, as recipe and shop set it. */
export function screeningChanges({ screening: was, plates }: Recipe, { screening: is }: Recipe): Change[] {
  const change = (text: string, prints = true): Change => ({
    subject: "screening",
    plates: [],
    text,
    prints,
  });
  const said = dotChanges(was, is).map((text) => change(text));
  if (!same(was.filmDpi, is.filmDpi))
    said.push(change(`film resolution ${numbers(was.filmDpi, is.filmDpi, " dpi")}`));
  if (!same(was.smallestDot, is.smallestDot))
    said.push(change(`smallest dot ${numbers(was.smallestDot * 100, is.smallestDot * 100, " %")}`));
  said.push(...smallestChanges(was, is).map((text) => change(text)));
  if (was.compensate !== is.compensate)
    said.push(change(`films ${is.compensate ? "now" : "no longer"} compensated for dot gain`));
  const gain = gainChange(was.gain, is.gain);
  if (gain) said.push(change(gain + why(is.lesson)));
  else said.push(...lessonChange(was.lesson, is.lesson, "dot gain").map(({ text }) => change(text, false)));
  return plates.size > 0 ? said : [];
}

/** The smallest mark, line and gap. */
export function smallestChanges(was: Screening, is: Screening): string[] {
  return (["smallestMarkMm", "smallestLineMm", "smallestGapMm"] as const).flatMap((key) => {
    if (was[key] === is[key]) return [];
    const [before, after] = [was[key], is[key]].map((value) => (value === undefined ? "usual" : mm(value)));
    return [`smallest ${key.slice("smallest".length, -2).toLowerCase()} ${before} → ${after}`];
  });
}

/** Ruling, angle, dot, method and grain; of these only what matters under the method. */
export function dotChanges(was: Screening, is: Screening): string[] {
  const said: string[] = [];
  // What is indexed says so in its extraction, and its squares are told once for all.
  if (was.method === "index" || is.method === "index") return said;
  if (was.method !== is.method) said.push(`screened ${was.method} → ${is.method}`);
  if (is.method === "am") {
    if (!same(was.rulingLpi, is.rulingLpi))
      said.push(`ruling ${numbers(was.rulingLpi, is.rulingLpi, " lpi")}`);
    if (!same(was.angle, is.angle)) said.push(`angle ${numbers(was.angle, is.angle)}°`);
    if (was.dot !== is.dot) said.push(`dot ${was.dot} → ${is.dot}`);
  } else if (!same(was.grainMm, is.grainMm)) said.push(`grain ${mm(was.grainMm)} → ${mm(is.grainMm)}`);
  return said;
}

/** `dot gain at 50 % film: prints 62 → 66 %`, where the two tables differ most; undefined where they do not. */
export function gainChange(
  before: GainSource | undefined,
  after: GainSource | undefined,
): string | undefined {
  // A wedge's table is worked out, so what stands there unchanged is not asked.
  if (alike(before, after)) return undefined;
  const [was, is] = [gainOf(before) ?? NONE, gainOf(after) ?? NONE];
  let most = 1e-6;
  let said: string | undefined;
  if (before && after && before.toneValue !== after.toneValue)
    return `printed tones now measured ${after.toneValue === "spot-colour" ? "as spot colour tone values" : "by Murray–Davies"}`;
  for (const film of new Set([0.5, ...was.map(([f]) => f), ...is.map(([f]) => f)])) {
    const [a, b] = [printed(was, film), printed(is, film)];
    if (Math.abs(a - b) <= most) continue;
    most = Math.abs(a - b);
    said = `dot gain at ${percent(film)} film: prints ${numbers(a * 100, b * 100, " %")}`;
  }
  return said;
}

function printed(gain: readonly (readonly [number, number])[], film: number): number {
  const at = gain.findIndex(([f]) => f >= film);
  const [f1, p1] = gain[at] ?? [1, 1];
  const [f0, p0] = gain[at - 1] ?? [0, 0];
  return f1 === f0 ? p1 : p0 + ((p1 - p0) * (film - f0)) / (f1 - f0);
}
