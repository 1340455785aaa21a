import { type SpawnOptions, spawn } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";

export const PROGRAM = fileURLToPath(new URL("../../dist/platewright.js", import.meta.url));

export interface Ended {
  readonly status: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly err: string;
}

/** One run of the program as a user types it, in a folder. */
export function platewright(cwd: string, ...args: string[]): Promise<Ended> {
  return ended(started(cwd, args));
}

export function started(cwd: string, args: readonly string[], options: SpawnOptions = {}) {
  return spawn(process.execPath, [PROGRAM, ...args], { cwd, stdio: ["ignore", "pipe", "pipe"], ...options });
}

export function ended(child: ReturnType<typeof started>): Promise<Ended> {
  const [out, err]: [string[], string[]] = [[], []];
  child.stdout?.setEncoding("utf8").on("data", (text: string) => out.push(text));
  child.stderr?.setEncoding("utf8").on("data", (text: string) => err.push(text));
  return new Promise((resolve, reject) => {
    child.on("error", reject);
    child.on("close", (status, signal) => resolve({ status, signal, out: out.join(""), err: err.join("") }));
  });
}

export function put(folder: string, name: string, content: string | Uint8Array): string {
  const file = join(folder, name);
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, content);
  return file;
}

/** Left half red, right half white, a clear margin of one pixel above. */
export function artPng(width = 40, height = 20): Promise<Uint8Array> {
  const pixels = Buffer.alloc(width * height * 4);
  for (let y = 1; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const colour = x < width / 2 ? [0xd8, 0x43, 0x1f, 255] : [255, 255, 255, 255];
      pixels.set(colour, (y * width + x) * 4);
    }
  }
  return sharp(pixels, { raw: { width, height, channels: 4 } })
    .png()
    .toBuffer();
}

export const RECIPE = `recipe: 1
title: Two halves
artwork: { file: art.png, width: 1 in }
garments:
  black: { colour: "#17171a" }
  brick: { colour: "#8c2f2b" }
  spare: { colour: "#ffffff" }
inks:
  white: { colour: "#ffffff", opacity: 95% }
  ember: { colour: "#d8431f", opacity: 80% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [20, 60], chroma: [40, 140] } }
  rose: { ink: ember, extract: { hue: [340, 350] } }
merges:
  - { fold: rose, into: ember }
setups:
  dark: { garments: [black, brick], order: [base, flash, ember] }
  quick: { garments: [brick], order: [ember] }
`;

/** A job without a fault: recipe and artwork in a folder. */
export async function putJob(folder: string, recipe = RECIPE): Promise<string> {
  put(folder, "art.png", await artPng());
  put(folder, "job.sep.yaml", recipe);
  return folder;
}
