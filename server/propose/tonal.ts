import { colourOf } from "../engine/print/ink-film.ts";
import { freeCandidates, HIGHLIGHT } from "../engine/propose/candidates.ts";
import { type Choice, chooseInks, worthOf } from "../engine/propose/choose.ts";
import { type Candidate, printOrder, type Substrate } from "../engine/propose/trial.ts";
import { filmScreening } from "../render/film-curve.ts";
import { misregistrationOf } from "../render/plan/print-plan.ts";
import { type Look, near } from "./artwork.ts";
import { checkedProposal } from "./check-and-fix.ts";
import { common, whiteOf } from "./common.ts";
import type { Draft } from "./draft.ts";
import { type ColourPlate, draftOf, isLight, isSeen, isShadowGarment, type JobParts } from "./job.ts";
import { mixedPlates } from "./mixed-job.ts";
import type { Proposal } from "./proposal.ts";
import { rangedPlates } from "./ranged-job.ts";
import type { ProposalRequest } from "./request.ts";
import type { ShopSettings } from "./shop.ts";
import { tunedRanges } from "./tuned-ranges.ts";
import { curveText, sentence, whyStopped, worthText } from "./words.ts";

/** Ranges reach less than what the curve counts on, so a plate that seems to bring half a visible step brings one. */
const RANGED_PATIENCE = 0.4;

/** Art with tones: the inks that are worth their screens, and plates that the solver or fitted ranges fill. */
export async function tonal(
  request: ProposalRequest,
  floor: ShopSettings,
  look: Look,
  shelf: readonly Candidate[],
  most: number,
  kind: Proposal["kind"],
  notes: readonly string[],
): Promise<Proposal> {
  const { garments, onProgress } = request;
  const dark = garments.filter((garment) => !isLight(garment));
  const ranged = request.style === "ranges";
  const indexed = request.style === "index";
  // What prints alike on several garments, or is made by hand, has a whole underbase.
  const shared = garments.length > 1 || ranged || indexed;
  const garment = dark[0] ?? garments[0]!;
  const base = dark.length > 0 ? whiteOf(shelf) : undefined;
  // Light garments take the dark plate first; where both share their screens, all print in that order, or colours change.
  const light = garments.find(isLight);
  const lightFirst = garments.every((one) => !isLight(one));
  const ground: Substrate = {
    conditions: {
      // Shared screens know white below them only, be it garment or underbase.
      garment: shared ? (light?.lab ?? colourOf(whiteOf(shelf).film)) : garment.lab,
      n: 1,
      compensated: floor.screening.compensate,
      smallestDot: floor.screening.smallestDot,
      misregistrationMm: misregistrationOf(floor),
    },
    screen: filmScreening(floor.screening),
    base: shared ? undefined : base,
    wetInk: floor.wetInk,
    lightFirst,
    covered: look.kept.reduce((sum, kept) => sum + kept, 0) / look.kept.length,
  };
  const found =
    shelf.length > 0
      ? shelf.filter((ink) => ink !== base)
      : freeCandidates(look.colours, kind === "greyscale");
  // Where no square carries ink, white shows by itself.
  const top = base && !indexed && { ...(shelf.length > 0 ? base : HIGHLIGHT), film: base.film, onTop: true };
  // On one garment alone its own colour needs no ink, unless so many plates are asked for.
  const seen =
    garments.length > 1 || request.plates !== undefined
      ? found
      : found.filter(({ film }) => isSeen(colourOf(film), garments));
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
    for (; !step.done; step = steps.next()) await onProgress(0.05 + 0.5 * step.value);
    choice = step.value;
    const inks = printOrder(choice.inks, lightFirst);
    const worth = worthOf(choice);
    // Coverage and gain are of tints that overprint, which squares do not.
    const worthOfInk = (ink: Candidate) =>
      indexed
        ? "One of the inks that squares are shared out to."
        : worthText(worth.get(ink)!, choice!.reach.mean);
    const plates = ranged
      ? rangedPlates(inks, choice.trial, worthOfInk)
      : mixedPlates(inks, indexed ? { index: "squares" } : { solve: "jointly" }, worthOfInk);
    // Where white alone does it, it is no ground but the picture itself.
    const alone: ColourPlate | undefined =
      base && inks.length === 0
        ? {
            ink: { ...base },
            extract: { solve: "jointly" },
            comment: "White in tones; the garment is the dark of the picture.",
          }
        : undefined;
    const parts: JobParts = {
      ...common(request, floor, look),
      plates: alone ? [alone] : plates,
      base:
        base && inks.length > 0
          ? {
              ink: base,
              extract: shared ? { artwork: "opaque" } : { solve: "jointly" },
              comment: shared
                ? garments.length > 1
                  ? "The underbase, the same for every garment that needs one."
                  : "The underbase, under everything that the garment would dull."
                : "The underbase, and the light of the picture; the garment is its dark.",
            }
          : undefined,
      // Dots nest: knocked out by its tone, the base would lie under the dark plate's dots, and greys print dark; a base that
      // is solved with it allows for that. Other garments would show through. Under squares of all inks it stays whole.
      knockOut: dark.every(isShadowGarment) && !indexed && (shared ? "solid" : true),
      solved: !ranged && !indexed,
      onOwnColour: true,
      head: [
        indexed
          ? "Index separation: each square of the grid carries one of these inks or none, so that they mix to the artwork."
          : kind === "greyscale" && !ranged
            ? "Greyscale art, its plates solved: the tones whose print comes nearest to the artwork."
            : ranged
              ? "Ranges fitted to the picture: a start for work by hand. Solved plates (--style solve) come nearer."
              : "Plates solved: the tones whose print comes nearest to the artwork.",
        ...(indexed
          ? [
              "The inks were chosen as tints that overprint, and so are the figures; squares come less near, as the proof says.",
            ]
          : []),
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
  const checked = await checkedProposal(request, () => ({
    draft: current.draft,
    again: async (drop) => {
      const gone = drop.flatMap((name) => current.names.get(name) ?? []);
      candidates = candidates.filter((ink) => !gone.some((bad) => alike(ink, bad)));
      room = Math.max(1, Math.min(room, choice!.inks.length - gone.length));
      current = await choose();
      return current.draft;
    },
  }));
  const result = ranged ? await tunedRanges(request, checked) : checked;
  return {
    ...result,
    kind,
    style: ranged ? "ranges" : indexed ? "index" : "solve",
    widthMm: look.widthMm,
    plates: choice!.inks.length,
    curve: choice!.curve,
    notes: [...notes, ...result.notes],
  };
}

function alike(x: Candidate, y: Candidate): boolean {
  return x.name === y.name && (x.name !== "" || near(colourOf(x.film), colourOf(y.film), 8));
}
