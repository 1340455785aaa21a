import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { expect } from "vitest";
import { disk } from "../../server/jobs/disk.ts";
import type { Finding } from "../../server/language/finding.ts";
import { openProject } from "../../server/language/project.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { parseColour } from "../../server/language/values/colour.ts";
import { read } from "../../server/language/values/parsed.ts";
import type { Proposal } from "../../server/propose/proposal.ts";
import { propose } from "../../server/propose/propose.ts";
import type { ProposalRequest } from "../../server/propose/request.ts";

import { checkedJob } from "../jobs/checked.ts";

export type Pixel = readonly [r: number, g: number, b: number, alpha?: number];

/** A picture drawn by a function of x and y, both 0–1, as PNG. */
export async function putPicture(
  folder: string,
  at: (x: number, y: number) => Pixel,
  [width, height] = [600, 500],
): Promise<string> {
  const pixels = Buffer.alloc(width! * height! * 4);
  for (let y = 0; y < height!; y++) {
    for (let x = 0; x < width!; x++) {
      const [r, g, b, alpha = 255] = at(x / width!, y / height!);
      pixels.set([r, g, b, alpha].map(Math.round), (y * width! + x) * 4);
    }
  }
  const file = join(folder, "art.png");
  await sharp(pixels, { raw: { width: width!, height: height!, channels: 4 } })
    .png()
    .toFile(file);
  return file;
}

export function putDrawing(folder: string, shapes: string, size = "0 0 120 100"): string {
  const file = join(folder, "art.svg");
  writeFileSync(file, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${size}">${shapes}</svg>`);
  return file;
}

const RECIPE_NAME = "job.sep.yaml";

export interface Proposed extends Proposal {
  readonly recipe: Recipe;
  /** What its own check says, allowed things included. */
  readonly findings: readonly Finding[];
}

/** A proposal for a recipe beside its artwork, which is not written. */
export function proposal(
  folder: string,
  artworkFile: string,
  garments: Readonly<Record<string, string>> = { black: "#17171a" },
  more: Partial<ProposalRequest> = {},
): Promise<Proposal> {
  return propose({
    artworkFile,
    recipeFile: join(folder, RECIPE_NAME),
    shopFile: undefined,
    garments: Object.entries(garments).map(([name, colour]) => ({
      name,
      colour,
      lab: read(parseColour(colour)).lab,
    })),
    plates: undefined,
    style: undefined,
    widthMm: undefined,
    freeInks: false,
    files: disk,
    onProgress: () => {},
    ...more,
  });
}

/** The same, written and read again as a user would. */
export async function proposed(...[folder, ...asked]: Parameters<typeof proposal>): Promise<Proposed> {
  const made = await proposal(folder, ...asked);
  const recipeFile = join(folder, RECIPE_NAME);
  writeFileSync(recipeFile, made.text);
  expect(readFileSync(recipeFile, "utf8")).toBe(made.text);
  const project = await openProject(recipeFile, disk);
  const findings = await checkedJob(recipeFile);
  return { ...made, findings, recipe: resolveRecipe(project.main, project.shop, project.readings) };
}

/** Errors and warnings that no comment allows, as text. */
export function standing({ findings }: Proposed): string[] {
  return findings
    .filter(({ level, allowed }) => level !== "note" && allowed === undefined)
    .map(({ rule, message }) => `${rule}: ${message}`);
}

export function isInDisc(x: number, y: number, radius: number): boolean {
  return Math.hypot((x - 0.5) * 1.2, y - 0.5) < radius;
}
