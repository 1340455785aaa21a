import { linearFromLab } from "../engine/colour/cielab.ts";
import { byteFromLinear } from "../engine/colour/srgb.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";
import type { FilmsMade } from "../output/films/left-out.ts";
import type { WrittenFilm } from "../output/films/setup-films.ts";
import { picturePng } from "../output/png.ts";
import { ticketFacts } from "../output/ticket/facts.ts";
import { type TicketProof, ticketPage } from "../output/ticket/page.ts";
import type { Print } from "../render/print.ts";
import { proofDifference } from "../render/proof-meter.ts";
import { CAUTIONS } from "../rules/cautions.ts";
import type { Looked } from "./look.ts";

export interface TicketRequest {
  readonly setup: string;
  /** What an order prints with this setup; without one, all of the setup's garments, and ink for a hundred. */
  readonly ordered?: { readonly garments: readonly string[]; readonly count: number } | undefined;
  readonly films: readonly WrittenFilm[];
  /** What is known of the films where they were made. */
  readonly made?: FilmsMade | undefined;
  /** What is known of the setup's last run. */
  readonly lastRun?: readonly string[];
  readonly date: string;
  readonly fingerprint: string;
  readonly producer: string;
}

/** The page of a setup's job ticket. */
export async function ticketHtml({ print, findings }: Looked, request: TicketRequest): Promise<string> {
  const { recipe } = print;
  const { setup, ordered, films, made, lastRun = [], date, fingerprint, producer } = request;
  const garments = ordered?.garments ?? recipe.setups.get(setup)!.garments;
  const proofs: TicketProof[] = [];
  for (const garment of garments) proofs.push(await proofOf(print, garment, setup));
  return ticketPage({
    facts: { ...ticketFacts(print, setup, findings, ordered?.count), garments },
    proofs,
    inkColours: new Map([...recipe.inks].map(([name, { colour }]) => [name, cssHex(colour.lab)])),
    films,
    made,
    lastRun,
    cautions: CAUTIONS,
    date,
    fingerprint,
    producer,
  });
}

async function proofOf(print: Print, garment: string, setup: string): Promise<TicketProof> {
  const rgb = print.proof(garment, setup);
  const { recipe, artwork } = print;
  const { mean, p95 } = proofDifference(recipe, recipe.setups.get(setup)!, garment, artwork, rgb);
  return { garment, png: await proofPicture(print, garment, setup), mean, p95 };
}

/** A garment with a setup's print on it, as PNG. */
export async function proofPicture(print: Print, garment: string, setup: string): Promise<Uint8Array> {
  const { width, height } = print.picture;
  return picturePng(print.proof(garment, setup), width, height, print.artwork.ppi);
}

/** A colour as a screen shows it, #rrggbb. */
export function cssHex(lab: { readonly L: number; readonly a: number; readonly b: number }): string {
  const { r, g, b } = linearFromLab(lab);
  return hexOf([byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)]);
}
