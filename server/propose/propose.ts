import { basename, extname } from "node:path";
import { probeArtwork } from "../artwork/artwork.ts";
import { labFromBytes } from "../engine/colour/cielab.ts";
import { DifferenceMeter } from "../engine/print/difference.ts";
import { colourOf } from "../engine/print/ink-film.ts";
import { freeCandidates, HIGHLIGHT, WHITE_INK } from "../engine/propose/candidates.ts";
import { type Choice, type CurvePoint, chooseInks, worthOf } from "../engine/propose/choose.ts";
import { type Candidate, type Ground, printOrder } from "../engine/propose/trial.ts";
import type { Picture } from "../engine/raster.ts";
import { StageCache } from "../render/stage-cache.ts";
import { BACKDROP_WITHIN, inches, type Look, lookAt, near } from "./artwork.ts";
import type { Draft } from "./draft.ts";
import { flatJob } from "./flat-job.ts";
import { type Cloth, type ColourPlate, draftOf, isLight, isSeen, type JobParts, leaving } from "./job.ts";
import { type Checked, checked, mended } from "./mend.ts";
import { rangedPlates } from "./ranged-job.ts";
import { ProposalError, type ProposalRequest, type Style } from "./request.ts";
import { pathFrom, readShopFloor, type ShopFloor } from "./shop.ts";
import { exceptBackdrop, solvedPlates } from "./solved-job.ts";

/** A recipe for an artwork, with what led to it. */
export interface Proposal {
  readonly text: string;
  readonly kind: "flat" | "greyscale" | "tones";
  readonly style: Style;
  readonly widthMm: number;
  /** Plates beside the underbase, and screens in all. */
  readonly plates: number;
  readonly screens: number;
  /** How near so many plates come; empty for flat art. */
  readonly curve: readonly CurvePoint[];
  /** The proof against the artwork, a garment each, at preview size. */
  readonly proofs: readonly {
    readonly garment: string;
    readonly setup: string;
    readonly mean: number;
    readonly p95: number;
  }[];
  /** What cannot be printed well, and why. */
  readonly notes: readonly string[];
}

/** Plates beside the underbase that are tried where nobody says how many. */
const USUAL_MOST = 10;
/** Ranges reach less than what the curve counts on, so a plate that seems to bring half a visible step brings one. */
const RANGED_PATIENCE = 0.4;
/** Rounds of check and mending. */
const ROUNDS = 6;
/** Rounds in which inks may be chosen again. */
const CHOICES = 2;
const CACHE_BYTES = 200_000_000;

export async function propose(request: ProposalRequest): Promise<Proposal> {
  // A picture that is not there is told of as such, not as a recipe's fault.
  await probeArtwork(request.artworkFile, { widthMm: 1 });
  const floor = await readShopFloor(request);
  const look = await lookAt(request, floor);
  await request.pace(0.05);
  const kind = look.flat ? "flat" : look.grey ? "greyscale" : "tones";
  const notes = [...look.notes];
  const most = Math.min(request.plates ?? USUAL_MOST, roomFor(floor, request.cloths));
  const shelf = request.freeInks ? [] : floor.shelf;
  const solid = look.flat !== undefined && request.style !== "solve" && look.flat.length <= most + 1;
  const made = solid ? flatProposal(request, floor, look, shelf) : undefined;
  if (made && made.colours <= most) {
    notes.push(...made.notes);
    const result = await checkedProposal(request, look.backdrop, () => ({
      draft: made.draft,
      again: undefined,
    }));
    return {
      ...result,
      kind,
      style: "ranges",
      widthMm: look.widthMm,
      plates: made.colours,
      curve: [],
      notes,
    };
  }
  if (look.flat && !made && request.style !== "solve")
    notes.push(
      `the artwork has ${look.flat.length} flat colours for ${most} plates, so tints make up for the rest`,
    );
  return tonal(request, floor, look, shelf, most, kind, notes);
}

