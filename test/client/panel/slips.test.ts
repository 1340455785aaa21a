import { expect, it } from "vitest";
import { ALL_ENDS, slid } from "../../../client/panel/pixels/slid.ts";
import { type SlipStation, slipAt, slipText } from "../../../client/panel/slips.ts";
import { random } from "../../property.ts";

/** Two colours side by side, on a base under both where there is one. */
const [WIDTH, HEIGHT] = [10, 6];
const left = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => (i % WIDTH < 5 ? 255 : 0));
const right = left.map((tone) => 255 - tone);
const MIDDLE = { x: 5, y: 3, side: 4 };

function slip(moved: Readonly<Record<string, number>>, base: boolean) {
  const plates = new Map([
    ...(base ? [["base", new Uint8Array(WIDTH * HEIGHT).fill(255)] as const] : []),
    ["ember", left] as const,
    ["leaf", right] as const,
  ]);
  const print = [...plates].map(
    ([name, tones]) => [name, slid(tones, WIDTH, HEIGHT, [moved[name] ?? 0, 0], ALL_ENDS)] as const,
  );
  const stations: SlipStation[] = ["base", "ember", "leaf", "gone"].map((plate) => ({
    plate,
    isBase: plate === "base",
  }));
  return slipAt({ plates }, { plates: new Map(print) }, WIDTH, stations, MIDDLE);
}

/** The obvious twin: each overprint of each pixel by its chance, and each plate's change, the base's last. */
function counted(
  stations: readonly SlipStation[],
  then: ReadonlyMap<string, Uint8Array>,
  now: ReadonlyMap<string, Uint8Array>,
  { x, y, side }: { readonly x: number; readonly y: number; readonly side: number },
): [kinds: string[], plates: string[]] {
  const gains = { garment: 0, base: 0, overlap: 0, beyond: 0 };
  const changes = new Map(stations.map(({ plate }) => [plate, 0]));
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const [column, row] = [i % WIDTH, Math.floor(i / WIDTH)];
    const inside = (v: number, at: number) => v >= Math.round(at - side / 2) && v < Math.round(at + side / 2);
    if (!inside(column, x) || !inside(row, y)) continue;
    const areas = (tones: ReadonlyMap<string, Uint8Array>) => {
      const sum = { garment: 0, base: 0, overlap: 0, beyond: 0 };
      for (let overprint = 0; overprint < 2 ** stations.length; overprint++) {
        const printed = stations.filter((_, s) => (overprint >> s) & 1);
        const chance = stations.reduce((product, station) => {
          const tone = tones.get(station.plate)![i]! / 255;
          return product * (printed.includes(station) ? tone : 1 - tone);
        }, 1);
        const colours = printed.filter(({ isBase }) => !isBase).length;
        if (colours > 0) sum[colours > 1 ? "overlap" : "beyond"] += chance;
        else sum[printed.length > 0 ? "base" : "garment"] += chance;
      }
      return sum;
    };
    const [before, after] = [areas(then), areas(now)];
    for (const kind of ["garment", "base", "overlap", "beyond"] as const)
      gains[kind] += Math.max(0, after[kind] - before[kind]) * (kind === "beyond" ? 0.5 : 1);
    for (const { plate } of stations)
      changes.set(plate, changes.get(plate)! + Math.abs(now.get(plate)![i]! - then.get(plate)![i]!));
  }
  const isBase = (plate: string) => Number(stations.find((station) => station.plate === plate)!.isBase);
  const plates = [...changes].filter(([, by]) => by > 0).map(([plate]) => plate);
  plates.sort((a, b) => isBase(a) - isBase(b) || changes.get(b)! - changes.get(a)!);
  const kinds = Object.entries(gains).sort(([, a], [, b]) => b - a);
  return [kinds.map(([kind]) => kind), plates.slice(0, 2)];
}

it("tells bare garment, a base that shows and colours that overlap, with the plates that moved most", () => {
  expect(slip({ leaf: 0.5 }, false)).toEqual({ shows: "garment", plates: ["leaf"] });
  expect(slip({ leaf: 0.5, ember: -0.2 }, true)).toEqual({ shows: "base", plates: ["leaf", "ember"] });
  expect(slip({ leaf: -0.5, ember: 0.1 }, true)).toEqual({ shows: "overlap", plates: ["leaf", "ember"] });
  expect(slip({}, true).plates).toEqual([]);
});

it("tells a colour beyond its edge where it bares nothing around the place", () => {
  const plates = new Map([
    ["base", new Uint8Array(WIDTH * HEIGHT).fill(255)],
    ["ember", left],
  ]);
  const print = new Map([...plates, ["ember", slid(left, WIDTH, HEIGHT, [0.5, 0], ALL_ENDS)] as const]);
  const stations = [
    { plate: "base", isBase: true },
    { plate: "ember", isBase: false },
  ];
  expect(slipAt({ plates }, { plates: print }, WIDTH, stations, MIDDLE)).toEqual({
    shows: "beyond",
    plates: ["ember"],
  });
});

it("tells what a count of all overprints tells, around any place, of any tones", () => {
  const next = random(11);
  const seen = new Set<string>();
  for (let round = 0; round < 300; round++) {
    const names = ["base", "under", "ember", "leaf", "sea"].slice(round % 3);
    const stations = names.map((plate) => ({ plate, isBase: plate === "base" || plate === "under" }));
    // Of each round some tones alone move, so that each kind comes to lead.
    const moving = names.map(() => next() < 0.5);
    const tones = () =>
      Uint8Array.from({ length: WIDTH * HEIGHT }, () => (next() < 0.3 ? 0 : Math.floor(next() * 256)));
    const then = new Map(names.map((name) => [name, tones()] as const));
    const now = new Map(names.map((name, i) => [name, moving[i] ? tones() : then.get(name)!] as const));
    const place = { x: next() * WIDTH, y: next() * HEIGHT, side: 1 + next() * 6 };
    const [kinds, moved] = counted(stations, then, now, place);
    const found = slipAt({ plates: then }, { plates: now }, WIDTH, stations, place);
    if (moved.length > 0) expect(found).toEqual({ shows: kinds[0], plates: moved });
    seen.add(found.shows);
  }
  expect(seen.size).toBe(4);
});

it("looks at nothing beyond the picture", () => {
  const at = { x: WIDTH, y: HEIGHT, side: 8 };
  const plates = new Map([["ember", left]]);
  expect(slipAt({ plates }, { plates }, WIDTH, [{ plate: "ember", isBase: false }], at).plates).toEqual([]);
});

it("says it in words", () => {
  expect(slipText({ shows: "garment", plates: ["ember", "leaf"] })).toBe(
    "bare garment beside ember and leaf",
  );
  expect(slipText({ shows: "base", plates: ["ember"] })).toBe("base shows beside ember");
  expect(slipText({ shows: "base", plates: [] })).toBe("base shows");
  expect(slipText({ shows: "overlap", plates: ["ember", "leaf"] })).toBe("ember and leaf overlap");
  expect(slipText({ shows: "overlap", plates: ["leaf"] })).toBe("leaf overlaps");
  expect(slipText({ shows: "beyond", plates: ["leaf"] })).toBe("leaf beyond its edge");
  expect(slipText({ shows: "beyond", plates: ["ember", "leaf"] })).toBe("ember and leaf beyond their edges");
});
