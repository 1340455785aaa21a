import fc from "fast-check";
import { expect, it, vi } from "vitest";
import type { AdjustmentPlan, Extraction, PlatePlan, SeparationPlan } from "../../server/engine/plan.ts";
import type { Picture } from "../../server/engine/raster.ts";
import { separate } from "../../server/engine/separate.ts";
import type { StageName } from "../../server/engine/stages/stages.ts";
import { Workspace } from "../../server/engine/workspace.ts";
import { holds, random } from "../property.ts";
import { BLACK, CLEAR, MIDDLE, type Pixel, pictureOf, RED, WHITE } from "./pictures.ts";

const ARTWORK: Extraction = { by: "artwork" };

function flat(name: string, extract: Extraction = ARTWORK): PlatePlan {
  return { name, extract, strength: { by: "flat" } };
}

function plan(plates: readonly PlatePlan[], rest: Partial<SeparationPlan> = {}): SeparationPlan {
  return { plates, adjustments: [], merges: [], knockouts: [], traps: [], smallestDot: 0, ...rest };
}

function separated(picture: Picture, recipe: SeparationPlan, pixelsPerMm = 1): Record<string, number[]> {
  const plates: Record<string, number[]> = {};
  for (const step of separate(picture, pixelsPerMm, recipe)) {
    if (typeof step !== "number") plates[step.name] = [...step.tones];
  }
  return plates;
}

const light: Extraction = { by: "lightness", from: 90, to: 100, fade: 0 };
const dark: Extraction = { by: "lightness", from: 0, to: 10, fade: 0 };
const middle: Extraction = { by: "lightness", from: 48, to: 52, fade: 0 };
const reds: Extraction = { by: "near", colour: { L: 54.29, a: 80.8, b: 69.89 }, within: 1, fade: 0 };

it("leaves nothing of a base along an outline that it shares with the plate that knocks it out", () => {
  // Solid in the middle, and 100 of 255 covered around it: 100 · (1 − 100/255) = 61 if both fell independently.
  const rim: Pixel = [0, 0, 0, 100];
  const shape = [rim, rim, rim, rim, BLACK, rim, rim, rim, rim];
  const picture = pictureOf(3, shape);
  const plates = [flat("base"), flat("black")];
  for (const choke of [0, 0.5]) {
    const knockouts = [{ from: "base", where: "black", choke }];
    expect(separated(picture, plan(plates, { knockouts })).base).toEqual(Array(9).fill(0));
  }
});

it("does all stages in their fixed order", () => {
  // One row, 1 px/mm. Worked out by hand, stage by stage:
  //            white black  red  middle white clear
  // base  1     255   255   255   255    255    0     all that the artwork has
  //       2     200   200   200   200    200    0     curve, straight to 200
  //       4     200     0     0   200    200    0     knocked out by "black" as after stage 3 (255 there and on red)
  // black 1       0   255     0     0      0    0
  // rose  1       0     0   255     0      0    0     folded into "black"
  //       3       0   255   255     0      0    0     "black" with "rose"
  //       5     127   255   255   127      0    0     spread by 0.5 mm: tones fall by 128 at 1 px
  // tint  1       0     0     0   255      0    0
  //       2       0     0     0     8      0    0     curve, straight to 8
  //       6       0     0     0    10      0    0     8 is nearer to the smallest dot, 4 % = 10, than to nothing
  const picture = pictureOf(6, [WHITE, BLACK, RED, MIDDLE, WHITE, CLEAR]);
  const recipe = plan([flat("base"), flat("rose", reds), flat("black", dark), flat("tint", middle)], {
    adjustments: [
      {
        plate: "base",
        curve: [
          [0, 0],
          [1, 200 / 255],
        ],
        region: undefined,
      },
      {
        plate: "tint",
        curve: [
          [0, 0],
          [1, 8 / 255],
        ],
        region: undefined,
      },
    ],
    merges: [{ fold: "rose", into: "black" }],
    knockouts: [{ from: "base", where: "black", choke: 0 }],
    traps: [{ plate: "black", way: "spread", distance: 0.5 }],
    smallestDot: 0.04,
  });
  expect(separated(picture, recipe)).toEqual({
    base: [200, 0, 0, 200, 200, 0],
    black: [127, 255, 255, 127, 0, 0],
    tint: [0, 0, 0, 10, 0, 0],
  });
});

