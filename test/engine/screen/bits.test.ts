import { describe, expect, it } from "vitest";
import { bytesPerRow, mirrorRows, setBits } from "../../../server/engine/screen/bits.ts";
import { random } from "../../property.ts";
import { unpacked } from "./drawn.ts";

describe("bits", () => {
  it("are set and mirrored as by hand", () => {
    const next = random(9);
    for (const width of [1, 7, 8, 9, 16, 31, 64, 77]) {
      const stride = bytesPerRow(width);
      const bits = new Uint8Array(stride);
      for (let x = 0; x < width; x++) if (next() < 0.5) bits[x >> 3]! |= 0x80 >> (x & 7);
      const line = [...unpacked(bits, width, 1)[0]!];
      const from = Math.floor(next() * width);
      const to = from + Math.floor(next() * (width - from + 1));
      const set = new Uint8Array(stride);
      setBits(set, 0, from, to);
      expect([...unpacked(set, width, 1)[0]!]).toEqual(
        Array.from({ length: width }, (_, x) => (x >= from && x < to ? 1 : 0)),
      );
      mirrorRows(bits, width, 1);
      expect([...unpacked(bits, width, 1)[0]!]).toEqual(line.reverse());
    }
  });

  it("are mirrored in as many rows as are asked for", () => {
    const bits = Uint8Array.of(0b1000_0001, 0b0100_0000, 0b1100_0000, 0, 0b1000_0000, 0);
    mirrorRows(bits, 10, 2);
    expect([...bits]).toEqual([0b1010_0000, 0b0100_0000, 0, 0b1100_0000, 0b1000_0000, 0]);
  });
});
