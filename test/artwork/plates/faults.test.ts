import { afterAll, beforeAll, expect, it } from "vitest";
import { ArtworkError } from "../../../server/artwork/artwork-error.ts";
import { openPlates } from "../../../server/artwork/plates/plate-file.ts";
import { compositePdf } from "../../../server/output/composite-pdf.ts";
import { inksTiff } from "../../../server/output/films/inks-tiff.ts";
import { random } from "../../property.ts";

const [width, height] = [40, 30];
const tones = Uint8Array.from({ length: width * height }, (_, i) => i & 255);
const NAMES = ["one", "two", "three"];

/** Nothing is drawn by another program here. */
const path = process.env.PATH;
beforeAll(() => {
  process.env.PATH = "/nowhere";
});
afterAll(() => {
  process.env.PATH = path;
});

it("plates' files with bytes changed, moved and cut off give tones, or one line", async () => {
  const next = random(20_261_127);
  const below = (most: number) => Math.floor(next() * most);
  const lab = { L: 50, a: 20, b: 10 };
  const pdf = await compositePdf({
    ...{ title: "a", producer: "b", widthMm: 20, heightMm: 15, width, height },
    garment: { name: "g", colour: lab },
    plates: NAMES.map((name) => ({ name, ink: lab, tones })),
  });
  const inks = NAMES.map((name) => ({ name, tones }));
  const tiff = inksTiff({ width, height, ppi: 72, inks, description: "d", software: "s" });
  let read = 0;
  let refused = 0;
  for (let i = 0; i < 240; i++) {
    const [name, sound] = i % 2 === 0 ? (["a.pdf", pdf] as const) : (["a.tif", tiff] as const);
    const bytes = sound.slice();
    for (let k = below(6); k >= 0; k--) {
      const at = below(bytes.length);
      if (next() < 0.7) bytes[at] = below(256);
      else bytes.copyWithin(at, below(bytes.length), below(bytes.length));
    }
    const cut = next() < 0.15 ? bytes.subarray(0, below(bytes.length)) : bytes;
    try {
      const opened = await openPlates(name, undefined, { bytes: cut });
      const view = {
        page: undefined,
        channel: undefined,
        colorant: "two",
        solid: undefined,
        screened: false,
      };
      const made = await opened.tones([view], { width: 20, height: 15 });
      expect(made.tones[0]).toHaveLength(300);
      read++;
    } catch (error) {
      expect(error).toBeInstanceOf(ArtworkError);
      expect((error as Error).message).toMatch(/^a\.(?:pdf|tif): [^\n]+$/);
      refused++;
    }
  }
  // Both ways are gone.
  expect(read).toBeGreaterThan(20);
  expect(refused).toBeGreaterThan(20);
});
