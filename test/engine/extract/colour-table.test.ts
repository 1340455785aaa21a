import fc from "fast-check";
import { expect, it } from "vitest";
import { ColourTable } from "../../../server/engine/extract/colour-table.ts";
import { holds } from "../../property.ts";

/** More colours than a table holds before it starts afresh. */
const MANY = 131_072;

it("gives each colour one entry, in the order of meeting", () => {
  const table = new ColourTable(1);
  const entries = new Uint32Array(6);
  table.lookUp(Uint32Array.of(7, 7, 0, 9, 7, 0), 0, 6, entries);
  expect([...entries]).toEqual([0, 0, 1, 2, 0, 1]);
  expect([...table.colours.subarray(0, table.size)]).toEqual([7, 0, 9]);
});

it("knows colours again in a later block", () => {
  const table = new ColourTable(1);
  const entries = new Uint32Array(4);
  const pixels = Uint32Array.of(5, 6, 6, 5, 8, 6, 5, 8);
  expect(table.lookUp(pixels, 0, 4, entries)).toBe(false);
  expect(table.lookUp(pixels, 4, 4, entries)).toBe(false);
  expect([...entries]).toEqual([2, 1, 0, 2]);
  expect(table.size).toBe(3);
});

it("tells the extreme colours apart: all bits clear, all bits set", () => {
  const table = new ColourTable(1);
  const entries = new Uint32Array(4);
  table.lookUp(Uint32Array.of(0xffffffff, 0, 0xffffffff, 0), 0, 4, entries);
  expect([...entries]).toEqual([0, 1, 0, 1]);
});

it("keeps a row of values for each plate, as long as its colours", () => {
  const table = new ColourTable(3);
  expect(table.values.map((row) => row.length)).toEqual(Array(3).fill(table.colours.length));
});

it("starts afresh when another block might not fit, and says so", () => {
  const block = 1 << 14;
  const table = new ColourTable(1);
  const pixels = Uint32Array.from({ length: MANY + block }, (_, i) => i * 2654435761);
  const entries = new Uint32Array(block);
  const emptied: number[] = [];
  for (let start = 0; start < pixels.length; start += block) {
    if (table.lookUp(pixels, start, block, entries)) emptied.push(start);
    const wrong = entries.findIndex((entry, i) => table.colours[entry] !== pixels[start + i]);
    expect(wrong, `block at ${start}`).toBe(-1);
  }
  expect(emptied).toEqual([MANY]);
  expect(table.size).toBe(block);
});

it("starts afresh before a block that fits in part only", () => {
  // 131,072 is no multiple of 10,000: the fourteenth block would run over.
  const block = 10_000;
  const table = new ColourTable(1);
  const pixels = Uint32Array.from({ length: 15 * block }, (_, i) => i);
  const entries = new Uint32Array(block);
  const emptied: number[] = [];
  for (let start = 0; start < pixels.length; start += block) {
    if (table.lookUp(pixels, start, block, entries)) emptied.push(start);
    const wrong = entries.findIndex((entry, i) => table.colours[entry] !== pixels[start + i]);
    expect(wrong, `block at ${start}`).toBe(-1);
  }
  expect(emptied).toEqual([13 * block]);
});

it("forgets all colours where it starts afresh, those of the block that comes too", () => {
  const table = new ColourTable(1, 8);
  const entries = new Uint32Array(8);
  table.lookUp(Uint32Array.of(1, 2, 3, 4, 5, 6, 7, 8), 0, 8, entries);
  // One that was there before, and seven that take the places from the first on.
  const pixels = Uint32Array.of(7, 20, 21, 22, 23, 24, 25, 26);
  expect(table.lookUp(pixels, 0, 8, entries)).toBe(true);
  expect([...entries]).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  expect([...table.colours]).toEqual([...pixels]);
});

it("holds a block larger than its usual size", () => {
  const block = MANY + 1000;
  const table = new ColourTable(1);
  const pixels = Uint32Array.from({ length: block }, (_, i) => i);
  const entries = new Uint32Array(block);
  table.lookUp(pixels, 0, block, entries);
  expect(table.size).toBe(block);
  expect(entries.every((entry, i) => entry === i)).toBe(true);
});

it("gives every pixel the entry of its own colour, once each, for any blocks", () => {
  const blocks = fc.array(
    fc.array(fc.oneof(fc.nat(6), fc.nat(0xffffffff)), { minLength: 1, maxLength: 20 }),
    {
      maxLength: 6,
    },
  );
  holds(
    fc.property(blocks, (list) => {
      const table = new ColourTable(0);
      for (const block of list) {
        const entries = new Uint32Array(block.length);
        table.lookUp(Uint32Array.from(block), 0, block.length, entries);
        expect([...entries].map((entry) => table.colours[entry])).toEqual(block);
      }
      expect([...table.colours.subarray(0, table.size)]).toEqual([...new Set(list.flat())]);
    }),
    60,
  );
});
