import type * as Formats from "../generated/formats.ts";
import { parseColour } from "../values/colour.ts";
import { read } from "../values/parsed.ts";
import { distance, number, numbers, sameColour } from "./change.ts";

type Extraction = Formats.Extraction;

const RANGES = ["lightness", "chroma", "hue", "opacity"] as const;
type Ranged = (typeof RANGES)[number];

/** How two extractions differ, a phrase each. The order of parts in `all` and `any` is no difference. */
export function extractionChanges(before: Extraction, after: Extraction): string[] {
  const said: string[] = [...fileChanges(before, after)];
  if (Boolean(before.artwork) !== Boolean(after.artwork))
    said.push(after.artwork ? "now takes all that the artwork covers" : "no longer takes the whole artwork");
  if (Boolean(before.solve) !== Boolean(after.solve))
    said.push(after.solve ? "now solved jointly" : "no longer solved");
  if (Boolean(before.index) !== Boolean(after.index))
    said.push(after.index ? "now indexed, in squares" : "no longer indexed");
  for (const key of RANGES) said.push(...rangeChange(key, before, after));
  said.push(...nearChange(before, after));
  for (const key of ["all", "any"] as const) said.push(...listChange(key, before[key], after[key]));
  if (before.except && after.except) {
    said.push(...extractionChanges(before.except, after.except).map((text) => `in its exception ${text}`));
  } else if (before.except || after.except) {
    said.push(
      after.except
        ? `now except ${extractionText(after.except)}`
        : `no longer except ${extractionText(before.except!)}`,
    );
  }
  return said;
}

/** Of plates from files: another file is told by its name, which part of it is meant by what is written. */
function fileChanges(before: Extraction, after: Extraction): string[] {
  if (before.plate === undefined && after.plate === undefined) return [];
  if (before.plate === undefined) return [`now ${fileText(after)}`];
  if (after.plate === undefined) return [`no longer ${fileText(before)}`];
  const said: string[] = [];
  if (before.plate !== after.plate) said.push(`file ${before.plate} → ${after.plate}`);
  for (const key of ["colorant", "channel", "page"] as const)
    if (before[key] !== after[key])
      said.push(`${key} ${before[key] ?? "not said"} → ${after[key] ?? "not said"}`);
  const [was, is] = [before.solid ?? "as the file says", after.solid ?? "as the file says"];
  if (was !== is) said.push(`solid ink ${was} → ${is}`);
  if (Boolean(before.screened) !== Boolean(after.screened))
    said.push(after.screened ? "now a film, taken as it is" : "no longer a film, so it is screened");
  return said;
}

/** `from ember.tif, colorant Ember, page 2`. */
function fileText({ plate, colorant, channel, page, solid, screened }: Extraction): string {
  return [
    `${screened ? "a film " : ""}from ${plate}`,
    ...(colorant === undefined ? [] : [`colorant ${colorant}`]),
    ...(channel === undefined ? [] : [`channel ${channel}`]),
    ...(page === undefined ? [] : [`page ${page}`]),
    ...(solid === undefined ? [] : [`${solid} solid`]),
  ].join(", ");
}

function rangeChange(key: Ranged, before: Extraction, after: Extraction): string[] {
  const [was, is] = [before[key], after[key]];
  if (!was && !is) return [];
  if (!was) return [`now only ${key} ${rangeText(is!)}${fadeText(key, after)}`];
  if (!is) return [`no longer held to ${key} ${rangeText(was)}`];
  const said: string[] = [];
  if (was[0] !== is[0] || was[1] !== is[1])
    said.push(`${key} range ${way(key, was, is)} ${rangeText(was)} → ${rangeText(is)}`);
  const fades = [fadeOf(key, before), fadeOf(key, after)] as const;
  if (fades[0] !== fades[1]) said.push(`${key} fade ${numbers(...fades)}`);
  return said;
}

