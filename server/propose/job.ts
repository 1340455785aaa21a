import { deltaE00 } from "../engine/colour/ciede2000.ts";
import { type Lab, linearFromLab } from "../engine/colour/cielab.ts";
import { byteFromLinear } from "../engine/colour/srgb.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";
import { colourOf, opacityOf } from "../engine/print/ink-film.ts";
import { type Candidate, DARK } from "../engine/propose/trial.ts";
import type * as Formats from "../language/generated/formats.ts";
import { DEFAULT_WET_LAYERS, type Press } from "../language/recipe.ts";
import { misregistrationOf } from "../render/plan/print-plan.ts";
import { LIGHT_GARMENT, SHADOW_GARMENT } from "../rules/job.ts";
import type { Draft, DraftPlate, DraftSetup, NamedColour } from "./draft.ts";
import { uniqueNames } from "./names.ts";

/** A garment with its colour, as written and as CIELAB. */
export interface GarmentColour extends NamedColour {
  readonly lab: Lab;
}

/** ΔE00 within which an ink is the garment's own colour. Common practice, no source. */
const AS_GARMENT = 6;

/** GarmentColour that needs no underbase. */
export function isLight({ lab }: GarmentColour): boolean {
  return lab.L >= LIGHT_GARMENT;
}

/** GarmentColour as dark as a shadow of the artwork. */
export function isShadowGarment({ lab }: GarmentColour): boolean {
  return lab.L <= SHADOW_GARMENT;
}

/** Whether a colour prints on these garments, or is what the garment is already. */
export function isSeen({ L, a, b }: Lab, garments: readonly GarmentColour[]): boolean {
  return garments.some(({ lab }) => deltaE00(L, a, b, lab.L, lab.a, lab.b) > AS_GARMENT);
}

/** One plate beside the underbase, before it has a name. */
export interface ColourPlate {
  /** Its name, where it has one already; else it is called as its ink. */
  readonly name?: string;
  readonly ink: Candidate;
  readonly extract: Formats.Extraction;
  readonly strength?: Formats.Plate["strength"];
  readonly comment: string;
}

/** Tone of a dark plate above which it needs no white below. Common practice, no source. */
const NEARLY_SOLID = "80%";

export interface JobParts {
  readonly title: string;
  readonly shop: string | undefined;
  readonly artwork: Formats.Artwork;
  readonly garments: readonly GarmentColour[];
  readonly press: Press | undefined;
  /** Names in the ink library, which recipe's own inks must not take. */
  readonly shelf: readonly string[];
  /** In print order on dark garments. */
  readonly plates: readonly ColourPlate[];
  /** The underbase; undefined where nothing needs one. */
  readonly base: Pick<ColourPlate, "name" | "ink" | "extract" | "comment"> | undefined;
  /** Whether dark plates take the underbase out where they print, or where they are nearly solid. */
  readonly knockOut: boolean | "solid";
  readonly solved: boolean;
  /** Whether plates meet at solid edges, and spread under their neighbours. */
  readonly trapped?: boolean;
  /** Whether plates of the garment's own colour print all the same. */
  readonly onOwnColour: boolean;
  readonly screening: Formats.Screening | undefined;
  readonly head: readonly string[];
}

/** Names everything, and puts plates, traps, knockouts and setups together. */
export function draftOf(parts: JobParts): Draft {
  const { garments, press, base, plates: colours } = parts;
  const misregistration = misregistrationOf({ press });
  const inks = inksOf(parts);
  const named = platesOf(parts, inks.names);
  const dark = garments.filter((garment) => !isLight(garment));
  const light = garments.filter(isLight);
  const baseName = base && (base.name ?? "base");
  const shadows = named.filter(({ purpose }) => purpose === "shadow").map(({ name }) => name);
  const prints = (on: readonly GarmentColour[], i: number) => {
    const ink = colours[i]!.ink;
    const white = ink.onTop && on.every(isLight);
    return (parts.onOwnColour && !white) || isSeen(colourOf(ink.film), on);
  };
  const darkFirst = press?.darkPlate !== "last";
  const setups: DraftSetup[] = [];
  if (dark.length > 0) {
    const order = named.flatMap(({ name }, i) => (prints(dark, i) ? [name] : []));
    setups.push({
      name: "dark",
      garments: dark.map(({ name }) => name),
      order: [...(baseName ? [baseName, "flash"] : []), ...flashed(order, press)],
      comment: darkComment(named, order, baseName !== undefined, !parts.solved || light.length === 0),
    });
  }
  if (light.length > 0) {
    const order = named
      .map((plate, i) => ({ plate, i, L: colourOf(colours[i]!.ink.film).L }))
      .filter(({ i }) => prints(light, i))
      .sort((x, y) => (darkFirst ? x.L - y.L : y.L - x.L) || x.i - y.i)
      .map(({ plate }) => plate.name);
    setups.push({
      name: "light",
      garments: light.map(({ name }) => name),
      order: flashed(order, press),
      comment:
        dark.length > 0
          ? `The same screens without the underbase, the dark plate ${darkFirst ? "first" : "last"}; white is left to the garment.`
          : `No underbase on light garments; the dark plate goes ${darkFirst ? "first" : "last"}, and white is left to the garment.`,
    });
  }
  const printed = new Set(setups.flatMap(({ order }) => order));
  const basePlate: DraftPlate[] =
    base && baseName
      ? [
          {
            name: baseName,
            ink: inks.base!,
            purpose: "underbase",
            extract: base.extract,
            comment: base.comment,
          },
        ]
      : [];
  const plates = [...basePlate, ...named].filter(({ name }) => printed.has(name));
  const knocked = baseName && parts.knockOut ? shadows.filter((name) => printed.has(name)) : [];
  return {
    title: parts.title,
    shop: parts.shop,
    artwork: parts.artwork,
    garments: garments.map(({ name, colour }) => ({ name, colour })),
    inks: inks.own.filter(({ name }) => plates.some(({ ink }) => ink === name)),
    plates,
    knockouts: knocked.map((where) => ({
      from: baseName!,
      where,
      ...(parts.knockOut === "solid" ? { above: NEARLY_SOLID } : {}),
      choke: lengthText(2 * misregistration),
    })),
    traps: [
      ...(baseName ? [{ plate: baseName, choke: lengthText(misregistration) }] : []),
      // Two plates may each lie off by what one does, one way and the other.
      ...(parts.trapped ? [{ neighbours: lengthText(misregistration) }] : []),
    ],
    screening: parts.screening,
    solve:
      parts.solved && garments.length > 1
        ? { garments: Object.fromEntries(garments.map(({ name }) => [name, 1])) }
        : undefined,
    setups,
    head: parts.head,
    allowances: [],
  };
}

