import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";

/** Colours of the small job's artwork: four quarters, and a clear frame around them. */
export const QUARTERS = ["#d8431f", "#2f8f4e", "#3a4fa0", "#101012"] as const;
export const SIDE = 200;
/** Clear on each side, in pixels. */
export const FRAME = 20;

export const SMALL_RECIPE = `# A small job.
recipe: 1
title: Four quarters
artwork: { file: art.png, width: 100 mm }

garments:
  black: { colour: "#17171a" }
  white: { colour: "#f4f3ef" }

inks:
  white: { colour: "#f6f5f1", opacity: 93% }
  ember: { colour: "#d8431f", opacity: 70% } # the warm one
  leaf: { colour: "#2f8f4e", opacity: 66% }
  sea: { colour: "#3a4fa0", opacity: 64% }

plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  # Everything red.
  ember:
    ink: ember
    extract:
      # red as in the artwork
      near: "#d8431f"
      within: 10
      fade: 8
  leaf: { ink: leaf, extract: { near: "#2f8f4e", within: 10, fade: 8 } }
  sea: { ink: sea, extract: { any: [{ near: "#3a4fa0", within: 10 }, { near: "#ffffff", within: 3 }] } }

adjust:
  - plate: leaf
    region: { rectangle: { from: [50 mm, 10 mm], to: [90 mm, 40 mm] } }
    curve: [[0, 0], [100, 50]]

knockouts:
  - { from: base, where: sea, choke: 0.5 mm }

setups:
  dark:
    garments: [black]
    order:
      - base # first down
      - flash
      - ember
      - leaf
      - sea # last
  light: { garments: [white], order: [leaf, ember, sea] }
`;

/** A folder with the small job: `job.sep.yaml` and its artwork. */
export async function smallJob(recipe: string = SMALL_RECIPE): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), "platewright-panel-"));
  writeFileSync(join(folder, "job.sep.yaml"), recipe);
  await writeArtwork(join(folder, "art.png"));
  return folder;
}

export async function writeArtwork(file: string, colours: readonly string[] = QUARTERS): Promise<void> {
  const half = SIDE / 2 - FRAME;
  const quarter = (background: string) =>
    sharp({ create: { width: half, height: half, channels: 3, background } })
      .png()
      .toBuffer();
  const pieces = await Promise.all(colours.map(quarter));
  await sharp({ create: { width: SIDE, height: SIDE, channels: 4, background: "#0000" } })
    .composite(
      pieces.map((input, i) => ({
        input,
        left: FRAME + (i % 2) * half,
        top: FRAME + Math.floor(i / 2) * half,
      })),
    )
    .png()
    .toFile(file);
}