function nearChange(before: Extraction, after: Extraction): string[] {
  if (before.near === undefined && after.near === undefined) return [];
  if (before.near === undefined)
    return [`now only near ${after.near} within ${after.within}${fadeText("near", after)}`];
  if (after.near === undefined) return [`no longer held near ${before.near}`];
  const said: string[] = [];
  const [was, is] = [read(parseColour(before.near)).lab, read(parseColour(after.near)).lab];
  if (!sameColour(was, is))
    said.push(`near ${before.near} → ${after.near}, ΔE00 ${distance(was, is).toFixed(1)}`);
  const [within, nowWithin] = [before.within ?? 0, after.within ?? 0];
  if (within !== nowWithin)
    said.push(
      `reach ${nowWithin > within ? "widened" : "narrowed"}, within ${numbers(within, nowWithin)} ΔE00`,
    );
  const fades = [fadeOf("near", before), fadeOf("near", after)] as const;
  if (fades[0] !== fades[1]) said.push(`fade ${numbers(...fades)} ΔE00`);
  return said;
}

function listChange(
  key: "all" | "any",
  before: readonly Extraction[] = [],
  after: readonly Extraction[] = [],
): string[] {
  const [gone, come] = [[...before], [...after]];
  for (const part of before) {
    const at = come.findIndex((other) => extractionChanges(part, other).length === 0);
    if (at < 0) continue;
    come.splice(at, 1);
    gone.splice(gone.indexOf(part), 1);
  }
  const lead = key === "any" ? "in one of its parts" : "in a condition";
  const said: string[] = [];
  // What is left is paired as it stands: an edited part keeps its place.
  while (gone.length > 0 && come.length > 0)
    said.push(...extractionChanges(gone.shift()!, come.shift()!).map((text) => `${lead} ${text}`));
  for (const part of come) said.push(`${key === "any" ? "now also" : "now only"} ${extractionText(part)}`);
  for (const part of gone) said.push(`no longer ${key === "any" ? "" : "held to "}${extractionText(part)}`);
  return said;
}

/** An extraction in a few words: `hue 350–50 (fade 12) and chroma 15–130 (fade 12)`. */
export function extractionText(e: Extraction): string {
  const parts: string[] = [];
  if (e.plate !== undefined) parts.push(fileText(e));
  if (e.solve) parts.push("solved jointly");
  if (e.index) parts.push("indexed, in squares");
  if (e.artwork) parts.push("all that the artwork covers");
  for (const key of RANGES) {
    const range = e[key];
    if (range) parts.push(`${key} ${rangeText(range)}${fadeText(key, e)}`);
  }
  if (e.near !== undefined) parts.push(`near ${e.near} within ${e.within}${fadeText("near", e)}`);
  if (e.all) parts.push(`all of (${e.all.map(extractionText).join("; ")})`);
  if (e.any) parts.push(`any of (${e.any.map(extractionText).join("; ")})`);
  if (e.except) parts.push(`but not ${extractionText(e.except)}`);
  return parts.join(" and ");
}

function rangeText([from, to]: readonly [number, number]): string {
  return `${number(from, 2)}–${number(to, 2)}`;
}

function fadeOf(key: Ranged | "near", { fade }: Extraction): number {
  return (typeof fade === "number" ? fade : fade?.[key]) ?? 0;
}

function fadeText(key: Ranged | "near", e: Extraction): string {
  const fade = fadeOf(key, e);
  return fade > 0 ? ` (fade ${number(fade, 2)})` : "";
}

function way(key: Ranged, was: readonly [number, number], is: readonly [number, number]): string {
  const holds = key === "hue" ? arcHolds : spanHolds;
  if (holds(is, was)) return "widened";
  return holds(was, is) ? "narrowed" : "moved";
}

function spanHolds(outer: readonly [number, number], inner: readonly [number, number]): boolean {
  return outer[0] <= inner[0] && outer[1] >= inner[1];
}

/** The same for arcs of hue, which may wrap past 360. */
function arcHolds(outer: readonly [number, number], inner: readonly [number, number]): boolean {
  const offset = turn(inner[0] - outer[0]);
  return offset + arc(inner) <= arc(outer);
}

function arc([from, to]: readonly [number, number]): number {
  return to - from >= 360 ? 360 : turn(to - from);
}

function turn(degrees: number): number {
  return ((degrees % 360) + 360) % 360;
}
