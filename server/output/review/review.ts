import { type Change, changesBetween, inNewNames, screenCount } from "../../language/changes/changes.ts";
import { lessonsOf, type RecipeLesson } from "../../language/lessons.ts";
import { mostly } from "../../language/place-words.ts";
import type { Recipe } from "../../language/recipe.ts";
import { percentage } from "../../language/words.ts";
import { type Comparison, comparePrints, type PlateComparison } from "../../render/comparison.ts";
import { Print } from "../../render/print.ts";
import { type FindingChanges, findingChanges, type PlacedFinding } from "./findings.ts";

/** One state of a job: what the review compares. */
export interface Side {
  /** As the user named it: a file, or `REV:PATH`. */
  readonly name: string;
  readonly findings: readonly PlacedFinding[];
  /** Levels that the shop gives to rules. */
  readonly levels: Readonly<Record<string, unknown>>;
  /** Undefined where the recipe has errors, or its artwork cannot be read. */
  readonly made:
    | { readonly recipe: Recipe; readonly print: Print; readonly artworkDigest: string }
    | undefined;
}

/** `same`: the print does not change. `worse`: there are new errors, or the new recipe cannot be read. */
export type Verdict = "same" | "changed" | "worse";

/** What a line of the review says of one subject; `prints` as in Change. */
export type Said = Change;

export interface Review {
  readonly title: string;
  readonly before: Side;
  readonly after: Side;
  readonly verdict: Verdict;
  readonly said: readonly Said[];
  /** Undefined where one of the two could not be made. */
  readonly figures: Figures | undefined;
  readonly findings: FindingChanges;
  /** What test prints taught, of the plates that changed. */
  readonly lessons: readonly RecipeLesson[];
}

export interface Figures extends Comparison {
  readonly screens: { readonly before: number; readonly after: number };
  /** The prints that were compared, the old one in the new one's names. */
  readonly prints: { readonly before: Print; readonly after: Print };
}

export function makeReview(before: Side, after: Side): Review {
  const findings = findingChanges(before.findings, after.findings);
  const figures = before.made && after.made ? figuresOf(before.made, after.made) : undefined;
  const said = [
    ...(before.made && after.made && figures
      ? saidOf(before.made, after.made, figures)
      : unread(before, after)),
    ...levelChanges(before.levels, after.levels),
  ];
  const worse = !after.made || findings.come.some(({ level }) => level === "error");
  const changed = said.some(({ prints }) => prints);
  const touched = new Set(said.flatMap(({ plates }) => plates));
  return {
    title: after.made?.recipe.title || before.made?.recipe.title || "",
    before,
    after,
    verdict: worse ? "worse" : changed ? "changed" : "same",
    said,
    figures,
    findings,
    lessons: after.made ? lessonsOf(after.made.recipe, touched) : [],
  };
}

type Made = NonNullable<Side["made"]>;

function figuresOf(before: Made, after: Made): Figures {
  const { recipe, plateName } = inNewNames(before.recipe, after.recipe);
  const plates = new Map(
    [...before.print.plates].map(([name, plate]) => [plateName(name), { ...plate, name: plateName(name) }]),
  );
  const prints = { before: new Print(recipe, before.print.artwork, plates), after: after.print };
  const screens = { before: screenCount(recipe), after: screenCount(after.recipe) };
  return { ...comparePrints(prints.before, prints.after), screens, prints };
}

function saidOf(before: Made, after: Made, figures: Figures): Said[] {
  const changes = [...artworkSaid(before, after, figures), ...changesBetween(before.recipe, after.recipe)];
  for (const plate of figures.plates) {
    const { name } = plate;
    // A plate that came or went is told by that; its figures stand in the table.
    if (differs(plate) && plate.before && plate.after)
      changes.push({ subject: name, plates: [name], text: toneText(plate), prints: true });
  }
  return gathered(changes);
}

/** All that is said of one subject in one sentence, where its first part stands. */
function gathered(changes: readonly Said[]): Said[] {
  const said = new Map<string, Said>();
  for (const change of changes) {
    const key = JSON.stringify([change.subject, change.prints]);
    const first = said.get(key);
    said.set(
      key,
      first
        ? {
            ...first,
            plates: [...new Set([...first.plates, ...change.plates])],
            text: `${first.text}; ${change.text}`,
          }
        : change,
    );
  }
  return [...said.values()].sort((a, b) => Number(b.prints) - Number(a.prints));
}

export function differs({ up, down }: PlateComparison): boolean {
  return up > 0 || down > 0;
}

/** Less than this is not worth a figure. */
const LEAST_SHARE = 0.0005;
/** Where the smaller of up and down is more than this part of the larger, both are told. */
const BOTH = 0.25;

/** `tone up 3.1 % of the print area, mostly upper left` */
function toneText({ up, down, where }: PlateComparison): string {
  const place = `, ${mostly(where)}`;
  if (Math.max(up, down) < LEAST_SHARE) return `tone differs by less than 0.1 % of the print area${place}`;
  const share = (value: number) => percentage(value, 1);
  if (Math.min(up, down) > BOTH * Math.max(up, down))
    return `tone up ${share(up)} and down ${share(down)} of the print area${place}`;
  return `tone ${up > down ? "up" : "down"} ${share(Math.abs(up - down))} of the print area${place}`;
}

function artworkSaid(before: Made, after: Made, { artworkCm2, artworkWhere }: Figures): Said[] {
  if (before.artworkDigest === after.artworkDigest) return [];
  const say = (text: string, prints: boolean): Said => ({ subject: "artwork", plates: [], text, prints });
  if (artworkCm2 === undefined) return [say("another picture, of other proportions", true)];
  if (artworkCm2 === 0) return [say("file saved anew; its picture is the same", false)];
  return [say(`picture changed in ${artworkCm2.toFixed(1)} cm², ${mostly(artworkWhere)}`, true)];
}

function unread(before: Side, after: Side): Said[] {
  const say = (text: string): Said => ({ subject: "recipe", plates: [], text, prints: true });
  if (!after.made) return [say("plates cannot be made from the new one; see its findings")];
  return before.made
    ? []
    : [say("plates could not be made from the old one, so there is nothing to compare with")];
}

function levelChanges(before: Side["levels"], after: Side["levels"]): Said[] {
  const rules = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...rules].flatMap((rule): Said[] => {
    const [was, is] = [before[rule] ?? "usual", after[rule] ?? "usual"];
    if (was === is) return [];
    return [{ subject: `rule ${rule}`, plates: [], text: `level ${was} → ${is}`, prints: false }];
  });
}
