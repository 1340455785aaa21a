import { listed } from "../../server/language/words.ts";
import type { PlateMap } from "./pixels/render.ts";
import type { WorstPlace } from "./pixels/worst-places.ts";

/** A station that prints, and whether it lies under the colours. */
export interface SlipStation {
  readonly plate: string;
  readonly isBase: boolean;
}

const KINDS = ["garment", "base", "overlap", "beyond"] as const;

/** What misregistration shows at an edge. */
export interface Slip {
  readonly shows: (typeof KINDS)[number];
  /** The plates that changed most there, the most changed first. */
  readonly plates: readonly string[];
}

/** Plates named at an edge. */
const NAMED = 2;
/** What a colour's area beyond its edge counts beside what is bared. */
const BESIDE_BARED = 0.5;

/**
 * What a print shows around a place that it would not show in register: the garment, the base, two colours upon one
 * another, or one beyond its edge; whichever gained most area, were the dots of the plates laid by chance. A colour that
 * bares something on one side goes as far beyond its edge on the other, which is told only where nothing is bared.
 */
export function slipAt(
  inRegister: PlateMap,
  print: PlateMap,
  width: number,
  stations: readonly SlipStation[],
  { x, y, side }: Pick<WorstPlace, "x" | "y" | "side">,
): Slip {
  const gained = { garment: 0, base: 0, overlap: 0, beyond: 0 };
  const changed = new Map<string, number>();
  const there = stations.filter(({ plate }) => inRegister.plates.has(plate) && print.plates.has(plate));
  const height = (inRegister.plates.get(there[0]?.plate ?? "")?.length ?? 0) / width;
  const toX = Math.min(width, Math.round(x + side / 2));
  const toY = Math.min(height, Math.round(y + side / 2));
  for (let row = Math.max(0, Math.round(y - side / 2)); row < toY; row++)
    for (let column = Math.max(0, Math.round(x - side / 2)); column < toX; column++) {
      const i = row * width + column;
      const [then, now] = [inRegister, print].map(({ plates }) => areasAt(plates, there, i)) as [
        Areas,
        Areas,
      ];
      for (const kind of KINDS) gained[kind] += Math.max(0, now[kind] - then[kind]);
      for (const { plate } of there) {
        const moved = Math.abs(print.plates.get(plate)![i]! - inRegister.plates.get(plate)![i]!);
        changed.set(plate, (changed.get(plate) ?? 0) + moved);
      }
    }
  gained.beyond *= BESIDE_BARED;
  const [shows] = KINDS.toSorted((a, b) => gained[b] - gained[a]);
  // The base is at fault only where no colour is.
  const named = there
    .map(({ plate, isBase }) => ({ plate, isBase, by: changed.get(plate)! }))
    .filter(({ by }) => by > 0)
    .sort((a, b) => Number(a.isBase) - Number(b.isBase) || b.by - a.by);
  const plates = named.slice(0, NAMED).map(({ plate }) => plate);
  return { shows: shows!, plates };
}

type Areas = Readonly<Record<Slip["shows"], number>>;

/** Shares of a pixel. */
function areasAt(plates: PlateMap["plates"], stations: readonly SlipStation[], i: number): Areas {
  let noBase = 1;
  let noColour = 1;
  let oneColour = 0;
  for (const { plate, isBase } of stations) {
    const tone = plates.get(plate)![i]! / 255;
    if (isBase) noBase *= 1 - tone;
    else {
      oneColour = oneColour * (1 - tone) + noColour * tone;
      noColour *= 1 - tone;
    }
  }
  return {
    garment: noBase * noColour,
    base: (1 - noBase) * noColour,
    overlap: 1 - noColour - oneColour,
    beyond: oneColour,
  };
}

/** "bare garment beside ember and leaf" */
export function slipText({ shows, plates }: Slip): string {
  const several = plates.length > 1;
  if (shows === "overlap") return `${listed(plates)} ${several ? "overlap" : "overlaps"}`;
  if (shows === "beyond") return `${listed(plates)} beyond ${several ? "their edges" : "its edge"}`;
  const what = shows === "garment" ? "bare garment" : "base shows";
  return plates.length > 0 ? `${what} beside ${listed(plates)}` : what;
}
