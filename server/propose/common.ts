import { basename, extname } from "node:path";
import { colourOf } from "../engine/print/ink-film.ts";
import { WHITE_INK } from "../engine/propose/candidates.ts";
import type { Candidate } from "../engine/propose/trial.ts";
import { inches, type Look, near } from "./artwork.ts";
import type { ProposalRequest } from "./request.ts";
import { pathFrom, type ShopSettings } from "./shop.ts";

/** What every job has from the request, the shop and the artwork. */
export function common(request: ProposalRequest, floor: ShopSettings, look: Look) {
  return {
    title: titleOf(request.artworkFile),
    shop: floor.path,
    artwork: {
      file: pathFrom(request.recipeFile, request.artworkFile),
      width: inches(look.widthMm),
      ...look.said,
    },
    garments: request.garments,
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
export function whiteOf(shelf: readonly Candidate[]): Candidate {
  const light = shelf
    .filter(({ film }) => near(colourOf(film), colourOf(WHITE_INK.film), 10))
    .sort((x, y) => colourOf(y.film).L - colourOf(x.film).L);
  return light[0] ?? WHITE_INK;
}