function inksOf({ plates, base, shelf }: JobParts): {
  names: string[];
  base: string | undefined;
  own: Draft["inks"];
} {
  const all = [...(base ? [base.ink] : []), ...plates.map(({ ink }) => ink)];
  const fresh: Candidate[] = [];
  // The same film is the same ink, whatever it is printed for.
  const same = (x: Candidate, y: Candidate) => x.name === y.name && x.film === y.film;
  for (const ink of all) if (ink.name === "" && !fresh.some((known) => same(known, ink))) fresh.push(ink);
  // Plates that have names already give them to inks that have none.
  const called = fresh.map((ink) => plates.find((plate) => same(plate.ink, ink))?.name);
  const colours = fresh.flatMap(({ film }, i) => (called[i] === undefined ? [colourOf(film)] : []));
  const free = uniqueNames(colours, [...shelf, ...called.filter((name) => name !== undefined)]);
  const names = called.map((name) => name ?? free.shift()!);
  const nameOf = (ink: Candidate) => ink.name || names[fresh.findIndex((known) => same(known, ink))]!;
  return {
    names: plates.map(({ ink }) => nameOf(ink)),
    base: base && nameOf(base.ink),
    own: fresh.map((ink, i) => ({
      name: names[i]!,
      colour: hexOfLab(colourOf(ink.film)),
      opacity: `${Math.round(opacityOf(ink.film) * 100)}%`,
    })),
  };
}

function platesOf({ plates, base }: JobParts, inks: readonly string[]): DraftPlate[] {
  const used = new Set(base ? [base.name ?? "base"] : []);
  return plates.map(({ name: own, ink, extract, strength, comment }, i): DraftPlate => {
    const { L } = colourOf(ink.film);
    const purpose = ink.onTop ? "highlight" : L <= DARK ? "shadow" : undefined;
    const word = own ?? (ink.onTop && base ? "highlight" : inks[i]!);
    let name = word;
    for (let n = 2; used.has(name); n++) name = `${word}-${n}`;
    used.add(name);
    return {
      name,
      ink: inks[i]!,
      ...(purpose ? { purpose } : {}),
      extract,
      ...(strength ? { strength } : {}),
      comment,
    };
  });
}

/** Flashes where more plates follow one another than go well wet-on-wet. */
function flashed(order: readonly string[], press: Press | undefined): string[] {
  const most = press?.wetLayers ?? DEFAULT_WET_LAYERS;
  const groups = Math.max(1, Math.ceil(order.length / most));
  const size = Math.ceil(order.length / groups);
  return order.flatMap((name, i) => (i > 0 && i % size === 0 ? ["flash", name] : [name]));
}

function darkComment(
  plates: readonly DraftPlate[],
  order: readonly string[],
  base: boolean,
  lightFirst: boolean,
): string {
  const garment = plates.filter(({ name }) => !order.includes(name)).map(({ name }) => name);
  const parts = [
    ...(base ? ["the underbase is flashed"] : []),
    lightFirst ? "light to dark, wet-on-wet" : "dark to light as on light garments, so that colours agree",
    ...(plates.some(({ purpose }) => purpose === "highlight") ? ["the highlight last"] : []),
    ...(garment.length > 0 ? [`${garment.join(", ")} is the garment's own colour here`] : []),
  ];
  const text = parts.join("; ");
  return `${text[0]!.toUpperCase()}${text.slice(1)}.`;
}

export function hexOfLab(lab: Lab): string {
  const { r, g, b } = linearFromLab(lab);
  return hexOf([byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)]);
}

/** Leaves others' colours out of a range. */
export function leaving([first, ...more]: readonly Formats.Extraction[]): Pick<Formats.Extraction, "except"> {
  if (!first) return {};
  return { except: more.length === 0 ? first : { any: [first, ...more] } };
}

export function lengthText(mm: number): string {
  return `${Number(mm.toFixed(3))} mm`;
}
