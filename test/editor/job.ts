import { spawnSync } from "node:child_process";
import sharp from "sharp";

/** A small job of two colours, without a finding. */
export const SHOP = `shop: 1
title: A small shop
press: { stations: 6, flashes: 1 }
inks:
  white: { colour: "#f6f5f1", opacity: 93% }
  ember: { colour: "#d8431f", opacity: 70% }
  sea: { colour: "#3a4fa0", opacity: 64% }
`;

export const RECIPE = `recipe: 1
title: Two halves
shop: small.shop.yaml
artwork: { file: art.png, width: 40 mm }

garments:
  black: { colour: "#17171a" }

plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { near: "#d8431f", within: 10, fade: 8 } }
  sea: { ink: sea, extract: { near: "#3a4fa0", within: 10, fade: 8 } }

traps:
  - { plate: base, choke: 0.2 mm }
  - { neighbours: 0.2 mm }

setups:
  dark: { garments: [black], order: [base, flash, ember, sea] }
`;

const lineOf = (start: string) => RECIPE.split("\n").findIndex((line) => line.startsWith(start)) + 1;
/** Lines of the recipe's plates, from 1. */
export const TRAP = lineOf("  - { plate: base, choke:");
export const PLATE_EMBER = lineOf("  ember:");
export const PLATE_SEA = lineOf("  sea:");

/** Left half warm, right half blue; sharp enough for the print. */
export async function artwork(): Promise<Uint8Array> {
  const [width, height] = [480, 360];
  const half = (background: string) => ({
    create: { width: width / 2, height, channels: 3 as const, background },
  });
  const right = await sharp(half("#3a4fa0")).png().toBuffer();
  return sharp(half("#d8431f"))
    .extend({ right: width / 2, background: "#d8431f" })
    .composite([{ input: right, left: width / 2, top: 0 }])
    .withIccProfile("srgb")
    .png()
    .toBuffer();
}

/** The job's files, with another recipe where one is given. */
export async function job(recipe = RECIPE): Promise<Record<string, string | Uint8Array>> {
  return { "job.sep.yaml": recipe, "small.shop.yaml": SHOP, "art.png": await artwork() };
}

/** Makes the folder a repository with all of its files in one commit. */
export function commitAll(folder: string): void {
  const who = ["-c", "user.name=A", "-c", "user.email=a@example.org"];
  for (const args of [
    ["init", "-q"],
    ["add", "."],
    [...who, "commit", "-qm", "job"],
  ]) {
    const { status, stderr } = spawnSync("git", ["-C", folder, ...args], { encoding: "utf8" });
    if (status !== 0) throw new Error(stderr);
  }
}
