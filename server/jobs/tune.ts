import type { Artwork } from "../artwork/artwork.ts";
import type { Difference } from "../engine/print/difference.ts";
import { type Tuned, tune } from "../engine/tune/tune.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import { changesBetween, sentence } from "../language/changes/changes.ts";
import { heldNumbers } from "../language/held.ts";
import type { Recipe } from "../language/recipe.ts";
import { type TunableNumber, tunableNumbers, tunablePlates } from "../language/tunable.ts";
import { listed } from "../language/words.ts";
import { makeReview, type Review, type Said, type Side } from "../output/review/review.ts";
import { readForPlates } from "../render/artworks.ts";
import { makePrint } from "../render/print.ts";
import { ignoreProgress, type OnProgress } from "../render/progress.ts";
import { proofDifference } from "../render/proof-meter.ts";
import { StageCache } from "../render/stage-cache.ts";
import { tuneJob, withNumbers } from "../render/tune-job.ts";
import { atPreviewSize, ONE_JOB_BYTES } from "./look.ts";
import { canBePrinted, type Job, openJob, type ReadableJob, sourceOf, withText } from "./open.ts";
import { sideOf } from "./side.ts";
import { type Fault, garmentFaults, newFindings, PlateMarks } from "./tune-faults.ts";
import { tunedText } from "./tuned-text.ts";
import { leftLines, whatIsLeft } from "./what-is-left.ts";

/** What is to be tuned, and how hard. */
export interface TuneRequest {
  readonly job: ReadableJob;
  /** Plates whose numbers may be moved; all where undefined. */
  readonly plates?: readonly string[] | undefined;
  /** Garments that are looked at, by weight; all alike where undefined. */
  readonly garments?: ReadonlyMap<string, number> | undefined;
  /** About how long may be searched; the same number gives the same result. */
  readonly seconds: number;
  /** Numbers changed at most. */
  readonly numbers: number;
  /** Whether plates that print flat may get curves of strength. */
  readonly strengths: boolean;
  readonly onProgress?: OnProgress;
}

/** The recipe's new text and the review of it, or why it is left alone. */
export type Tuning =
  | {
      readonly text: string;
      readonly review: Review;
      /** How many were changed. */
      readonly numbers: number;
      /** What keeps it from being nearer, in sentences. */
      readonly left: readonly string[];
    }
  | { readonly untouched: string; readonly left?: readonly string[] };

/** Resolution that pixels are sampled at: edges are then a small part of them. */
const PPI = 150;
const PIXELS = 1500;
/** Pixels whose differences are split. */
const LEFT_PIXELS = 400;
/** Pixels printed a second, about, on one core; what makes seconds into work that does not hang on the machine. */
const WORK_PER_SECOND = 1_200_000;
/** Shares of the work: the first search, and each that goes on without the plates that came out badly. */
const FIRST = 0.7;
const AGAIN = 0.06;
const ROUNDS = 6;
/** Less, in mean ΔE00, is no reason to touch a recipe. */
const WORTH = 0.1;

/**
 * Moves a recipe's own numbers so that its proofs come nearer to the artwork. What comes of it is made and checked as any
 * recipe, at other pixels than the search saw: no garment may be further off, no finding new, no plate emptied or full of
 * specks. Plates that come out so are left as they were. Throws ArtworkError, FileError.
 */
export async function tuneRecipe(request: TuneRequest): Promise<Tuning> {
  const { job, onProgress = ignoreProgress } = request;
  const { recipe } = job;
  const reason = unfit(recipe);
  if (reason) return { untouched: reason };
  const artwork = await readForPlates(recipe, await sourceOf(job), { ppi: PPI });
  if (artwork.picture.areas) return { untouched: FLAT };
  const garments = request.garments ?? new Map([...recipe.garments.keys()].map((name) => [name, 1]));
  const left = async (of: Recipe) => leftLines(await whatIsLeft(of, artwork, garments, LEFT_PIXELS));
  const found = foundPlates(recipe);
  if (found.length > 0) {
    const untouched = `tones of ${listed(found)} are found by the program; tune recipes whose plates are all made by hand`;
    return { untouched, left: await left(recipe) };
  }
  const held = heldNumbers(job.project.main, recipe);
  const free = new Set(tunablePlates(recipe).filter((name) => request.plates?.includes(name) ?? true));
  const cache = new StageCache(ONE_JOB_BYTES);
  const before = await sideOf("before", job, cache);
  const marks = before.made && new PlateMarks(before.made.print);
  const was = await differences(recipe, artwork);
  /** By path. */
  let from: ReadonlyMap<string, number> | undefined;
  let faults: readonly Fault[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const numbers = tunableNumbers(recipe, free, held, request.strengths);
    if (numbers.length === 0) break;
    const work = WORK_PER_SECOND * request.seconds * (round === 0 ? FIRST : AGAIN);
    const search = tune(tuneJob(recipe, numbers, garments), artwork.picture, artwork.ppi / MM_PER_INCH, {
      work,
      pixels: PIXELS,
      numbers: request.numbers,
      from: from && numbers.map(({ path }) => from!.get(path.join("."))!),
    });
    const tuned = await finished(search, (done) =>
      onProgress(0.9 * ((round === 0 ? 0 : FIRST) + done * (round === 0 ? FIRST : AGAIN))),
    );
    if (tuned.moves.length === 0) break;
    const text = tunedText(job.project.main, recipe, numbers, tuned.values);
    const file = job.project.main.file;
    const moved = await openJob(file, withText(job.files, file, text), job.today);
    const judged = await judge(moved, before, marks, was, artwork, cache);
    if ("review" in judged) {
      const { review } = judged;
      const gain = gainOf(review);
      if (gain < WORTH) {
        if (faults.length > 0) break;
        const untouched = `its numbers are as good as they get: moved, they bring ${Math.max(0, gain).toFixed(2)} on the mean`;
        return { untouched, left: await left(recipe) };
      }
      const changed = tuned.values.filter((value, d) => value !== numbers[d]!.value).length;
      const said = saidOf(recipe, numbers, tuned);
      const now = withNumbers(recipe, numbers, tuned.values);
      return { text, numbers: changed, review: { ...review, said }, left: await left(now) };
    }
    faults = judged.faults;
    const culprits = new Set(faults.flatMap(({ plate }) => plate ?? []));
    if (![...culprits].some((plate) => free.delete(plate))) break;
    from = new Map(numbers.map(({ path }, d) => [path.join("."), tuned.values[d]!]));
  }
  const untouched =
    faults.length === 0
      ? "there is no number that brings it nearer"
      : `what brings it nearer costs elsewhere: ${listed(faults.map(({ text }) => text))}`;
  return { untouched, left: await left(recipe) };
}

