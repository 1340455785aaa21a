import { deltaE00 } from "../engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../engine/colour/cielab.ts";
import { colourOf } from "../engine/print/ink-film.ts";
import { HIGHLIGHT, mixedInk, WHITE_INK } from "../engine/propose/candidates.ts";
import type { Candidate } from "../engine/propose/trial.ts";
import { atPreviewSize, lookAt, ONE_JOB_BYTES } from "../jobs/look.ts";
import { canBePrinted, openJob, withText } from "../jobs/open.ts";
import { printable } from "../language/printable.ts";
import { parseColour } from "../language/values/colour.ts";
import { counted } from "../language/words.ts";
import { StageCache } from "../render/stage-cache.ts";
import { inches } from "./artwork.ts";
import { whiteOf } from "./common.ts";
import { type ColourPlate, draftOf, isLight } from "./job.ts";
import { type FoundPlate, lookAtPlates, type PlateSet } from "./plate-set.ts";
import { ProposalError, type ProposalRequest } from "./request.ts";
import { pathFrom, readShopSettings, type ShopSettings } from "./shop.ts";
import { recipeText } from "./text.ts";

/** A recipe for plates that somebody else made. */
export interface PlateSetProposal {
  readonly text: string;
  readonly kind: "plates";
  readonly widthMm: number;
  readonly plates: number;
  readonly screens: number;
  /** What the files do not say, and was guessed. */
  readonly questions: readonly string[];
  /** What the recipe's own check has to say. */
  readonly notes: readonly string[];
}

/** Width where no file says one. Common practice, no source. */
const USUAL_WIDTH_MM = 304.8;
/** ΔE00 within which an ink in the ink library is the colour that a file shows. Common practice, no source. */
const SAME_INK = 12;
/** A plate of more mean tone than this may have its greys the other way round. No source. */
const MOSTLY_SOLID = 0.75;

/** Rules on inks, which are in question still. */
const OF_INKS = new Set(["close-inks", "far-ink", "unsteady-colour"]);

/** The recipe for a set of plates, each of which prints as it is. Throws ArtworkError, ProposalError. */
export async function proposeForPlates(
  request: ProposalRequest,
  files: readonly string[],
): Promise<PlateSetProposal> {
  const set = await lookAtPlates(files, request.files.within);
  const floor = await readShopSettings({ ...request, artworkFile: set.artwork ?? files[0]! });
  await request.onProgress(0.4);
  const questions: string[] = [];
  const widthMm = request.widthMm ?? set.widthMm ?? USUAL_WIDTH_MM;
  if (request.widthMm === undefined && set.widthMm === undefined)
    questions.push(
      `how wide does it print? No file says so, and ${inches(widthMm)} is a guess (artwork.width)`,
    );
  const shelf = request.freeInks ? [] : floor.shelf;
  const text = recipeText(draft(request, set, floor, shelf, widthMm, questions));
  const job = await openJob(request.recipeFile, withText(request.files, request.recipeFile, text));
  if (!canBePrinted(job)) {
    const wrong = job.findings.find(({ level }) => level === "error");
    throw new ProposalError(`the set cannot be put together: ${wrong?.message}`);
  }
  const cache = new StageCache(ONE_JOB_BYTES);
  const { findings } = await lookAt(job, atPreviewSize(cache), (done) =>
    request.onProgress(0.4 + 0.6 * done),
  );
  return {
    text,
    kind: "plates",
    widthMm,
    plates: set.plates.length,
    screens: job.recipe.plates.size,
    questions,
    notes: findings
      .filter(({ level, allowed, rule }) => level !== "note" && allowed === undefined && !OF_INKS.has(rule))
      .map(({ message, rule }) => `${message} [${rule}]`),
  };
}

function draft(
  request: ProposalRequest,
  set: PlateSet,
  floor: ShopSettings,
  shelf: readonly Candidate[],
  widthMm: number,
  questions: string[],
) {
  const { garments } = request;
  const dark = garments.some((garment) => !isLight(garment));
  const baseAt = dark ? underbaseOf(set.plates) : -1;
  const plates = set.plates.map((plate, i): ColourPlate => {
    const { ink, doubt } = inkOf(plate, shelf, i === baseAt, dark);
    if (doubt !== undefined) questions.push(doubt);
    if (plate.coverage > MOSTLY_SOLID && !plate.view.colorant)
      questions.push(
        `is white the ink in ${printable(plate.file)}? It is nearly solid as it is read (plates.${plate.name}: solid: white turns it round)`,
      );
    return {
      ink,
      name: plate.name,
      extract: { plate: pathFrom(request.recipeFile, plate.file), ...plate.view },
      comment: doubt === undefined ? `${commentOf(plate)}.` : `${commentOf(plate)}. Question: ${doubt}.`,
    };
  });
  const base = plates[baseAt];
  const L = (plate: ColourPlate) => colourOf(plate.ink.film).L;
  const last = (plate: ColourPlate) => Number(plate.ink.onTop === true);
  const inOrder = plates
    .filter((_, i) => i !== baseAt)
    .sort((a, b) => last(a) - last(b) || (dark ? L(b) - L(a) : L(a) - L(b)));
  if (dark && baseAt < 0 && plates.length > 1)
    questions.push("which plate is the underbase? None is named so (purpose: underbase)");
  questions.push("in which order do the plates print? Their files do not say (setups)");
  const made = draftOf({
    title: set.title,
    shop: floor.path,
    artwork: {
      ...(set.artwork === undefined
        ? { "made-of": "plates" as const }
        : { file: pathFrom(request.recipeFile, set.artwork) }),
      width: inches(widthMm),
    },
    garments,
    press: floor.press,
    shelf: floor.shelf.map(({ name }) => name),
    plates: inOrder,
    base: base && { ...base, extract: base.extract },
    knockOut: false,
    solved: false,
    onOwnColour: true,
    screening:
      floor.path === undefined
        ? {
            ruling: "45 lpi",
            angle: 22.5,
            film: set.filmDpi === undefined ? "1200 dpi" : `${set.filmDpi} dpi`,
          }
        : set.filmDpi === undefined
          ? undefined
          : { film: `${set.filmDpi} dpi` },
    head: [
      `${counted(plates.length, "plate")} that were made elsewhere, taken as they are: no traps, no knockouts.`,
      ...questions.map((question) => `Question: ${question}.`),
    ],
  });
  // Whoever made the plates has trapped them.
  return { ...made, traps: [], knockouts: [] };
}

