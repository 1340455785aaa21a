import type { Mesh, Plate, Recipe, Screening, Strength } from "../recipe.ts";
import { listed } from "../words.ts";
import { lessonChange, why } from "./adjustments.ts";
import {
  alike,
  type Change,
  colourChange,
  keysOf,
  mm,
  number,
  percent,
  perInch,
  same,
  sameColour,
} from "./change.ts";
import { extractionChanges, extractionText } from "./extraction.ts";
import { dotChanges, gainChange, smallestChanges } from "./screening.ts";

/** Plates that came, went or are made otherwise; folds; and how many screens that takes. */
export function plateChanges(before: Recipe, after: Recipe): Change[] {
  const { gone, come, kept } = keysOf(before.plates, after.plates);
  const change = (plate: string, text: string, prints = true): Change => ({
    subject: plate,
    plates: [plate],
    text,
    prints,
  });
  return [
    ...foldChanges(before, after),
    ...come.map((name) => {
      const { ink, extract } = after.plates.get(name)!;
      return change(name, `new plate in ink ${ink}: ${extractionText(extract)}`);
    }),
    ...gone.map((name) => change(name, `plate taken out; it printed ink ${before.plates.get(name)!.ink}`)),
    ...kept.flatMap((name) => {
      const [was, is] = [before.plates.get(name)!, after.plates.get(name)!];
      return [
        ...ownChanges(was, is).map((text) => change(name, text)),
        ...screenChanges(before, after, was, is).map((text) => change(name, text)),
        // A purpose says what a plate is for; what it brings with it (mesh, notes) is told by itself.
        ...(was.purpose === is.purpose
          ? []
          : [change(name, `purpose ${was.purpose} → ${is.purpose}`, false)]),
        // The proof takes an ink's opacity as it was measured, however often it is printed.
        ...(was.hits === is.hits ? [] : [change(name, `strokes ${was.hits} → ${is.hits}`, false)]),
      ];
    }),
  ];
}

function ownChanges(was: Plate, is: Plate): string[] {
  const said = extractionChanges(was.extract, is.extract);
  if (!alike(was.strength, is.strength))
    said.push(`strength ${strengthText(was.strength)} → ${strengthText(is.strength)}`);
  if (was.ink !== is.ink) said.push(`ink ${was.ink} → ${is.ink}`);
  return said;
}

/** `by lightness 0→100 60→40` */
function strengthText(strength: Strength): string {
  if (typeof strength === "string") return strength;
  const curves = (["lightness", "chroma"] as const).flatMap((by) => {
    const pairs = strength[by]?.map(([at, tone]) => `${number(at!)}→${number(tone!)}`);
    return pairs ? [`${by} ${pairs.join(" ")}`] : [];
  });
  return `by ${listed(curves)}`;
}

function screenChanges(before: Recipe, after: Recipe, was: Plate, is: Plate): string[] {
  const said: string[] = [];
  // A plate that is folded away has neither mesh nor dots.
  const isFolded = ({ merges }: Recipe) => merges.some(({ fold }) => fold === is.name);
  if (isFolded(before) || isFolded(after)) return [];
  said.push(...meshChange(before, after, was.mesh, is.mesh));
  // What all plates have in common is told once, as screening.
  const changes = (a: Screening, b: Screening) => [...dotChanges(a, b), ...smallestChanges(a, b)];
  const common = new Set(changes(before.screening, after.screening));
  said.push(...changes(was.screening, is.screening).filter((text) => !common.has(text)));
  return said;
}

function meshChange(
  before: Recipe,
  after: Recipe,
  was: string | undefined,
  is: string | undefined,
): string[] {
  const [old, now] = [before.meshes.get(was ?? ""), after.meshes.get(is ?? "")];
  if (was !== is) return [`mesh ${meshText(was, old)} → ${meshText(is, now)}`];
  if (!old || !now) return alike(old, now) ? [] : [`mesh ${meshText(was, old)} → ${meshText(is, now)}`];
  const figures = (["count", "threadMm", "openingMm", "thicknessMm"] as const).filter(
    (key) => !alike(old[key], now[key]),
  );
  if (figures.length === 0) return [];
  const said = figures.map((key) => `${MESH_FIGURES[key]} ${meshFigure(key, old)} → ${meshFigure(key, now)}`);
  return [`mesh ${is}: ${listed(said)}`];
}

const MESH_FIGURES = {
  count: "count",
  threadMm: "thread",
  openingMm: "opening",
  thicknessMm: "thickness",
} as const;

function meshFigure(key: keyof typeof MESH_FIGURES, mesh: Mesh): string {
  const value = mesh[key];
  if (value === undefined) return "not said";
  return key === "count" ? perInch(value) : mm(value);
}

function meshText(name: string | undefined, mesh: Mesh | undefined): string {
  if (name === undefined) return "not said";
  return mesh ? `${name} (${perInch(mesh.count)})` : name;
}

