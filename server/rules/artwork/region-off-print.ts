import type { Region } from "../../engine/plan.ts";
import type { PixelRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Share of a region's width, or of its height, that lies off the print where it was surely meant for another width. */
const MOST_OFF = 0.5 - 1e-9;

/** A region that stayed where it was when the print was made smaller. */
export const regionOffPrint: PixelRule = {
  id: "region-off-print",
  looksAt: "pixels",
  level: "warning",
  why: "A region in millimetres does not scale with the print: on a smaller print it adjusts another part of the picture, or none.",
  source:
    "Follows from the print's size; that half of a region off the print is too much is common practice, no source.",
  example: {
    fails: yaml`
      artwork: { file: art.png, width: 6 in }
      adjust:
        - { plate: ember, region: { ellipse: { centre: [6 in, 6.8 in], radii: [2 in, 2 in] } }, curve: [[0, 0], [100, 80]] }
    `,
    passes: yaml`
      artwork: { file: art.png, width: 6 in }
      adjust:
        - { plate: ember, region: { ellipse: { centre: [50%, 55%], radii: [17%, 17%] } }, curve: [[0, 0], [100, 80]] }
    `,
  },
  *check({ recipe, artwork }) {
    const { widthMm } = recipe.artwork;
    const { heightMm } = artwork.info;
    for (const [i, { region }] of recipe.adjustments.entries()) {
      if (!region || !isOff(region, widthMm, heightMm)) continue;
      yield {
        path: ["adjust", i, "region"],
        part: "key",
        message: `half of this region or more lies off the print (${figure(widthMm)} × ${figure(heightMm)} mm); move it, or write it in percent, which scales`,
      };
    }
  },
};

function isOff(region: Region, widthMm: number, heightMm: number): boolean {
  const [left, top, right, bottom] = boxOf(region);
  return offShare(left, right, widthMm) >= MOST_OFF || offShare(top, bottom, heightMm) >= MOST_OFF;
}

/** Share of a stretch that lies before 0 or behind `end`. */
function offShare(from: number, to: number, end: number): number {
  if (to <= from) return from < 0 || from > end ? 1 : 0;
  return 1 - Math.max(0, Math.min(to, end) - Math.max(from, 0)) / (to - from);
}

function boxOf(region: Region): [left: number, top: number, right: number, bottom: number] {
  const corners =
    region.shape === "polygon"
      ? region.points
      : region.shape === "rectangle"
        ? [region.from, region.to]
        : [-1, 1].map((way) => [
            region.centre[0] + way * region.radii[0],
            region.centre[1] + way * region.radii[1],
          ]);
  const [xs, ys] = [corners.map(([x]) => x!), corners.map(([, y]) => y!)];
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}
