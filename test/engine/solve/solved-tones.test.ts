import { describe, expect, it } from "vitest";
import { labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import type { SeparationPlan, Solving } from "../../../server/engine/plan.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { separate } from "../../../server/engine/separate.ts";
import { solveKey } from "../../../server/engine/solve/solved-tones.ts";
import { Workspace } from "../../../server/engine/workspace.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import { BLACK_GARMENT, SHELF } from "./prints.ts";

const NAMES = ["white", "gold", "leaf", "blue", "ember", "violet", "black"];

const SOLVING: Solving = {
  conditions: { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: 0.04 },
  stations: NAMES.map((plate, i) => ({
    plate,
    ink: { colour: SHELF[i][0], opacity: SHELF[i][1] },
    underbase: i === 0,
    wetGroup: i === 0 ? 0 : 1,
  })),
  wetInk: 2.4,
  smoothness: 1,
  halftonePrice: 0,
  onlyGarment: true,
};

const plan = (
  rest: Partial<SeparationPlan> = {},
  hand: Record<string, SeparationPlan["plates"][number]> = {},
): SeparationPlan => ({
  plates: NAMES.map((name) => hand[name] ?? { name, extract: { by: "artwork" }, strength: { by: "solve" } }),
  adjustments: [],
  merges: [],
  knockouts: [],
  traps: [],
  smallestDot: 0.04,
  solving: SOLVING,
  ...rest,
});

const BASE = { name: "white", extract: { by: "artwork" }, strength: { by: "flat" } } as const;

function made(plan: SeparationPlan, pixels: readonly Pixel[]): Record<string, number[]> {
  const plates: Record<string, number[]> = {};
  for (const step of separate(pictureOf(pixels.length, pixels), 10, plan)) {
    if (typeof step !== "number") plates[step.name] = [...step.tones];
  }
  return plates;
}

function proofs(plan: SeparationPlan, pixels: readonly Pixel[]) {
  const plates = made(plan, pixels);
  const { conditions, stations } = plan.solving!;
  const ready = preparePrint(conditions, stations);
  return pixels.map((_, i) =>
    labFromLinear(ready.colour(stations.map(({ plate }) => (plates[plate]?.[i] ?? 0) / 255))),
  );
}

const COLOURS: readonly Pixel[] = [
  [200, 90, 60],
  [120, 110, 100],
  [60, 90, 150],
  [235, 225, 200],
  [70, 60, 55],
  [40, 45, 40],
];

const worst = (plan: SeparationPlan) =>
  Math.max(
    ...proofs(plan, COLOURS).map((lab, i) => {
      const target = labFromBytes(...(COLOURS[i] as [number, number, number]));
      return Math.hypot(lab.L - target.L, lab.a - target.a, lab.b - target.b);
    }),
  );

describe("solved plates", () => {
  it("come near to the artwork together, through all stages", () => {
    expect(worst(plan())).toBeLessThan(4);
  });

  it("make the best of a plate that is made by hand", () => {
    const mixed = plan({}, { white: BASE });
    expect(made(mixed, COLOURS).white).toEqual(COLOURS.map(() => 255));
    expect(worst(mixed)).toBeLessThan(6);
    expect(made(mixed, COLOURS).black).not.toEqual(made(plan(), COLOURS).black);
  });

  it("count on knockouts and merges, which come after them", () => {
    const knockouts = [{ from: "white", where: "black", choke: 0 }];
    expect(worst(plan({ knockouts }, { white: BASE }))).toBeLessThan(6);
    // Seen without counting on it: the base under the darks is gone, and they come out far too dark.
    const blind = made(plan({}, { white: BASE }), COLOURS);
    const counted = made(plan({ knockouts }, { white: BASE }), COLOURS);
    expect(counted.black).not.toEqual(blind.black);

    const guest = { name: "rose", extract: { by: "artwork" }, strength: { by: "darkness" } } as const;
    const merged = plan({ merges: [{ fold: "rose", into: "violet" }] });
    const withGuest = { ...merged, plates: [...merged.plates, guest] };
    expect(made(withGuest, COLOURS).ember).not.toEqual(made(plan(), COLOURS).ember);
  });

  it("see adjustments of plates made by hand, and none of their own", () => {
    const halved = [
      {
        plate: "white",
        curve: [
          [0, 0],
          [1, 0.5],
        ] as const,
        region: undefined,
      },
    ];
    expect(made(plan({ adjustments: halved }, { white: BASE }), COLOURS).gold).not.toEqual(
      made(plan({}, { white: BASE }), COLOURS).gold,
    );
    const own = [
      {
        plate: "gold",
        curve: [
          [0, 0],
          [1, 0.5],
        ] as const,
        region: undefined,
      },
    ];
    const [adjusted, plain] = [
      made(plan({ adjustments: own, smallestDot: 0 }), COLOURS),
      made(plan({ smallestDot: 0 }), COLOURS),
    ];
    adjusted.gold.forEach(
      (tone, i) => void expect(Math.abs(tone - plain.gold[i] / 2)).toBeLessThanOrEqual(1),
    );
    expect({ ...adjusted, gold: 0 }).toEqual({ ...plain, gold: 0 });
  });

  it("print only where their extraction lets them", () => {
    const warm = {
      name: "ember",
      extract: { by: "hue", from: 0, to: 90, fade: 0 },
      strength: { by: "solve" },
    } as const;
    const { ember } = made(plan({}, { ember: warm }), [...COLOURS, [60, 140, 60]]);
    expect(ember[0]).toBeGreaterThan(60);
    expect([ember[2], ember[6]]).toEqual([0, 0]);
  });

  it("print nothing where the artwork is clear, and little where it nearly is", () => {
    const pixels: Pixel[] = [
      [200, 90, 60, 0],
      [200, 90, 60, 6],
      [200, 90, 60, 255],
    ];
    for (const onlyGarment of [true, false]) {
      const plates = Object.values(
        made(plan({ smallestDot: 0, solving: { ...SOLVING, onlyGarment } }), pixels),
      );
      for (const [clear, faint] of plates) {
        expect(clear).toBe(0);
        expect(faint).toBeLessThan(60);
      }
      expect(Math.max(...plates.map(([, , solid]) => solid))).toBeGreaterThan(150);
    }
  });

  it("stay empty where their print leaves them out", () => {
    const stations = SOLVING.stations.filter(({ plate }) => plate !== "gold");
    expect(made(plan({ solving: { ...SOLVING, stations } }), COLOURS).gold).toEqual(COLOURS.map(() => 0));
  });
});

describe("a matched plate", () => {
  const matched = (strength: "match" | "flat") =>
    plan(
      {},
      Object.fromEntries(
        NAMES.map((name) => [
          name,
          name === "ember"
            ? ({ name, extract: { by: "artwork" }, strength: { by: strength } } as const)
            : ({ ...BASE, name, extract: name === "white" ? BASE.extract : { by: "any", of: [] } } as const),
        ]),
      ),
    );

  it("has the tone whose colour, alone on the underbase, is the artwork's", () => {
    const { conditions, stations } = SOLVING;
    const ready = preparePrint(conditions, [stations[0], stations[4]]);
    const tones = [0.1, 0.3, 0.5, 0.7, 0.9];
    const pixels = tones.map((tone): Pixel => {
      const { r, g, b } = ready.colour([1, tone]);
      return [r, g, b].map((v) =>
        Math.round(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055)),
      ) as unknown as Pixel;
    });
    const { ember } = made(matched("match"), pixels);
    ember.forEach((tone, i) => void expect(Math.abs(tone / 255 - tones[i])).toBeLessThan(0.03));
    expect(made(matched("flat"), pixels).ember).toEqual(pixels.map(() => 255));
  });

  it("is multiplied with membership and the artwork's opacity", () => {
    const bounded = matched("match");
    const plates = bounded.plates.map((p) =>
      p.name === "ember" ? { ...p, extract: { by: "lightness", from: 0, to: 60, fade: 0 } as const } : p,
    );
    const { ember } = made({ ...bounded, plates, smallestDot: 0 }, [
      [216, 67, 31],
      [255, 160, 130],
      [216, 67, 31, 128],
    ]);
    expect(ember[0]).toBeGreaterThan(200);
    expect(ember[1]).toBe(0);
    expect(Math.abs(ember[2] - ember[0] / 2)).toBeLessThan(2);
  });
});

