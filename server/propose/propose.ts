import { probeArtwork } from "../artwork/artwork.ts";
import type { Candidate } from "../engine/propose/trial.ts";
import { counted } from "../language/words.ts";
import { type Look, lookAt } from "./artwork.ts";
import { checkedProposal } from "./check-and-fix.ts";
import { common, whiteOf } from "./common.ts";
import { flatJob } from "./flat-job.ts";
import { draftOf, type GarmentColour, isLight, leaving } from "./job.ts";
import type { Proposal } from "./proposal.ts";
import type { ProposalRequest } from "./request.ts";
import { readShopSettings, type ShopSettings } from "./shop.ts";
import { tonal } from "./tonal.ts";
import { DEFAULT_MOST, sentence } from "./words.ts";

/** Only how many of the artwork's pixels lie across what prints of it; undefined for a drawing. */
export async function pixelsAcross(request: ProposalRequest): Promise<number | undefined> {
  return (await lookAt(request, await readShopSettings(request))).pixels;
}

export async function propose(request: ProposalRequest): Promise<Proposal> {
  // A picture that is not there is told of as such, not as a recipe's fault.
  await probeArtwork(request.artworkFile, { widthMm: 1, within: request.files.within });
  const floor = await readShopSettings(request);
  const look = await lookAt(request, floor);
  await request.onProgress(0.05);
  const kind = look.flat ? "flat" : look.grey ? "greyscale" : "tones";
  const notes = [...look.notes];
  const most = Math.min(request.plates ?? DEFAULT_MOST, roomFor(floor, request.garments));
  const shelf = request.freeInks ? [] : floor.shelf;
  const mixed = request.style === "solve" || request.style === "index";
  const solid = look.flat !== undefined && !mixed && look.flat.length <= most + 1;
  const made = solid ? flatProposal(request, floor, look, shelf) : undefined;
  if (made && made.colours <= most) {
    notes.push(...made.notes);
    const result = await checkedProposal(request, () => ({
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
      notes: [...notes, ...result.notes],
    };
  }
  if (look.flat && !made && !mixed)
    notes.push(
      `the artwork has ${look.flat.length} flat colours for ${most} plates, so tints make up for the rest`,
    );
  return tonal(request, floor, look, shelf, most, kind, notes);
}

/** Plates beside the underbase that the press has stations for, flashes counted. */
function roomFor({ press }: ShopSettings, garments: readonly GarmentColour[]): number {
  const dark = garments.some((garment) => !isLight(garment));
  const stations = (press?.stations ?? 14) - (dark ? 2 : 0);
  const layers = press?.wetLayers ?? 8;
  let most = Math.max(1, stations);
  while (most > 1 && most + Math.ceil(most / layers) - 1 > stations) most--;
  return Math.min(most, 12);
}

function flatProposal(
  request: ProposalRequest,
  floor: ShopSettings,
  look: Look,
  shelf: readonly Candidate[],
) {
  // Whoever asks for so many plates gets them; else black on a black garment is the garment.
  const all = (request.plates ?? 0) >= look.flat!.length;
  const job = flatJob(look, request.garments, shelf, all);
  const needsBase =
    request.garments.some((garment) => !isLight(garment)) &&
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
      comment: "The underbase, under everything that the garment would dull.",
    },
    knockOut: true,
    solved: false,
    trapped: job.plates.length > 1,
    onOwnColour: job.onOwnColour,
    head: [
      `Flat art of ${counted(look.flat!.length, "colour")}: a solid plate each, no halftone.`,
      "Every pixel is taken for one of these colours, at an edge for a mixture of two; each plate prints its own colour.",
      ...look.notes.map(sentence),
      ...job.notes.map(sentence),
    ],
  });
  return { draft, colours: job.plates.length, notes: job.notes };
}
