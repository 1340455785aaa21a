import type { Point, Region } from "../../server/engine/plan.ts";

/** What can be drawn. */
export type RegionShape = Region["shape"];

/** A region while it is drawn: its corners so far. */
export interface RegionDraft {
  readonly shape: RegionShape;
  readonly points: readonly Point[];
  /** No more corners come. */
  readonly closed: boolean;
}

/** A draft without any corner. */
export function newDraft(shape: RegionShape): RegionDraft {
  return { shape, points: [], closed: false };
}

/** One corner more. Rectangle and ellipse are done with two: opposite corners of their box. */
export function withCorner(draft: RegionDraft, point: Point): RegionDraft {
  if (draft.closed) return { ...draft, points: [point], closed: false };
  const points = [...draft.points, point];
  return { ...draft, points, closed: draft.shape !== "polygon" && points.length === 2 };
}

/** The polygon's last corner is set; under three corners there is nothing to close. */
export function closed(draft: RegionDraft): RegionDraft {
  return draft.points.length >= 3 ? { ...draft, closed: true } : draft;
}

/** Half a millimetre: smaller is a slip of the hand. */
const LEAST = 0.5;

/** The region as far as it is drawn, the pointer counting as its next corner; undefined while it holds nothing. */
export function regionOf(
  draft: RegionDraft,
  pointer: Point | undefined,
  feather: number,
): Region | undefined {
  const points = draft.closed || !pointer ? draft.points : [...draft.points, pointer];
  if (draft.shape === "polygon") return points.length < 3 ? undefined : { shape: "polygon", points, feather };
  const [from, to] = points;
  if (!from || !to) return undefined;
  const [width, height] = [Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])];
  if (width < LEAST || height < LEAST) return undefined;
  if (draft.shape === "rectangle") {
    return {
      shape: "rectangle",
      from: [Math.min(from[0], to[0]), Math.min(from[1], to[1])],
      to: [Math.max(from[0], to[0]), Math.max(from[1], to[1])],
      feather,
    };
  }
  return {
    shape: "ellipse",
    centre: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2],
    radii: [width / 2, height / 2],
    feather,
  };
}