function flatProposal(request: ProposalRequest, floor: ShopFloor, look: Look, shelf: readonly Candidate[]) {
  // Whoever asks for so many plates gets them; else black on black cloth is the cloth.
  const all = (request.plates ?? 0) >= look.flat!.length;
  const job = flatJob(look, request.cloths, shelf, all);
  const needsBase =
    request.cloths.some((cloth) => !isLight(cloth)) &&
    job.plates.some(({ ink }) => !(ink.onTop || ("opacity" in ink.film && ink.film.opacity >= 0.93)));
  const base = needsBase ? whiteOf(shelf) : undefined;
  const alone = job.plates.map((plate) =>
    // Without an underbase white is no highlight, but the ground itself.
    needsBase ? plate : { ...plate, ink: { ...plate.ink, onTop: false } },
  );
  const draft = draftOf({
    ...common(request, floor, look),
    plates: alone,
    base: base && {
      ink: base,
      extract: { artwork: "opaque", ...leaving(job.bare) },
      comment: "The white ground under all that the cloth would dull.",
    },
    knockOut: true,
    solved: false,
    onOwnColour: job.onOwnColour,
    head: [
      `Flat art of ${counted(look.flat!.length, "colour")}: a solid plate each, no halftone.`,
      "Each plate reaches half of the way to the other colours, so that edges fall where they are drawn.",
      ...look.notes.map(sentence),
      ...job.notes.map(sentence),
    ],
  });
  return { draft, colours: job.plates.length, notes: job.notes };
}

async function tonal(
  request: ProposalRequest,
  floor: ShopFloor,
  look: Look,
  shelf: readonly Candidate[],
  most: number,
  kind: Proposal["kind"],
  notes: readonly string[],
): Promise<Proposal> {
  const { cloths, pace } = request;
  const dark = cloths.filter((cloth) => !isLight(cloth));
  const ranged = request.style === "ranges";
  // What prints alike on several garments, or is made by hand, has a whole underbase.
  const shared = cloths.length > 1 || ranged;
  const cloth = dark[0] ?? cloths[0]!;
  const base = dark.length > 0 ? whiteOf(shelf) : undefined;
  // Light cloth takes the dark plate first; where both share their screens, all print in that order, or colours change.
  const light = cloths.find(isLight);
  const lightFirst = cloths.every((one) => !isLight(one));
  const ground: Ground = {
    conditions: {
      // Shared screens know white below them only, be it cloth or underbase.
      garment: shared ? (light?.lab ?? colourOf(whiteOf(shelf).film)) : cloth.lab,
      n: 1,
      compensated: floor.screening.compensate,
      smallestDot: floor.screening.smallestDot,
    },
    base: shared ? undefined : base,
    wetInk: 2.4,
    lightFirst,
    covered: look.kept.reduce((sum, kept) => sum + kept, 0) / look.kept.length,
  };
  const found =
    shelf.length > 0
      ? shelf.filter((ink) => ink !== base)
      : freeCandidates(look.colours, kind === "greyscale");
  const top = base && { ...(shelf.length > 0 ? base : HIGHLIGHT), film: base.film, onTop: true };
  // On one cloth alone its own colour needs no ink, unless so many plates are asked for.
  const seen =
    cloths.length > 1 || request.plates !== undefined
      ? found
      : found.filter(({ film }) => isSeen(colourOf(film), cloths));
  let candidates: Candidate[] = top ? [...seen, top] : [...seen];
  let room = most;
  let choice: Choice | undefined;
  const choose = async (): Promise<{ draft: Draft; names: Map<string, Candidate> }> => {
    const steps = chooseInks(ground, look.colours, {
      candidates,
      most: room,
      fill: request.plates !== undefined,
      free: shelf.length === 0,
      ...(ranged ? { patience: RANGED_PATIENCE } : {}),
    });
    let step = steps.next();
    for (; !step.done; step = steps.next()) await pace(0.05 + 0.5 * step.value);
    choice = step.value;
    const inks = printOrder(choice.inks, lightFirst);
    const worth = worthOf(choice);
    const worthOfInk = (ink: Candidate) => worthText(worth.get(ink)!, choice!.reach.mean);
    const plates = ranged
      ? rangedPlates(inks, choice.trial, look, worthOfInk)
      : solvedPlates(inks, look, worthOfInk);
    // Where white alone does it, it is no ground but the picture itself.
    const alone: ColourPlate | undefined =
      base && inks.length === 0
        ? {
            ink: { ...base },
            extract: { solve: "jointly", ...exceptBackdrop(look.backdrop) },
            comment: "White in tones; the cloth is the dark of the picture.",
          }
        : undefined;
    const parts: JobParts = {
      ...common(request, floor, look),
      plates: alone ? [alone] : plates,
      base:
        base && inks.length > 0
          ? {
              ink: base,
              extract: shared
                ? { artwork: "opaque", ...exceptBackdrop(look.backdrop) }
                : { solve: "jointly", ...exceptBackdrop(look.backdrop) },
              comment: shared
                ? cloths.length > 1
                  ? "The white ground, the same for every garment that needs one."
                  : "The white ground under all that the cloth would dull."
                : "The white ground, and the light of the picture; the cloth is its dark.",
            }
          : undefined,
      knockOut: true,
      solved: !ranged,
      onOwnColour: true,
      head: [
        kind === "greyscale" && !ranged
          ? "Greyscale art, its plates solved: the tones whose print comes nearest to the artwork."
          : ranged
            ? "Ranges fitted to the picture: a start for work by hand. Solved plates (--style solve) come nearer."
            : "Plates solved: the tones whose print comes nearest to the artwork.",
        `Plates beside the underbase and mean ΔE00 (95 % within): ${curveText(choice.curve)}.`,
        whyStopped(choice, room, most, request),
        ...notes.map(sentence),
      ],
    };
    const draft = draftOf(parts);
    const ofPlate = draft.plates.filter(({ purpose }) => purpose !== "underbase");
    return { draft, names: new Map(ofPlate.map(({ name }, i) => [name, inks[i]!])) };
  };
  let current = await choose();
  const result = await checkedProposal(request, look.backdrop, () => ({
    draft: current.draft,
    again: async (drop) => {
      const gone = drop.flatMap((name) => current.names.get(name) ?? []);
      candidates = candidates.filter((ink) => !gone.some((bad) => alike(ink, bad)));
      room = Math.max(1, Math.min(room, choice!.inks.length - gone.length));
      current = await choose();
      return current.draft;
    },
  }));
  return {
    ...result,
    kind,
    style: ranged ? "ranges" : "solve",
    widthMm: look.widthMm,
    plates: choice!.inks.length,
    curve: choice!.curve,
    notes,
  };
}

