import { inflateSync } from "node:zlib";
import { expect, it } from "vitest";
import { inksTiff } from "../../../server/output/films/inks-tiff.ts";
import { fieldsOf } from "./tiff-fields.ts";

const [WIDTH, HEIGHT] = [3, 300];
const tones = (by: number) => Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => (i * by) & 255);
const inks = [
  { name: "base", tones: tones(1) },
  { name: "Süß", tones: tones(7) },
];
const file = inksTiff({
  width: WIDTH,
  height: HEIGHT,
  ppi: 300,
  inks,
  description: "A job",
  software: "a test",
});

it("plates in one TIFF are inks by name, a byte each (TIFF 6.0, section 16)", () => {
  expect(Object.fromEntries(fieldsOf(file))).toMatchObject({
    254: [0],
    256: [WIDTH],
    257: [HEIGHT],
    258: [8, 8],
    // Deflate, as in the supplement of 2002.
    259: [8],
    262: [5],
    270: "A job\0",
    274: [1],
    277: [2],
    282: [300, 1],
    283: [300, 1],
    284: [1],
    296: [2],
    305: "a test\0",
    332: [2],
    // In UTF-8, read here byte by byte.
    333: Buffer.from("base\0Süß\0", "utf8").toString("latin1"),
    334: [2],
  });
});

it("its strips hold the inks of each pixel side by side, all rows once", () => {
  const fields = fieldsOf(file);
  const [offsets, lengths, [rows]] = [273, 279, 278].map((tag) => fields.get(tag) as number[]) as [
    number[],
    number[],
    number[],
  ];
  const strips = offsets.map((at, i) => inflateSync(file.subarray(at, at + lengths[i]!)));
  expect(strips.map(({ length }) => length / (2 * WIDTH))).toEqual([rows, rows, HEIGHT - 2 * rows!]);
  const samples = Buffer.concat(strips);
  expect([...samples]).toEqual(
    Array.from({ length: WIDTH * HEIGHT }, (_, i) => inks.map((ink) => ink.tones[i]!)).flat(),
  );
});
