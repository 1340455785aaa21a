import { dirname, relative, resolve, sep } from "node:path";
import type { Candidate } from "../engine/propose/trial.ts";
import { canBePrinted, openJob, withText } from "../jobs/open.ts";
import type * as Formats from "../language/generated/formats.ts";
import { dotGain } from "../language/readings/gain.ts";
import type { Recipe } from "../language/recipe.ts";
import { ProposalError, type ProposalRequest } from "./request.ts";

/** What a proposal goes by: the shop's press, meshes, screening and shelf, or the usual where there is no shop. */
export interface ShopSettings {
  /** The shop's path from the recipe's folder. */
  readonly path: string | undefined;
  readonly press: Recipe["press"];
  readonly meshes: Recipe["meshes"];
  readonly usualMesh: NonNullable<Formats.Shop["usual-mesh"]>;
  readonly screening: Recipe["screening"];
  /** Most ink that may lie wet at once, as a sum of tones. */
  readonly wetInk: number;
  /** Inks in the ink library; empty without one. */
  readonly shelf: readonly Candidate[];
}

/** Reads the shop file as a recipe beside it would. Throws ProposalError where it cannot be used. */
export async function readShopSettings(request: ProposalRequest): Promise<ShopSettings> {
  const { shopFile, recipeFile } = request;
  const path = shopFile === undefined ? undefined : pathFrom(recipeFile, shopFile);
  const text = [
    "recipe: 1",
    ...(path === undefined ? [] : [`shop: ${JSON.stringify(path)}`]),
    `artwork: { file: ${JSON.stringify(pathFrom(recipeFile, request.artworkFile))}, width: 1 in }`,
    'garments: { garment: { colour: "#000" } }',
    'inks: { any: { colour: "#fff", opacity: 90% } }',
    "plates: { any: { ink: any, extract: { artwork: opaque } } }",
    "setups: { any: { garments: [garment], order: [any] } }",
    "",
  ].join("\n");
  const job = await openJob(recipeFile, withText(request.files, recipeFile, text));
  if (!canBePrinted(job)) {
    const { file, message } = job.findings.find(({ level }) => level === "error")!;
    throw new ProposalError(`${file === recipeFile ? (shopFile ?? file) : file}: ${message}`);
  }
  const { recipe, project } = job;
  const shop = project.shop?.value as Formats.Shop | undefined;
  const shelf = [...recipe.inks].filter(([name]) => shop?.inks?.[name] !== undefined);
  return {
    path,
    press: recipe.press,
    meshes: recipe.meshes,
    usualMesh: shop?.["usual-mesh"] ?? {},
    screening: recipe.screening,
    wetInk: recipe.solve.wetInk,
    shelf: shelf.map(([name, { film, gain }]) => ({
      name,
      film,
      gain: dotGain(gain ?? recipe.screening.gain, 1),
    })),
  };
}

/** A file's path from the folder of another, with slashes on every machine. */
export function pathFrom(from: string, file: string): string {
  return relative(dirname(resolve(from)), resolve(file))
    .split(sep)
    .join("/");
}