/** The review of a moved recipe, or what keeps it from being taken; what takes longest is looked at last. */
async function judge(
  moved: Job,
  before: Side,
  marks: PlateMarks | undefined,
  was: ReadonlyMap<string, Difference>,
  artwork: Artwork,
  cache: StageCache,
): Promise<{ readonly faults: readonly Fault[] } | { readonly review: Review }> {
  if (canBePrinted(moved) && marks) {
    const faults = marks.faults(await atPreviewSize(cache)(moved));
    if (faults.length > 0) return { faults };
  }
  const made = makeReview(before, await sideOf("after", moved, cache));
  const come = newFindings(made);
  if (come.length > 0 || !moved.recipe) return { faults: come };
  const review = withFigures(made, was, await differences(moved.recipe, artwork));
  const faults = garmentFaults(review);
  return faults.length > 0 ? { faults } : { review };
}

/** How far each garment's proof is from the artwork, in each setup, at the artwork's resolution. */
async function differences(recipe: Recipe, artwork: Artwork): Promise<ReadonlyMap<string, Difference>> {
  const print = await makePrint(recipe, artwork);
  return new Map(
    [...recipe.setups].flatMap(([name, setup]) =>
      setup.garments.map((garment): [string, Difference] => [
        `${garment} ${name}`,
        proofDifference(recipe, setup, garment, artwork, print.proof(garment, name)),
      ]),
    ),
  );
}

/** The review with the garments' figures at a higher resolution than preview size, where edges are most of a picture. */
function withFigures(
  review: Review,
  was: ReadonlyMap<string, Difference>,
  is: ReadonlyMap<string, Difference>,
): Review {
  const { figures } = review;
  if (!figures) return review;
  const garments = figures.garments.map((one) => {
    const key = `${one.garment} ${one.setup}`;
    return { ...one, before: was.get(key), after: is.get(key) };
  });
  return { ...review, figures: { ...figures, garments } };
}

const FLAT = "flat art is printed solid, a plate for each colour; there is nothing to move";

/** Why there is nothing to be said of a recipe's tones; undefined where there is. */
export function unfit({ artwork, plates }: Recipe): string | undefined {
  if (artwork.flat) return FLAT;
  const given = [...plates.values()].flatMap((plate) => (plate.given ? [plate.name] : []));
  if (given.length > 0)
    return `${listed(given)} ${given.length === 1 ? "comes" : "come"} from files; tune recipes whose plates are all taken from the artwork`;
  const indexed = [...plates.values()].flatMap(({ name, extract }) => (extract.index ? [name] : []));
  return indexed.length > 0
    ? `squares of ${listed(indexed)} are shared out by the program; tune recipes whose plates are all made by hand`
    : undefined;
}

/** Whether all of a recipe's plates are made by hand, of art with tones. */
export function isTunable(recipe: Recipe): boolean {
  return unfit(recipe) === undefined && foundPlates(recipe).length === 0;
}

function foundPlates({ plates }: Recipe): string[] {
  return [...plates.values()].flatMap(({ name, extract, strength }) =>
    extract.solve || strength === "match" ? [name] : [],
  );
}

async function finished<T>(search: Generator<number, T>, onProgress: OnProgress): Promise<T> {
  for (;;) {
    const step = search.next();
    if (step.done) return step.value;
    await onProgress(step.value);
  }
}

/** Mean ΔE00 that all garments come nearer. */
function gainOf({ figures }: Review): number {
  const gains = (figures?.garments ?? []).flatMap(({ before, after }) =>
    before && after ? [before.mean - after.mean] : [],
  );
  return gains.reduce((sum, gain) => sum + gain, 0) / Math.max(1, gains.length);
}

/** Each change in words, the most worth first: what a reader would see if all others had been made before. */
function saidOf(recipe: Recipe, numbers: readonly TunableNumber[], { moves, values }: Tuned): Said[] {
  const all = withNumbers(recipe, numbers, values);
  return moves.flatMap(({ dials, gain }) => {
    const back = values.map((value, d) => (dials.includes(d) ? numbers[d]!.value : value));
    const [change, ...more] = changesBetween(withNumbers(recipe, numbers, back), all);
    if (!change) return [];
    const text = [change.text, ...more.map(sentence)].join("; ");
    return [{ ...change, text: `${text}; ${Math.max(0, gain).toFixed(2)} nearer` }];
  });
}
