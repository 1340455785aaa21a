import { describe, expect, it } from "vitest";
import { closed, newDraft, regionOf, withCorner } from "../../../client/panel/region-draft.ts";

describe("a region that is drawn", () => {
  it("is a rectangle after two corners, in any order", () => {
    const draft = withCorner(withCorner(newDraft("rectangle"), [30, 10]), [20, 40]);
    expect(draft.closed).toBe(true);
    expect(regionOf(draft, undefined, 3)).toEqual({
      shape: "rectangle",
      from: [20, 10],
      to: [30, 40],
      feather: 3,
    });
  });

  it("is the ellipse inside of two corners", () => {
    const draft = withCorner(withCorner(newDraft("ellipse"), [10, 40]), [30, 50]);
    expect(regionOf(draft, undefined, 0)).toEqual({
      shape: "ellipse",
      centre: [20, 45],
      radii: [10, 5],
      feather: 0,
    });
  });

  it("is a polygon once it is closed, which takes three corners", () => {
    const two = withCorner(withCorner(newDraft("polygon"), [0, 0]), [9, 0]);
    expect(regionOf(two, undefined, 0)).toBeUndefined();
    expect(regionOf(two, [0, 9], 0)).toMatchObject({
      points: [
        [0, 0],
        [9, 0],
        [0, 9],
      ],
    });
    expect(closed(two).closed).toBe(false);
    const three = closed(withCorner(two, [0, 9]));
    expect(regionOf(three, [5, 5], 0)).toEqual({
      shape: "polygon",
      points: [
        [0, 0],
        [9, 0],
        [0, 9],
      ],
      feather: 0,
    });
  });

  it("takes the pointer for its next corner while it is open", () => {
    const open = withCorner(newDraft("rectangle"), [10, 10]);
    expect(regionOf(open, [20, 20], 0)).toMatchObject({ from: [10, 10], to: [20, 20] });
    expect(regionOf(open, undefined, 0)).toBeUndefined();
  });

  it("is none where the hand only slipped", () => {
    const corner = withCorner(newDraft("ellipse"), [10, 10]);
    for (const pointer of [
      [10.4, 40],
      [40, 9.6],
    ] as const)
      expect(regionOf(corner, pointer, 0)).toBeUndefined();
    expect(regionOf(corner, [10.5, 10.5], 0)).toMatchObject({ radii: [0.25, 0.25] });
  });

  it("starts anew with the next corner after it was closed", () => {
    const done = withCorner(withCorner(newDraft("rectangle"), [1, 1]), [9, 9]);
    expect(withCorner(done, [5, 5])).toEqual({ shape: "rectangle", points: [[5, 5]], closed: false });
  });
});
