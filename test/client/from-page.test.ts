import { describe, expect, it } from "vitest";
import { fromPage } from "../../client/from-page.ts";
import { type FromPage, OUTPUTS } from "../../client/panel/protocol.ts";
import { WAYS_OUT } from "../../server/wire/panel.ts";

const SOUND: readonly FromPage[] = [
  { kind: "ready" },
  { kind: "want", committed: true },
  { kind: "want", committed: false, crop: { x: 0, y: 1, width: 2, height: 3, ppi: 300 } },
  { kind: "edit", edit: { kind: "order", setup: "dark", order: [0, 1] } },
  { kind: "try" },
  { kind: "try", edit: { kind: "order", setup: "dark", order: [0, 1] } },
  ...OUTPUTS.map((what) => ({ kind: "output", what }) as const),
  ...WAYS_OUT.map((way) => ({ kind: "go", way }) as const),
  { kind: "reveal", path: ["plates", "base", 0] },
  { kind: "revealShop", line: 1 },
  { kind: "why", plate: "base", point: { x: 1, y: 2, rgba: [0, 1, 2, 255] } },
  { kind: "left" },
  { kind: "saveProof", shown: { garment: "black", setup: "dark", stations: 0, without: ["base"] } },
  { kind: "saveSheet", png: Uint8Array.of(1) },
];

describe("a message of the page", () => {
  it.each(SOUND)("%j is taken as it is", (message) => {
    expect(fromPage(message)).toBe(message);
  });

  it.each<unknown>([
    undefined,
    null,
    7,
    "ready",
    [],
    { kind: "toString" },
    { kind: "__proto__" },
    { kind: ["ready"] },
    { kind: "want" },
    { kind: "want", committed: true, crop: { x: Number.NaN, y: 0, width: 1, height: 1, ppi: 1 } },
    { kind: "edit", edit: "order" },
    { kind: "edit", edit: { kind: "order", setup: "x".repeat(10_001) } },
    { kind: "reveal", path: [{}] },
    { kind: "reveal", path: "plates" },
    { kind: "revealShop", line: 0 },
    { kind: "revealShop", line: "1; rm" },
    { kind: "why", plate: "base", point: { x: 1, y: 2, rgba: [0, 1, 2] } },
    { kind: "saveProof", shown: { garment: {}, setup: "dark", stations: 0, without: [] } },
    { kind: "saveProof", shown: { garment: "black", setup: "dark", stations: 0, without: [1] } },
    { kind: "saveSheet", png: "x" },
  ])("%j is not", (message) => {
    expect(fromPage(message)).toBeUndefined();
  });

  it.each<unknown>([
    { kind: "try", edit: "order" },
    { kind: "try", edit: { kind: 7 } },
    { kind: "try", edit: { kind: "order", setup: "x".repeat(10_001) } },
    { kind: "edit", edit: { kind: 7 } },
    { kind: "output", what: "everything" },
    { kind: "go", way: "away" },
    { kind: "want", committed: "yes" },
    { kind: "reveal", path: ["x".repeat(10_001)] },
    { kind: "reveal", path: [1.5] },
    { kind: "revealShop", line: 1.5 },
    { kind: "why", plate: 7, point: { x: 1, y: 2, rgba: [0, 1, 2, 255] } },
    { kind: "why", plate: "x".repeat(10_001), point: { x: 1, y: 2, rgba: [0, 1, 2, 255] } },
    { kind: "why", plate: "base", point: { x: 1, rgba: [0, 1, 2, 255] } },
    { kind: "why", plate: "base", point: { x: 1, y: 2, rgba: [0, 1, -1, 255] } },
    { kind: "why", plate: "base", point: { x: 1, y: 2, rgba: [0, 1, 256, 255] } },
    { kind: "why", plate: "base", point: { x: 1, y: 2, rgba: { length: 4 } } },
    { kind: "saveProof", shown: { garment: "black", setup: "dark", stations: 0.5, without: [] } },
    { kind: "saveProof", shown: { garment: "black", setup: "dark", stations: 0, without: "base" } },
    { kind: "saveProof", shown: { garment: "x".repeat(10_001), setup: "dark", stations: 0, without: [] } },
    { kind: "saveProof" },
  ])("%j is not either", (message) => {
    expect(fromPage(message)).toBeUndefined();
  });

  it("holds ten thousand signs or entries and six levels at most", () => {
    const taken = (value: unknown) =>
      fromPage({ kind: "edit", edit: { kind: "order", value } }) !== undefined;
    expect([taken("x".repeat(10_000)), taken("x".repeat(10_001))]).toEqual([true, false]);
    expect([taken(Array(10_000).fill(0)), taken(Array(10_001).fill(0))]).toEqual([true, false]);
    const nested = (levels: number): unknown => (levels === 0 ? 1 : [nested(levels - 1)]);
    // The edit itself is the first.
    expect([taken(nested(5)), taken(nested(6))]).toEqual([true, false]);
    expect([taken(null), taken(7), taken(() => 7)]).toEqual([true, true, false]);
  });

  it("has a picture of 200 MB at most", () => {
    const long = (length: number) => Object.defineProperty(Uint8Array.of(1), "length", { value: length });
    const taken = (length: number) => fromPage({ kind: "saveSheet", png: long(length) }) !== undefined;
    expect([taken(200_000_000), taken(200_000_001)]).toEqual([true, false]);
  });
});