it("gives plates in the recipe's order, without those that are folded into others", () => {
  const picture = pictureOf(1, [WHITE]);
  const recipe = plan(
    ["c", "a", "d", "b"].map((name) => flat(name)),
    { merges: [{ fold: "a", into: "b" }] },
  );
  expect(Object.keys(separated(picture, recipe))).toEqual(["c", "d", "b"]);
});

it("folds along a chain of merges to its end", () => {
  const picture = pictureOf(4, [WHITE, MIDDLE, BLACK, RED]);
  const recipe = plan([flat("white", light), flat("grey", middle), flat("black", dark)], {
    merges: [
      { fold: "grey", into: "white" },
      { fold: "white", into: "black" },
    ],
  });
  expect(separated(picture, recipe)).toEqual({ black: [255, 255, 255, 0] });
});

it("adjusts a plate before it is folded", () => {
  const recipe = plan([flat("grey", middle), flat("black", dark)], {
    adjustments: [
      {
        plate: "grey",
        curve: [
          [0, 0],
          [1, 0.4],
        ],
        region: undefined,
      },
    ],
    merges: [{ fold: "grey", into: "black" }],
  });
  expect(separated(pictureOf(2, [MIDDLE, BLACK]), recipe)).toEqual({ black: [102, 255] });
});

it("adjusts in the order of the list", () => {
  const up = {
    plate: "base",
    curve: [
      [0, 1],
      [1, 1],
    ],
    region: undefined,
  } as const;
  const down = {
    plate: "base",
    curve: [
      [0, 0],
      [1, 0.2],
    ],
    region: undefined,
  } as const;
  const picture = pictureOf(1, [WHITE]);
  expect(separated(picture, plan([flat("base")], { adjustments: [up, down] }))).toEqual({ base: [51] });
  expect(separated(picture, plan([flat("base")], { adjustments: [down, up] }))).toEqual({ base: [255] });
});

it("places an adjustment's region by the picture's resolution", () => {
  // 0.5–1 mm at 4 px/mm are pixels 2 and 3.
  const picture = pictureOf(5, Array<Pixel>(5).fill(WHITE));
  const region = { shape: "rectangle", from: [0.5, 0], to: [1, 1], feather: 0 } as const;
  const recipe = plan([flat("base")], {
    adjustments: [
      {
        plate: "base",
        curve: [
          [0, 0],
          [1, 0],
        ],
        region,
      },
    ],
  });
  expect(separated(picture, recipe, 4)).toEqual({ base: [255, 255, 0, 0, 255] });
});

it("knocks out above a tone alone", () => {
  // Darkness is 1 − L*/100: black 100 %, the grey of L* 53.585 46 %.
  const picture = pictureOf(3, [WHITE, [128, 128, 128], BLACK]);
  const shadow = { ...flat("black"), strength: { by: "darkness" } as const };
  const made = (above: number) =>
    separated(
      picture,
      plan([flat("base"), shadow], { knockouts: [{ from: "base", where: "black", above, choke: 0 }] }),
      4,
    );
  expect(made(0).base).toEqual([255, 255 - made(0).black[1], 0]);
  expect(made(0.8).base).toEqual([255, 255, 0]);
});

it("chokes the hole that a knockout leaves, in millimetres", () => {
  // Black covers pixels 2–6; choked by 0.5 mm at 2 px/mm, 1 px, in a picture of one row nothing of it would be left:
  // three rows, and the middle one counts.
  const row: Pixel[] = [WHITE, WHITE, BLACK, BLACK, BLACK, BLACK, BLACK, WHITE, WHITE];
  const picture = pictureOf(9, [...row, ...row, ...row]);
  const recipe = plan([flat("base"), flat("black", dark)], {
    knockouts: [{ from: "base", where: "black", choke: 0.5 }],
  });
  const { base } = separated(picture, recipe, 2);
  expect(base.slice(9, 18)).toEqual([255, 255, 255, 0, 0, 0, 255, 255, 255]);
  // At the picture's border nothing needs the overlap: the hole reaches it.
  expect(base.slice(0, 9)).toEqual([255, 255, 255, 0, 0, 0, 255, 255, 255]);
});