function alike(x: Candidate, y: Candidate): boolean {
  return x.name === y.name && (x.name !== "" || near(colourOf(x.film), colourOf(y.film), 8));
}

/** Checks a draft and mends what it finds, until nothing stands. */
async function checkedProposal(
  request: ProposalRequest,
  backdrop: Look["backdrop"],
  start: () => { draft: Draft; again: ((drop: readonly string[]) => Promise<Draft>) | undefined },
): Promise<Pick<Proposal, "text" | "screens" | "proofs">> {
  const cache = new StageCache(CACHE_BYTES);
  const { draft: first, again } = start();
  let draft = first;
  let found: Checked | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    found = await checked(draft, request, cache, (done) =>
      request.pace(0.55 + (0.4 * (round + done)) / ROUNDS),
    );
    if (found.standing.length === 0) break;
    const next = mended(draft, found.standing, round, backdrop?.hex);
    if (next.drop.length > 0 && again && round < CHOICES) draft = await again(next.drop);
    else if (next.drop.length > 0)
      draft = {
        ...next.draft,
        allowances: [
          ...next.draft.allowances,
          ...next.drop.map((name) => ({
            part: `plates.${name}`,
            rule: found!.standing.find(({ path }) => path[1] === name)!.rule,
            reason: again
              ? "small as it is, no other ink prints its colour"
              : "it is one of the artwork's flat colours",
          })),
        ],
      };
    else draft = next.draft;
  }
  if (!found || found.standing.length > 0) {
    const { rule = "", message = "" } = found?.standing[0] ?? {};
    throw new ProposalError(`no recipe was found that its own check passes: ${message} [${rule}]`);
  }
  return { text: found.text, screens: draft.plates.length, proofs: proofsOf(found, backdrop) };
}

