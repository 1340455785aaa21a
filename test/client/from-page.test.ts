import { describe, expect, it } from "vitest";
import { fromPage } from "../../client/from-page.ts";
import type { FromPage } from "../../client/panel/protocol.ts";

const SOUND: readonly FromPage[] = [
  { kind: "ready" },
  { kind: "want", committed: true },
  { kind: "want", committed: false, crop: { x: 0, y: 1, width: 2, height: 3, ppi: 300 } },
  { kind: "edit", edit: { kind: "order", setup: "dark", order: [0, 1] } },
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
});