function commentOf({ file, view }: FoundPlate): string {
  const part =
    view.colorant !== undefined
      ? `"${printable(view.colorant)}" in the file`
      : view.page !== undefined
        ? `Page ${view.page}`
        : view.channel !== undefined
          ? `Channel ${view.channel}`
          : printable(file.replace(/^.*[\\/]/, ""));
  return view.screened ? `${part}, a film with dots of its own` : part;
}

const BASE = /(?:^|-)(?:base|underbase|under|ground)(?:-|$)/;
const TOP = /(?:^|-)(?:highlight|hilite|glint|top|top-white|second-white)(?:-|$)/;

/** The plate that is called so, or the only white one beside colours. */
function underbaseOf(plates: readonly FoundPlate[]): number {
  const named = plates.findIndex(({ name }) => BASE.test(name));
  if (named >= 0 || plates.length < 2) return named;
  const whites = plates.flatMap(({ name }, i) =>
    /(?:^|-)white(?:-|$)/.test(name) && !TOP.test(name) ? [i] : [],
  );
  return whites[0] ?? -1;
}

/** Colours that names of colorants say, as they are usually meant. Common practice, no source. */
const WORDS: Readonly<Record<string, string>> = {
  cyan: "#009fe3",
  magenta: "#e5007d",
  yellow: "#ffec00",
  black: "#131316",
  key: "#131316",
  shadow: "#131316",
  white: "#f6f5f1",
  red: "#d0202e",
  orange: "#ee7722",
  gold: "#c9a14a",
  green: "#1f8a44",
  lime: "#9ccb3b",
  teal: "#0f8a8a",
  blue: "#1c4fa1",
  navy: "#1d2440",
  sky: "#69b3e7",
  violet: "#5b3a96",
  purple: "#7b2f86",
  pink: "#ef8fb1",
  rose: "#e0607e",
  brown: "#6b4226",
  tan: "#c8a47a",
  cream: "#f3e6c8",
  grey: "#8f9196",
  gray: "#8f9196",
  silver: "#b9bcc0",
};

/** The ink that prints a plate, and what is to be asked where it is a guess. */
function inkOf(
  { name, look }: FoundPlate,
  shelf: readonly Candidate[],
  isBase: boolean,
  dark: boolean,
): { readonly ink: Candidate; readonly doubt: string | undefined } {
  const named = shelf.find((ink) => ink.name.toLowerCase() === name);
  const top = dark && !isBase && (TOP.test(name) || /(?:^|-)white(?:-|$)/.test(name));
  const onTop = (ink: Candidate) => (top ? { ...ink, onTop: true } : ink);
  if (named) return { ink: onTop(named), doubt: undefined };
  if (isBase) return { ink: whiteOf(shelf), doubt: undefined };
  if (top) return { ink: shelf.length > 0 ? onTop(whiteOf(shelf)) : HIGHLIGHT, doubt: undefined };
  const words = name.split("-");
  const part = shelf.find((ink) => words.includes(ink.name.toLowerCase()));
  if (part) return { ink: part, doubt: undefined };
  const shown = look && labFromBytes(...look);
  const word = words.map((one) => WORDS[one]).find((colour) => colour !== undefined);
  const colour = shown ?? (word === undefined ? undefined : labOf(word));
  const near = colour && nearest(colour, shelf);
  if (near)
    return { ink: near, doubt: `is ${near.name} the ink of ${name}? It is the nearest in the ink library` };
  if (!colour)
    return {
      ink: mixedInk(labOf("#8f9196")),
      doubt: `which ink prints ${name}? Neither its name nor its file says, and grey stands for it`,
    };
  const whence = shown ? "as the file shows it" : "after its name";
  return {
    ink: /(?:^|-)white(?:-|$)/.test(name) ? WHITE_INK : mixedInk(colour),
    doubt: `which ink prints ${name}? Its colour is ${whence}, its opacity a guess`,
  };
}

function nearest({ L, a, b }: Lab, shelf: readonly Candidate[]): Candidate | undefined {
  const far = (ink: Candidate) => {
    const own = colourOf(ink.film);
    return deltaE00(L, a, b, own.L, own.a, own.b);
  };
  const [best] = shelf.toSorted((x, y) => far(x) - far(y));
  return best && far(best) <= SAME_INK ? best : undefined;
}

function labOf(hex: string): Lab {
  const read = parseColour(hex);
  if (!read.ok) throw new Error(read.problem);
  return read.value.lab;
}
