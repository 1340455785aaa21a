import { deflateRawSync } from "node:zlib";
import { expect, it } from "vitest";
import { inflate } from "../../../../client/panel/pixels/inflate.ts";

it("gives back what another program deflated, empty and long", async () => {
  for (const bytes of [new Uint8Array(0), Uint8Array.from({ length: 100_000 }, (_, i) => (i * i) >> 5)])
    expect(Buffer.compare(await inflate(deflateRawSync(bytes)), bytes)).toBe(0);
});