function foldChanges(before: Recipe, after: Recipe): Change[] {
  const of = ({ merges }: Recipe) => new Map(merges.map(({ fold, into }) => [fold, into]));
  const [was, is] = [of(before), of(after)];
  const { gone, come, kept } = keysOf(was, is);
  const moved = kept.filter((fold) => was.get(fold) !== is.get(fold));
  const said = [
    ...come.map((fold) => `${fold} folded into ${is.get(fold)}`),
    ...gone
      .filter((fold) => after.plates.has(fold))
      .map((fold) => `${fold} no longer folded into ${was.get(fold)}`),
    ...moved.map((fold) => `${fold} folded into ${is.get(fold)} instead of ${was.get(fold)}`),
  ];
  const [screensWas, screensAre] = [screenCount(before), screenCount(after)];
  const count = screensWas === screensAre ? "" : `${screensWas} → ${screensAre}`;
  const plates = [
    ...new Set([...come, ...gone, ...moved].flatMap((fold) => [fold, is.get(fold) ?? was.get(fold)!])),
  ];
  if (said.length === 0) {
    if (count === "") return [];
    return [{ subject: "screens", plates: [], text: count, prints: true }];
  }
  const text = count === "" ? listed(said) : `${count}: ${listed(said)}`;
  return [{ subject: count === "" ? "folds" : "screens", plates, text, prints: true }];
}

/** Screens that a job takes: plates that print in any setup. */
export function screenCount({ setups }: Recipe): number {
  const printed = [...setups.values()].flatMap(({ order }) =>
    order.flatMap((step) => (typeof step === "string" ? [] : [step.plate])),
  );
  return new Set(printed).size;
}

/** Inks that a plate prints with; the rest of a shop's ink library does not print here. */
export function inkChanges(before: Recipe, after: Recipe): Change[] {
  const users = (name: string) =>
    [...after.plates.values()].filter(({ ink }) => ink === name).map((p) => p.name);
  return [...after.inks].flatMap(([name, is]) => {
    const was = before.inks.get(name);
    const plates = users(name);
    const used = [...before.plates.values()].some(({ ink }) => ink === name);
    if (!was || !used || plates.length === 0) return [];
    const change = (text: string, prints = true): Change => ({
      subject: `ink ${name}`,
      plates,
      text,
      prints,
    });
    const said: Change[] = [];
    if (!sameColour(was.colour.lab, is.colour.lab))
      said.push(change(`colour ${colourChange(was.colour.lab, is.colour.lab)}`));
    if (!same(was.opacity, is.opacity))
      said.push(change(`opacity ${percent(was.opacity)} → ${percent(is.opacity)}`));
    else if (said.length === 0 && !alike(was.film, is.film)) said.push(change("measured anew"));
    // A kind says what the ink takes from the garment; weight and mix are for the ink room.
    if (was.kind !== is.kind)
      said.push(
        change(
          `kind ${was.kind ?? "not said"} → ${is.kind ?? "not said"}`,
          was.kind === "discharge" || is.kind === "discharge",
        ),
      );
    if (!alike(was.density, is.density))
      said.push(change(`density ${densityText(was.density)} → ${densityText(is.density)}`, false));
    if (!alike(Object.fromEntries(was.mix ?? []), Object.fromEntries(is.mix ?? [])))
      said.push(change(`mix ${mixText(was.mix)} → ${mixText(is.mix)}`, false));
    if (!alike(was.particleMm, is.particleMm))
      said.push(
        change(`largest particle ${particleText(was.particleMm)} → ${particleText(is.particleMm)}`, false),
      );
    const gain = gainChange(was.gain ?? before.screening.gain, is.gain ?? after.screening.gain);
    const own = was.gain !== undefined || is.gain !== undefined;
    if (own && gain) said.push(change(gain + why(is.lesson)));
    else said.push(...lessonChange(was.lesson, is.lesson, "dot gain").map(({ text }) => change(text, false)));
    // Where figures come from prints nothing, but says why they changed.
    if (is.measured && !alike(was.measured, is.measured)) {
      const { date, from, mesh } = is.measured;
      said.push(change(`measured ${date} from ${from}${mesh ? `, on mesh ${mesh}` : ""}`, false));
    }
    return said;
  });
}

function densityText(density: number | undefined): string {
  return density === undefined ? "not said" : `${number(density, 3)} g/cm³`;
}

function particleText(particleMm: number | undefined): string {
  return particleMm === undefined ? "not said" : `${number(particleMm * 1000)} µm`;
}

/** `base 92, yellow 6` */
function mixText(mix: ReadonlyMap<string, number> | undefined): string {
  if (!mix) return "not said";
  return [...mix].map(([name, parts]) => `${name} ${number(parts, 3)}`).join(", ");
}
