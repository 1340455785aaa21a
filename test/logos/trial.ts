import { join } from "node:path";
import { disk } from "../../server/jobs/disk.ts";
import { openJob, withText } from "../../server/jobs/open.ts";
import { parseColour } from "../../server/language/values/colour.ts";
import { read } from "../../server/language/values/parsed.ts";
import type { Proposal } from "../../server/propose/proposal.ts";
import { propose } from "../../server/propose/propose.ts";
import type { ProposalRequest } from "../../server/propose/request.ts";
import { previewPrint } from "../../server/render/print.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { LOGOS, type Logo } from "./drawings.ts";
import { type Score, scoreOf } from "./score.ts";
import { onPage, send, WAYS, type Way } from "./sent.ts";

export interface Trial {
  readonly logo: Logo;
  readonly way: Way;
  readonly pixels: number;
  readonly garment: keyof typeof GARMENTS;
}

export interface Tried extends Trial {
  readonly file: string;
  readonly made: Proposal | undefined;
  readonly score: Score | undefined;
  readonly failed: string | undefined;
  /** Of processors, which others do not slow down. */
  readonly seconds: number;
}

export const GARMENTS = { black: "#17171a", white: "#f4f3ef" } as const;
const SIZES = [420, 800, 1500];

/** Every logo in every way, sizes and shirts in turn. */
export function trials(): Trial[] {
  return LOGOS.flatMap((logo, l) =>
    WAYS.map((way, w) => ({
      logo,
      way,
      pixels: SIZES[(l + w) % SIZES.length]!,
      garment: (l + Math.floor(l / 2) + w) % 2 === 0 ? ("black" as const) : ("white" as const),
    })),
  );
}

/** One logo as it is sent, proposed for and scored. Files go to `folder`. */
export async function tryOut(trial: Trial, folder: string): Promise<Tried> {
  const file = await send(trial.logo, trial.way, trial.pixels, folder);
  const colour = GARMENTS[trial.garment];
  const lab = read(parseColour(colour)).lab;
  const request: ProposalRequest = {
    artworkFile: file,
    recipeFile: join(folder, "job.sep.yaml"),
    shopFile: undefined,
    garments: [{ name: trial.garment, colour, lab }],
    plates: undefined,
    style: undefined,
    widthMm: undefined,
    freeInks: false,
    files: disk,
    onProgress: () => {},
  };
  const start = process.cpuUsage();
  const made = await propose(request).catch((error: unknown) => String(error));
  const { user, system } = process.cpuUsage(start);
  const seconds = (user + system) / 1e6;
  if (typeof made === "string")
    return { ...trial, file, made: undefined, score: undefined, failed: made, seconds };
  const job = await openJob(request.recipeFile, withText(disk, request.recipeFile, made.text));
  const { recipe } = job;
  if (!recipe) throw new Error(`the proposal cannot be read: ${made.text}`);
  const print = await previewPrint(recipe, { file }, new StageCache(200_000_000));
  const score = await scoreOf(trial.way === "clear PNG" ? trial.logo : onPage(trial.logo), print, lab);
  return { ...trial, file, made, score, failed: undefined, seconds };
}
