import { blueNoise } from "../server/engine/screen/blue-noise.ts";
import { jointNoise, MASKS, NOISE_SIDE } from "../server/engine/screen/joint-noise.ts";

/** The masks of stochastic screens, each jointly blue with those before it; ranks as 16-bit numbers, low byte first. */
export function masksModule(): string {
  const masks: Uint16Array[] = [];
  while (masks.length < MASKS)
    masks.push(masks.length === 0 ? blueNoise(NOISE_SIDE) : jointNoise(NOISE_SIDE, masks));
  const texts = masks.map((ranks) => {
    const bytes = Buffer.alloc(2 * ranks.length);
    ranks.forEach((rank, at) => {
      bytes.writeUInt16LE(rank, 2 * at);
    });
    return `  "${bytes.toString("base64")}",\n`;
  });
  return `// Generated from joint-noise.ts by "npm run generate". Do not edit.\nexport const NOISE = [\n${texts.join("")}] as const;\n`;
}
