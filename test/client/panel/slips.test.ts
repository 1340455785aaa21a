import { expect, it } from "vitest";
import { ALL_ENDS, slid } from "../../../client/panel/pixels/slid.ts";
import { type SlipStation, slipAt, slipText } from "../../../client/panel/slips.ts";

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
