import { expect, it } from "vitest";
import { writeValues } from "../../../server/engine/extract/write-values.ts";
import { random } from "../../property.ts";

it("gives each pixel its colour's value, wherever the plate lies in memory and however long it is", () => {
  const next = random(2);
  const values = Uint8Array.from({ length: 50 }, () => Math.floor(next() * 256));
  for (let offset = 0; offset < 5; offset++)
    for (let length = 0; length < 23; length++) {
      const entries = Uint32Array.from({ length }, () => Math.floor(next() * 50));
      const room = new Uint8Array(32).fill(77);
      writeValues(values, entries, room.subarray(offset, offset + length));
      const expected = [...new Array(offset).fill(77), ...[...entries].map((entry) => values[entry])];
      expect([...room.subarray(0, offset + length)]).toEqual(expected);
      expect(room.subarray(offset + length).every((byte) => byte === 77)).toBe(true);
    }
});
