import { describe, expect, it } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { separate } from "../../../server/engine/separate.ts";

const SIDE = 320;
/** 20 px/mm, so that a hairline of 0.2 mm has 4 pixels. */
const PX_PER_MM = 20;
/** Half of it is 3 pixels straight, and 2 and 2 aslant. */
const MISREGISTRATION = 0.3;

const GOLD = [242, 194, 48];
const EMBER = [216, 67, 31];
const BLUE = [30, 60, 140];
const BLACK = [12, 12, 14];

type Colour = readonly number[];
type Art = (xMm: number, yMm: number) => Colour | undefined;

const near = (colour: string) => ({ by: "near", colour: LAB[colour]!, within: 12, fade: 0 }) as const;
/** D50, of the sRGB colours above; near enough for ranges of ΔE00 12. */
const LAB: Readonly<Record<string, { L: number; a: number; b: number }>> = {
  gold: { L: 81, a: 9.5, b: 75 },
  ember: { L: 49.5, a: 57.5, b: 52 },
  blue: { L: 27.2, a: 12.5, b: -45.5 },
  black: { L: 3.4, a: 0.3, b: -0.9 },
};
const COLOURS = ["gold", "ember", "blue", "black"] as const;

function plan(neighbours: number): SeparationPlan {
  return {
    plates: [
      { name: "base", extract: { by: "artwork" }, strength: { by: "flat" } },
      ...COLOURS.map((name) => ({ name, extract: near(name), strength: { by: "flat" } as const })),
    ],
    adjustments: [],
    merges: [],
    knockouts: [{ from: "base", where: "black", choke: 2 * MISREGISTRATION }],
    traps: [
      { plate: "base", way: "choke", distance: MISREGISTRATION },
      ...COLOURS.slice(0, neighbours > 0 ? 3 : 0).map((plate, i) => ({
        plate,
        way: "spread" as const,
        distance: neighbours,
        under: COLOURS.slice(i + 1),
        solid: true,
      })),
    ],
    smallestDot: 0,
  };
}

/** Flat art of shapes that abut, antialiased by 8 × 8 samples a pixel. */
function drawn(art: Art) {
  const data = new Uint8Array(SIDE * SIDE * 4);
  for (let y = 0; y < SIDE; y++)
    for (let x = 0; x < SIDE; x++) {
      const sum = [0, 0, 0];
      let inked = 0;
      for (let j = 0; j < 8; j++)
        for (let i = 0; i < 8; i++) {
          const colour = art((x + (i + 0.5) / 8) / PX_PER_MM, (y + (j + 0.5) / 8) / PX_PER_MM);
          if (!colour) continue;
          inked++;
          for (let c = 0; c < 3; c++) sum[c]! += colour[c]!;
        }
      const at = 4 * (y * SIDE + x);
      for (let c = 0; c < 3; c++) data[at + c] = inked > 0 ? Math.round(sum[c]! / inked) : 0;
      data[at + 3] = Math.round((inked * 255) / 64);
    }
  return { data, width: SIDE, height: SIDE, drawn: true };
}

function platesOf(picture: ReturnType<typeof drawn>, neighbours: number): Map<string, Uint8Array> {
  const plates = new Map<string, Uint8Array>();
  for (const step of separate(picture, PX_PER_MM, plan(neighbours)))
    if (typeof step !== "number") plates.set(step.name, step.tones);
  return plates;
}

/** 1 for each pixel in the art, away from what meets the bare garment. */
function insideOf(art: Art): Uint8Array {
  const margin = 2 * MISREGISTRATION + 0.1;
  const around = [0, 45, 90, 135, 180, 225, 270, 315].map((turn) => {
    const angle = (turn * Math.PI) / 180;
    return [margin * Math.cos(angle), margin * Math.sin(angle)] as const;
  });
  return Uint8Array.from({ length: SIDE * SIDE }, (_, i) => {
    const [u, v] = [((i % SIDE) + 0.5) / PX_PER_MM, (Math.floor(i / SIDE) + 0.5) / PX_PER_MM];
    return art(u, v) && around.every(([dx, dy]) => art(u + dx, v + dy)) ? 1 : 0;
  });
}

/** Pixels inside that no plate covers where each lies off by its shift, and such where the base shows. */
function seen(
  plates: Map<string, Uint8Array>,
  inside: Uint8Array,
  shifts: ReadonlyMap<string, readonly [number, number]>,
) {
  const [base, ...colours] = ["base", ...COLOURS].map((name) => {
    const [dx, dy] = shifts.get(name) ?? [0, 0];
    return { tones: plates.get(name)!, back: dy * SIDE + dx };
  });
  let [bare, based] = [0, 0];
  for (let y = 8; y < SIDE - 8; y++)
    for (let x = 8; x < SIDE - 8; x++) {
      const i = y * SIDE + x;
      let covered = 0;
      for (const { tones, back } of colours) covered += tones[i - back]!;
      if (covered >= 128) continue;
      bare += inside[i]!;
      if (base!.tones[i - base!.back]! >= 128) based++;
    }
  return { bare, base: based };
}