function proofsOf({ print }: Checked, backdrop: Look["backdrop"]): Proposal["proofs"] {
  const { recipe, picture, pixels } = print;
  const shown = shownOf(picture, backdrop);
  return [...recipe.setups].flatMap(([setup, { garments }]) =>
    garments.map((garment) => {
      const meter = new DifferenceMeter(recipe.garments.get(garment)!.colour.lab);
      meter.add(shown, 0, pixels, print.proof(garment, setup));
      const { mean, p95 } = meter.result();
      return { garment, setup, mean, p95 };
    }),
  );
}

/** The preview without the backdrop that the recipe leaves out. */
function shownOf(picture: Picture, backdrop: Look["backdrop"]): Picture {
  if (!backdrop) return picture;
  const data = picture.data.slice();
  const known = new Map<number, boolean>();
  for (let at = 0; at < data.length; at += 4) {
    const key = (data[at]! << 16) | (data[at + 1]! << 8) | data[at + 2]!;
    let same = known.get(key);
    if (same === undefined) {
      same = near(labFromBytes(data[at]!, data[at + 1]!, data[at + 2]!), backdrop.lab, BACKDROP_WITHIN);
      known.set(key, same);
    }
    if (same) data[at + 3] = 0;
  }
  return { ...picture, data };
}

function common(request: ProposalRequest, floor: ShopFloor, look: Look) {
  return {
    title: titleOf(request.artworkFile),
    shop: floor.path,
    artwork: { file: pathFrom(request.recipeFile, request.artworkFile), width: inches(look.widthMm) },
    cloths: request.cloths,
    press: floor.press,
    shelf: floor.shelf.map(({ name }) => name),
    screening:
      floor.path === undefined
        ? ({ ruling: "45 lpi", angle: 22.5, dot: "round", film: "1200 dpi", "smallest-dot": "4%" } as const)
        : undefined,
  };
}

function titleOf(file: string): string {
  const words = basename(file, extname(file))
    .replaceAll(/[\s_-]+/g, " ")
    .trim();
  return words === "" ? "New job" : words[0]!.toUpperCase() + words.slice(1);
}

/** The ink that does for an underbase: light, neutral and hiding. */
function whiteOf(shelf: readonly Candidate[]): Candidate {
  const light = shelf
    .filter(({ film }) => near(colourOf(film), colourOf(WHITE_INK.film), 10))
    .sort((x, y) => colourOf(y.film).L - colourOf(x.film).L);
  return light[0] ?? WHITE_INK;
}

/** Plates beside the underbase that the press has stations for, flashes counted. */
function roomFor({ press }: ShopFloor, cloths: readonly Cloth[]): number {
  const dark = cloths.some((cloth) => !isLight(cloth));
  const stations = (press?.stations ?? 14) - (dark ? 2 : 0);
  const layers = press?.wetLayers ?? 8;
  let most = Math.max(1, stations);
  while (most > 1 && most + Math.ceil(most / layers) - 1 > stations) most--;
  return Math.min(most, 12);
}

function curveText(curve: readonly CurvePoint[]): string {
  return curve.map(({ plates, mean, p95 }) => `${plates}: ${mean.toFixed(1)} (${p95.toFixed(1)})`).join(", ");
}

function whyStopped(
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
    ? `${counted(n, "plate")}: the press has no more stations.`
    : `${counted(n, "plate")}: no other ink brings it nearer.`;
}

function worthText({ without, coverage }: { without: number; coverage: number }, mean: number): string {
  const covers = `Covers ${coverage < 0.01 ? "under 1" : Math.round(coverage * 100)} %`;
  return without - mean < 0.05
    ? `${covers}.`
    : `${covers}; without it the mean ΔE00 is ${without.toFixed(1)}.`;
}

function sentence(text: string): string {
  return `${text[0]!.toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? "" : "."}`;
}

function counted(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? "" : "s"}`;
}