it("knocks out with a plate's tones as after merging, not knocked out, trapped or limited", () => {
  // "black" loses all its ink to "veil" and would be spread over the whole row; "base" sees nothing of that.
  const picture = pictureOf(5, [WHITE, WHITE, BLACK, WHITE, [255, 255, 255, 4]]);
  const veil: Extraction = { by: "any", of: [dark, { by: "opacity", from: 0, to: 2, fade: 0 }] };
  const recipe = plan([flat("base"), flat("black", dark), flat("veil", veil)], {
    knockouts: [
      { from: "black", where: "veil", choke: 0 },
      { from: "base", where: "black", choke: 0 },
      { from: "base", where: "veil", choke: 0 },
    ],
    traps: [
      { plate: "black", way: "spread", distance: 4 },
      { plate: "veil", way: "spread", distance: 4 },
    ],
    smallestDot: 0.1,
  });
  const seen = separated(picture, recipe);
  // 4 of 255 after "veil" prints 4 there too: 4 · 251 / 255 = 3.9 → 4, under half of the smallest dot → 0.
  expect(seen.base).toEqual([255, 255, 0, 255, 0]);
  expect(seen.black).toEqual([0, 0, 0, 0, 0]);
  expect(seen.veil).toEqual([255, 255, 255, 255, 255]);
});

it("knocks out with a plate's own tones also where that plate is finished first and its receiver writes on it", () => {
  // "black" prints 12 of 255, under half of the smallest dot, 10 % = 26: nothing of it stays on its own screen, or all without limits, while
  // "base" keeps 128 · (255 − 12) / 255 = 122.
  const even = (name: string, tone: number): AdjustmentPlan => ({
    plate: name,
    curve: [
      [0, tone / 255],
      [1, tone / 255],
    ],
    region: undefined,
  });
  const recipeOf = (smallestDot: number) =>
    plan([flat("black"), flat("base")], {
      adjustments: [even("black", 12), even("base", 128)],
      knockouts: [{ from: "base", where: "black", choke: 0 }],
      smallestDot,
    });
  for (const [smallestDot, black] of [
    [0.1, 0],
    [0, 12],
  ] as const) {
    const seen: Record<string, number[]> = {};
    for (const step of separate(pictureOf(1, [WHITE]), 1, recipeOf(smallestDot))) {
      if (typeof step === "number") continue;
      seen[step.name] = [...step.tones];
      step.tones.fill(255);
    }
    expect(seen).toEqual({ black: [black], base: [122] });
  }
});

it("traps by millimetres on the garment", () => {
  // 0.5 mm at 4 px/mm are 2 px.
  const row: Pixel[] = [WHITE, WHITE, WHITE, BLACK, WHITE, WHITE, WHITE];
  const recipe = plan([flat("black", dark)], { traps: [{ plate: "black", way: "spread", distance: 0.5 }] });
  expect(separated(pictureOf(7, row), recipe, 4)).toEqual({ black: [0, 255, 255, 255, 255, 255, 0] });
});

it("knocks out of a plate that knocks out another", () => {
  const picture = pictureOf(3, [WHITE, MIDDLE, BLACK]);
  const notDark: Extraction = { by: "except", of: dark };
  const recipe = plan([flat("all"), flat("most", notDark), flat("grey", middle)], {
    knockouts: [
      { from: "all", where: "most", choke: 0 },
      { from: "most", where: "grey", choke: 0 },
    ],
  });
  expect(separated(picture, recipe)).toEqual({ all: [0, 0, 255], most: [255, 0, 0], grey: [0, 255, 0] });
});

it("traps what a knockout left", () => {
  // The hole's edges are edges of the plate: choked by 1 px, they and the picture's borders draw in.
  const row: Pixel[] = [WHITE, WHITE, WHITE, BLACK, WHITE, WHITE, WHITE];
  const recipe = plan([flat("base"), flat("black", dark)], {
    knockouts: [{ from: "base", where: "black", choke: 0 }],
    traps: [{ plate: "base", way: "choke", distance: 1 }],
  });
  const { base } = separated(pictureOf(7, [...row, ...row, ...row]), recipe);
  expect(base.slice(7, 14)).toEqual([0, 255, 0, 0, 0, 255, 0]);
});