/** Every plate by half of the misregistration in one direction and every other one in the opposite. */
function* registers() {
  const reach = (MISREGISTRATION / 2) * PX_PER_MM;
  for (let turn = 0; turn < 8; turn++) {
    const angle = (turn * Math.PI) / 4;
    const [dx, dy] = [Math.round(reach * Math.cos(angle)), Math.round(reach * Math.sin(angle))];
    for (const parity of [1, 2, 3]) {
      yield new Map(
        ["base", ...COLOURS].map((name, i) => {
          const sign = (i >> (parity - 1)) % 2 === 0 ? 1 : -1;
          return [name, [sign * dx, sign * dy] as const];
        }),
      );
    }
  }
}

const hypot = Math.hypot;
const ARTS: Readonly<Record<string, Art>> = {
  "shapes that abut": (x, y) =>
    x < 2 || x > 14 || y < 2 || y > 14 ? undefined : y > 0.6 * x + 4 ? BLUE : x + y > 16 ? EMBER : GOLD,
  "concentric rings": (x, y) => {
    const r = hypot(x - 8, y - 8);
    return r > 7 ? undefined : [GOLD, EMBER, BLUE, GOLD, BLUE, EMBER, GOLD][Math.floor(r)];
  },
  "outlines of a hair's width": (x, y) => {
    const r = hypot(x - 8, y - 8);
    if (r > 6.5) return undefined;
    if (r > 6.2 || Math.abs(r - 4) < 0.15 || Math.abs(x + 0.3 * y - 10) < 0.14) return BLACK;
    return r < 4 ? EMBER : GOLD;
  },
  "strokes of letters": (x, y) => {
    if (x < 1.5 || x > 14.5 || y < 3 || y > 13) return undefined;
    const stroke = (a: number) => Math.abs(x - a) < 0.3 && y > 5 && y < 11;
    return stroke(4) || stroke(7) || (Math.abs(y - 8) < 0.25 && x > 4 && x < 7) || hypot(x - 11, y - 8) < 1.4
      ? BLUE
      : GOLD;
  },
};

describe.each(Object.entries(ARTS))("plates that lie off one another, %s:", (_, art) => {
  const picture = drawn(art);
  const inside = insideOf(art);
  const trapped = platesOf(picture, MISREGISTRATION);
  const plain = platesOf(picture, 0);

  it("show no bare garment between neighbours and no base beside them", () => {
    for (const shifts of registers()) {
      const { bare, base } = seen(trapped, inside, shifts);
      // A pixel in which three colours meet, or two at the art's edge, is of none: it may show, with one beside it.
      expect(bare + base).toBeLessThanOrEqual(art === ARTS["shapes that abut"] ? 6 : 0);
    }
  });

  it("would show the garment or the base without the trap", () => {
    let open = 0;
    for (const shifts of registers()) {
      const { bare, base } = seen(plain, inside, shifts);
      open = Math.max(open, bare + base);
    }
    expect(open).toBeGreaterThan(20);
  });

  it("grow only where a darker neighbour prints", () => {
    for (const [name, tones] of trapped) {
      if (name === "base" || name === "black") {
        expect(Buffer.compare(tones, plain.get(name)!)).toBe(0);
        continue;
      }
      const darker = COLOURS.slice(COLOURS.indexOf(name as "gold") + 1);
      tones.forEach((tone, at) => {
        const grown = tone - plain.get(name)![at]!;
        if (grown <= 0) return;
        const cover = darker.reduce((sum, other) => sum + plain.get(other)![at]!, 0);
        if (cover < grown) expect.fail(`${name} at ${at % SIDE}, ${Math.floor(at / SIDE)}`);
      });
    }
  });
});

it("leaves halftones alone", () => {
  // A soft range gives gold a tint beside blue.
  const job = plan(0.2);
  const tint = {
    ...job,
    adjustments: [
      {
        plate: "gold",
        curve: [
          [0, 0],
          [1, 0.5],
        ] as const,
        region: undefined,
      },
    ],
  };
  const picture = drawn(ARTS["shapes that abut"]!);
  const made = (p: SeparationPlan) => {
    for (const step of separate(picture, PX_PER_MM, p))
      if (typeof step !== "number" && step.name === "gold") return step.tones;
    throw new Error("no gold");
  };
  expect(Buffer.compare(made(tint), made({ ...tint, traps: [] }))).toBe(0);
});
