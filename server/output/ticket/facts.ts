import type { Finding } from "../../language/finding.ts";
import { lessonsOf, lessonText } from "../../language/lessons.ts";
import { placeWhere } from "../../language/place-words.ts";
import type { InkUse, Plate, Setup } from "../../language/recipe.ts";
import { listed } from "../../language/words.ts";
import { filmShare, type InkNeed, inkByPlate, inkNeeds, printCm2 } from "../../render/ink-needs.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import type { Print } from "../../render/print.ts";
import { steadinessOf } from "../../render/steadiness.ts";
import { touchingPairs } from "../../render/touching-pairs.ts";

/** Everything that stands on a job ticket, worked out. */
export interface TicketFacts {
  readonly title: string;
  readonly setupName: string;
  readonly garments: readonly string[];
  readonly widthMm: number;
  readonly heightMm: number;
  readonly stations: readonly TicketStation[];
  /** Plates of this setup that other setups print too, by setup; and what changes from this one to each other. */
  readonly sharing: readonly Sharing[];
  readonly screens: number;
  /** Ink for so many garments. */
  readonly inkGarments: number;
  readonly inks: readonly InkNeed[];
  readonly inkUse: InkUse;
  /** How colours change from print to print, in words. */
  readonly steadiness: string;
  readonly findings: readonly Finding[];
  /** Curves of the recipe, in words. */
  readonly adjustments: readonly string[];
  /** Which plates overlap which others, how far, and along which length. */
  readonly traps: readonly string[];
  /** What test prints taught, of the plates that print here. */
  readonly lessons: readonly string[];
}

export interface TicketStation {
  readonly number: number;
  /** A plate's name, or the step. */
  readonly what: string;
  readonly plate: StationPlate | undefined;
  readonly note: string;
}

export interface StationPlate {
  readonly ink: string;
  readonly purpose: string;
  readonly mesh: string;
  readonly screening: string;
  /** Mean tone 0–1. */
  readonly coverage: number;
  /** Ink on its film, which is compensated for dot gain. */
  readonly filmCm2: number;
  readonly hits: number;
  /** Ink for as many garments as the ticket is for; undefined where the mesh is not known. */
  readonly grams: number | undefined;
  readonly folded: readonly string[];
}

export interface Sharing {
  readonly setup: string;
  readonly shared: readonly string[];
  readonly out: readonly string[];
  readonly in: readonly string[];
}

/** A ticket that no order gives a number tells the ink for so many. */
const GARMENTS = 100;

/** `garments`: how many an order prints with this setup. */
export function ticketFacts(
  print: Print,
  setupName: string,
  findings: readonly Finding[],
  garments = GARMENTS,
): TicketFacts {
  const { recipe } = print;
  const setup = recipe.setups.get(setupName)!;
  const own = platesOf(setup);
  return {
    title: recipe.title,
    setupName,
    garments: setup.garments,
    widthMm: recipe.artwork.widthMm,
    heightMm: print.artwork.info.heightMm,
    stations: setup.order.map((step, i) => {
      const plate = typeof step === "string" ? undefined : recipe.plates.get(step.plate)!;
      return {
        number: i + 1,
        what: plate?.name ?? String(step),
        plate: plate && stationPlate(print, plate, garments),
        note: recipe.pressNotes[plate?.purpose ?? (step as "flash" | "cool-down")] ?? "",
      };
    }),
    sharing: [...recipe.setups]
      .filter(([name]) => name !== setupName)
      .map(([name, other]) => {
        const theirs = platesOf(other);
        return {
          setup: name,
          shared: own.filter((plate) => theirs.includes(plate)),
          out: own.filter((plate) => !theirs.includes(plate)),
          in: theirs.filter((plate) => !own.includes(plate)),
        };
      }),
    screens: own.length,
    inkGarments: garments,
    inks: inkNeeds(print, own, garments),
    inkUse: recipe.inkUse,
    steadiness: steadinessText(print, setupName),
    // Notes are for whoever separates; other setups are not on this press.
    findings: findings.filter(
      ({ level, path }) =>
        level !== "note" && (path[0] !== "setups" || path[1] === undefined || path[1] === setupName),
    ),
    traps: touchingPairs(print)
      .filter(({ plate, under, trapMm }) => trapMm > 0 && own.includes(plate) && own.includes(under))
      .map(
        ({ plate, under, trapMm, lengthMm }) =>
          `${plate} under ${under}: ${Number(trapMm.toFixed(3))} mm along ${Math.round(lengthMm)} mm`,
      ),
    lessons: lessonsOf(recipe, new Set(own)).map((lesson) => `${lesson.about}, ${lessonText(lesson)}`),
    adjustments: recipe.adjustments.map(({ plate, curve, region }) => {
      const points = curve.map(([tone, out]) => `${tone} → ${out}`).join(", ");
      return `${plate}${region ? `, inside ${INSIDE[region.shape]}` : ""}: ${points} %`;
    }),
  };
}

function steadinessText(print: Print, setupName: string): string {
  const register = `${Number(misregistrationOf(print.recipe).toFixed(2))} mm off`;
  const by = print.recipe.press ? register : `${register}, the usual figure, as no shop file gives one`;
  const found = steadinessOf(print, setupName);
  if (!found) return "Too many stations to work out how colours vary from print to print.";
  const figures = `${found.mean.toFixed(1)} ΔE00 on average, 95 % within ${found.p95.toFixed(1)}`;
  const most =
    found.plates.length > 1 ? `, most of all ${placeWhere(found.where)} ${listed(found.plates)} overlap` : "";
  return `Colours vary from print to print by ${figures}${most}, with screens up to ${by}.`;
}

const INSIDE = { polygon: "a polygon", rectangle: "a rectangle", ellipse: "an ellipse" } as const;

function platesOf(setup: Setup): string[] {
  return [...new Set(setup.order.flatMap((step) => (typeof step === "string" ? [] : [step.plate])))];
}

function stationPlate(print: Print, plate: Plate, garments: number): StationPlate {
  const { recipe } = print;
  const { method, rulingLpi, angle, dot, grainMm } = plate.screening;
  const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
  const coverage = coverageOf(print, plate.name);
  return {
    ink: plate.ink,
    purpose: plate.purpose,
    mesh: plate.mesh === undefined ? "—" : `${plate.mesh}${mesh ? ` (${Math.round(mesh.count)}/in)` : ""}`,
    screening:
      method === "am" ? `${Number(rulingLpi.toFixed(1))} lpi, ${angle}°, ${dot}` : `${method}, ${grainMm} mm`,
    coverage,
    filmCm2: filmShare(print, plate) * printCm2(print),
    hits: plate.hits,
    grams: inkByPlate(print, [plate.name], garments)[0]!.grams,
    folded: recipe.merges.filter(({ into }) => into === plate.name).map(({ fold }) => fold),
  };
}

function coverageOf(print: Print, name: string): number {
  const { histogram } = print.plates.get(name)!;
  let sum = 0;
  for (let tone = 1; tone < 256; tone++) sum += tone * histogram[tone]!;
  return sum / (255 * print.pixels);
}
