import type { Choice, CurvePoint } from "../engine/propose/choose.ts";
import { counted, percentage } from "../language/words.ts";
import type { ProposalRequest } from "./request.ts";

/** Plates beside the underbase that are tried where nobody says how many. */
export const DEFAULT_MOST = 10;

/** How a proposal speaks of what it did. */

export function curveText(curve: readonly CurvePoint[]): string {
  return curve.map(({ plates, mean, p95 }) => `${plates}: ${mean.toFixed(1)} (${p95.toFixed(1)})`).join(", ");
}

export function whyStopped(
  { inks, curve }: Choice,
  room: number,
  most: number,
  { plates }: ProposalRequest,
): string {
  const n = inks.length;
  const next = curve.find((point) => point.plates === n + 1);
  if (n >= room && room < most)
    return `${counted(n, "plate")}: what others would print is not worth a screen.`;
  if (next) return `${counted(n, "plate")}: one more would buy less than a visible step.`;
  if (plates !== undefined && n >= plates) return `${counted(n, "plate")}, as asked for.`;
  return n >= room
    ? `${counted(n, "plate")}: ${room < DEFAULT_MOST ? "the press has no more stations" : "no more are tried unless --plates asks for them"}.`
    : `${counted(n, "plate")}: no other ink brings it nearer.`;
}

export function worthText(
  { without, coverage }: { without: number; coverage: number },
  mean: number,
): string {
  const covers = `Covers ${coverage < 0.01 ? "under 1 %" : percentage(coverage)}`;
  return without - mean < 0.05
    ? `${covers}.`
    : `${covers}; without it the mean ΔE00 is ${without.toFixed(1)}.`;
}

export function sentence(text: string): string {
  return `${text[0]!.toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? "" : "."}`;
}
