import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import type { Logo } from "./drawings.ts";

/** How a customer sends a logo. */
export const WAYS = ["clear PNG", "white PNG", "JPEG 85", "JPEG 60", "JPEG 40", "scan", "SVG page"] as const;
export type Way = (typeof WAYS)[number];

export function svgOf({ size: [width, height], shapes }: Logo, page: string, more = ""): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}"${more}>${page}${shapes}</svg>`;
}

/** The logo as it is on a page: what shows through it is white. */
export function onPage(logo: Logo): Logo {
  const { through, shapes, colours } = logo;
  if (through === undefined) return logo;
  return { ...logo, shapes: through + shapes, colours: [...new Set([...colours, "#ffffff"])] };
}

function whitePage({ size: [width, height] }: Logo): string {
  return `<rect width="${width}" height="${height}" fill="#ffffff"/>`;
}

/** Writes the logo as it is sent, `pixels` wide, and gives the file's name. The same every time. */
export async function send(logo: Logo, way: Way, pixels: number, folder: string): Promise<string> {
  const name = join(folder, `${logo.name.replaceAll(/[^a-z]+/g, "-")}-${way.replace(" ", "-")}-${pixels}`);
  if (way === "SVG page") {
    // A height that is no whole number, as programs write them.
    const [width, height] = logo.size;
    const more = ` width="${width}.4" height="${height}.3" preserveAspectRatio="none"`;
    writeFileSync(`${name}.svg`, svgOf(logo, whitePage(logo), more));
    return `${name}.svg`;
  }
  const height = Math.round((pixels * logo.size[1]) / logo.size[0]);
  const svg = svgOf(logo, way === "clear PNG" ? "" : whitePage(logo));
  const drawn = sharp(Buffer.from(svg), { density: (72 * pixels) / logo.size[0] }).resize(pixels, height, {
    fit: "fill",
  });
  if (way === "clear PNG" || way === "white PNG") {
    await drawn.png().toFile(`${name}.png`);
    return `${name}.png`;
  }
  const page = drawn.flatten({ background: "#ffffff" });
  if (way === "scan") {
    const { data, info } = await page.blur(0.6).raw().toBuffer({ resolveWithObject: true });
    const random = generator(pixels + logo.name.length);
    for (let i = 0; i < data.length; i++)
      data[i] = Math.max(0, Math.min(255, Math.round(data[i]! * 0.985 + 2 + 4 * gaussian(random))));
    const { width, height: rows, channels } = info;
    await sharp(data, { raw: { width, height: rows, channels } })
      .jpeg({ quality: 80 })
      .toFile(`${name}.jpg`);
  } else await page.jpeg({ quality: Number(way.slice(5)) }).toFile(`${name}.jpg`);
  return `${name}.jpg`;
}

/** Numbers 0–1 from a seed (mulberry32). */
export function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function gaussian(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}