it("limits last, so that a choke's soft edge holds no dot too small", () => {
  // Choked by 0.95 px the outermost pixels keep 255 · 0.05 = 13, under half of a smallest dot of 20 % (51).
  const picture = pictureOf(3, Array<Pixel>(9).fill(WHITE));
  const traps = [{ plate: "base", way: "choke", distance: 0.95 }] as const;
  expect(separated(picture, plan([flat("base")], { traps })).base).toEqual([
    13, 13, 13, 13, 255, 13, 13, 13, 13,
  ]);
  expect(separated(picture, plan([flat("base")], { traps, smallestDot: 0.2 })).base).toEqual([
    0, 0, 0, 0, 255, 0, 0, 0, 0,
  ]);
});

const next = random(11);
const noisy = pictureOf(
  24,
  Array.from(
    { length: 24 * 18 },
    (): Pixel => [next() * 256, next() * 256, next() * 256, next() < 0.8 ? 255 : 90],
  ),
);
const RICH = plan(
  [
    { name: "base", extract: ARTWORK, strength: { by: "lightness" } },
    {
      name: "ember",
      extract: { by: "hue", from: 340, to: 60, fade: 30 },
      strength: { by: "chroma", full: 80 },
    },
    {
      name: "rose",
      extract: { by: "hue", from: 300, to: 350, fade: 30 },
      strength: { by: "chroma", full: 60 },
    },
    { name: "ash", extract: { by: "chroma", from: 0, to: 30, fade: 20 }, strength: { by: "darkness" } },
    { name: "slate", extract: { by: "hue", from: 180, to: 300, fade: 20 }, strength: { by: "darkness" } },
    { name: "black", extract: { by: "lightness", from: 0, to: 25, fade: 25 }, strength: { by: "darkness" } },
  ],
  {
    adjustments: [
      {
        plate: "ember",
        curve: [
          [0, 0],
          [0.4, 0.55],
          [1, 1],
        ],
        region: undefined,
      },
      {
        plate: "base",
        curve: [
          [0, 0.1],
          [1, 0.9],
        ],
        region: { shape: "ellipse", centre: [2, 2], radii: [1.5, 1], feather: 1 },
      },
    ],
    merges: [
      { fold: "rose", into: "ember" },
      { fold: "ash", into: "black" },
    ],
    knockouts: [
      { from: "base", where: "black", choke: 0.3 },
      { from: "base", where: "slate", choke: 0 },
      { from: "base", where: "ember", choke: 0.1 },
      { from: "ember", where: "black", choke: 0 },
      { from: "slate", where: "black", choke: 0.2 },
    ],
    traps: [
      { plate: "base", way: "choke", distance: 0.3 },
      { plate: "black", way: "spread", distance: 0.2 },
    ],
    smallestDot: 0.04,
  },
);

it("gives the same plates in whatever order merges, knockouts and traps are listed", () => {
  const wanted = separated(noisy, RICH, 4);
  const shuffled = <T>(list: readonly T[]) => fc.shuffledSubarray([...list], { minLength: list.length });
  holds(
    fc.property(
      shuffled(RICH.merges),
      shuffled(RICH.knockouts),
      shuffled(RICH.traps),
      (merges, knockouts, traps) => {
        expect(separated(noisy, { ...RICH, merges, knockouts, traps }, 4)).toEqual(wanted);
      },
    ),
    40,
  );
});

it("gives the same plates in whatever order they are written", () => {
  const wanted = separated(noisy, RICH, 4);
  holds(
    fc.property(fc.shuffledSubarray([...RICH.plates], { minLength: RICH.plates.length }), (plates) => {
      expect(separated(noisy, { ...RICH, plates }, 4)).toEqual(wanted);
    }),
    30,
  );
});

it("gives the same bytes every time, also after a run that was given up", () => {
  const wanted = separated(noisy, RICH, 4);
  for (const steps of [1, 2, 4]) {
    const given = separate(noisy, 4, RICH);
    for (let i = 0; i < steps; i++) given.next();
    given.return();
    expect(separated(noisy, RICH, 4)).toEqual(wanted);
  }
});

it("hands plates over: what a host does to one changes none of the others", () => {
  const wanted = separated(noisy, RICH, 4);
  const seen: Record<string, number[]> = {};
  for (const step of separate(noisy, 4, RICH)) {
    if (typeof step === "number") continue;
    seen[step.name] = [...step.tones];
    step.tones.fill(123);
  }
  expect(seen).toEqual(wanted);
});