describe("what solved tones depend on", () => {
  const key = solveKey(plan());

  it.each<[string, SeparationPlan]>([
    [
      "an ink",
      plan({
        solving: {
          ...SOLVING,
          stations: SOLVING.stations.with(3, {
            ...SOLVING.stations[3],
            ink: { colour: SHELF[3][0], opacity: 0.5 },
          }),
        },
      }),
    ],
    [
      "a gain",
      plan({
        solving: {
          ...SOLVING,
          stations: SOLVING.stations.map((s) => ({
            ...s,
            gain: {
              tones: [
                [0, 0],
                [0.5, 0.6],
                [1, 1],
              ] as const,
            },
          })),
        },
      }),
    ],
    [
      "the garment",
      plan({ solving: { ...SOLVING, conditions: { ...SOLVING.conditions, garment: SHELF[0][0] } } }),
    ],
    ["the print order", plan({ solving: { ...SOLVING, stations: SOLVING.stations.toReversed() } })],
    ["a knockout", plan({ knockouts: [{ from: "white", where: "black", choke: 0 }] })],
    ["a plate made by hand", plan({}, { white: BASE })],
  ])("%s", (_, other) => {
    expect(solveKey(other)).not.toBe(key);
  });

  it.each<[string, SeparationPlan]>([
    ["a trap", plan({ traps: [{ plate: "white", way: "choke", distance: 0.1 }] })],
    [
      "an adjustment of a solved plate",
      plan({
        adjustments: [
          {
            plate: "gold",
            curve: [
              [0, 0],
              [1, 0.5],
            ],
            region: undefined,
          },
        ],
      }),
    ],
  ])("and not %s", (_, other) => {
    expect(solveKey(other)).toBe(key);
  });

  it("is nothing where nothing is solved", () => {
    expect(
      solveKey(plan({}, Object.fromEntries(NAMES.map((name) => [name, { ...BASE, name }])))),
    ).toBeUndefined();
  });

  it("is solved once in a workspace", () => {
    const workspace = new Workspace();
    const run = () => {
      const steps: number[] = [];
      const work = workspace.solve(plan());
      let step = work.next();
      for (; !step.done; step = work.next()) steps.push(step.value);
      return { steps, solved: step.value };
    };
    const first = run();
    expect(first.solved).toBeDefined();
    expect(run()).toEqual({ steps: [], solved: first.solved });
    expect(first.steps).toEqual([...first.steps].sort((a, b) => a - b));
  });
});