it("leaves the artwork and the plan as they were", () => {
  const [data, recipe] = [noisy.data.slice(), structuredClone(RICH)];
  separated(noisy, RICH, 4);
  expect(noisy.data).toEqual(data);
  expect(RICH).toEqual(recipe);
});

it("tells how far it is, never falling, up to 1", () => {
  const shares = [...separate(noisy, 4, RICH)].filter((step) => typeof step === "number");
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
  expect(shares.at(-1)).toBe(1);
});

it("finishes plates first that need no knockout and no trap, else in the recipe's order", () => {
  const recipe = plan(
    ["a", "b", "c", "d", "e"].map((name) => flat(name)),
    {
      knockouts: [{ from: "a", where: "d", choke: 0 }],
      traps: [{ plate: "c", way: "choke", distance: 1 }],
      smallestDot: 0.04,
    },
  );
  expect(Object.keys(separated(pictureOf(1, [WHITE]), recipe))).toEqual(["b", "d", "e", "a", "c"]);
});

it("takes as few buffers as it can: one a plate, and one more for what another plate or somebody else still needs", () => {
  const picture = pictureOf(3, [WHITE, BLACK, RED]);
  const taken = (rest: Partial<SeparationPlan>, after: readonly StageName[] = []) => {
    const workspace = new Workspace();
    const buffer = vi.spyOn(workspace, "buffer");
    const plates = [flat("base"), flat("rose", reds), flat("black", dark)];
    for (const _ of separate(picture, 10, plan(plates, rest), { workspace, after }));
    return buffer.mock.calls.length;
  };
  const thinnest = [{ plate: "black", line: 0.3, gap: 0.3 }];
  const merges = [{ fold: "rose", into: "base" }];
  expect(taken({})).toBe(3);
  expect(taken({ smallestDot: 0.04, thinnest, merges })).toBe(3);
  // Tones before limits, beside those after.
  expect(taken({ smallestDot: 0.04 }, ["trap"])).toBe(6);
  expect(taken({}, ["trap"])).toBe(3);
  // A knocked out plate is another buffer, and "black" is handed out before it is taken.
  expect(taken({ knockouts: [{ from: "base", where: "black", choke: 0 }] })).toBe(5);
  // "rose" spread under "black" is written on itself.
  const traps = [{ plate: "rose", way: "spread", distance: 0.3, under: ["black"] }] as const;
  expect(taken({ traps })).toBe(5);
});

it("mixes the tones on both sides of an edge in a drawing, but for squares, which have edges of their own", () => {
  // Of half of each between white and black.
  const row: Pixel[] = [WHITE, WHITE, [128, 128, 128], BLACK, BLACK];
  const picture: Picture = {
    ...pictureOf(5, [...row, ...row, ...row]),
    squares: Uint8Array.of(1, 1, 0, 1, 0, 1, 1, 0, 1, 0, 1, 1, 0, 1, 0),
  };
  const recipe = plan([
    flat("white", light),
    { name: "square", extract: ARTWORK, strength: { by: "index", colour: 1 } },
  ]);
  const middle = (of: Picture) => {
    const made = separated(of, recipe);
    return [made.white.slice(5, 10), made.square.slice(5, 10)];
  };
  const squares = [255, 255, 0, 255, 0];
  expect(middle(picture)).toEqual([[255, 255, 0, 0, 0], squares]);
  expect(middle({ ...picture, drawn: true })).toEqual([[255, 255, 128, 0, 0], squares]);
});

it("takes a plate that was made elsewhere as it is, and draws no edge into it", () => {
  const row: Pixel[] = [WHITE, WHITE, [128, 128, 128], BLACK, BLACK];
  const tones = Uint8Array.from({ length: 15 }, (_, i) => 10 * i);
  const picture: Picture = {
    ...pictureOf(5, [...row, ...row, ...row]),
    drawn: true,
    given: new Map([["film", tones]]),
  };
  const film = {
    name: "film",
    extract: { by: "given", tones: undefined, film: true },
    strength: { by: "flat" },
  } as const;
  expect(separated(picture, plan([film], { smallestDot: 0.2 }))).toEqual({ film: [...tones] });
});
