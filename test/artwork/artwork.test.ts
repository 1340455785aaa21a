import { describe, expect, it } from "vitest";
import { probeArtwork, readArtwork } from "../../server/artwork/artwork.ts";
import { pixel, png, scratch } from "./fixtures.ts";
import { displayP3, wideGamut } from "./profiles.ts";

const { put } = scratch();

/** A grey PNG of this size, every pixel 100. */
function plain(width: number, height: number): Uint8Array {
  return png(Array(height).fill(Buffer.alloc(width, 100)), { width, bits: 8, type: 0 });
}

describe("readArtwork", () => {
  it("gives native pixels and their ppi at the printed width", async () => {
    const { picture, ppi } = await readArtwork(put("a.png", plain(300, 200)), { widthMm: 50.8 });
    expect([picture.width, picture.height, picture.data.length]).toEqual([300, 200, 300 * 200 * 4]);
    expect(ppi).toBe(150);
  });

  it.each([
    // round(100 ÷ 25.4 × 72) = round(283.46); height 283 × 200 ÷ 300 = 188.67
    [100, 72, 283, 189],
    // round(63.5 ÷ 25.4 × 300.2) = round(750.5), halves up
    [63.5, 300.2, 751, 501],
    [0.01, 1, 1, 1],
  ])("resamples to %f mm at %f ppi", async (widthMm, ppi, width, height) => {
    const artwork = await readArtwork(put("a.png", plain(300, 200)), { widthMm, ppi });
    expect([artwork.picture.width, artwork.picture.height]).toEqual([width, height]);
    expect(artwork.picture.data.length).toBe(width * height * 4);
    expect(artwork.ppi).toBeCloseTo((width * 25.4) / widthMm, 9);
  });

  it("lets no colour bleed out of transparent pixels when it resamples", async () => {
    // Opaque red beside transparent green: premultiplied, every mix of the two is red.
    const row = Buffer.from([...Array(8).fill([255, 0, 0, 255]), ...Array(56).fill([0, 255, 0, 0])].flat());
    const file = put("a.png", png([row, row], { width: 64, bits: 8, type: 6 }));
    const { picture } = await readArtwork(file, { widthMm: 25.4, ppi: 20 });
    const colours = Array.from({ length: 20 }, (_, x) => pixel(picture, x));
    expect(colours.filter(([, , , a]) => a > 0).map(([r, g]) => [r, g])).toEqual(
      colours.filter(([, , , a]) => a > 0).map(() => [255, 0]),
    );
    expect(colours.some(([, , , a]) => a > 0 && a < 255)).toBe(true);
    expect(colours.at(-1)).toEqual([0, 0, 0, 0]);
  });

  it("gives the same bytes twice", async () => {
    const rows = Array.from({ length: 40 }, (_, y) =>
      Buffer.from(Array.from({ length: 90 }, (_, x) => (x * y * 7) & 255)),
    );
    const file = put("a.png", png(rows, { width: 30, bits: 8, type: 2, icc: displayP3() }));
    const [one, two] = await Promise.all([1, 2].map(() => readArtwork(file, { widthMm: 25.4, ppi: 23 })));
    expect(Buffer.compare(one.picture.data, two.picture.data)).toBe(0);
  });

  it("hands out memory of its own, which a thread can be given", async () => {
    const { picture } = await readArtwork(put("a.png", plain(30, 20)), { widthMm: 25.4 });
    const moved = structuredClone(picture.data.buffer, { transfer: [picture.data.buffer as ArrayBuffer] });
    expect(moved.byteLength).toBe(30 * 20 * 4);
    expect(Buffer.isBuffer(picture.data)).toBe(false);
  });

  it.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])("refuses a width or a ppi of %f", async (wrong) => {
    const file = put("a.png", plain(3, 2));
    await expect(readArtwork(file, { widthMm: wrong })).rejects.toThrow(RangeError);
    await expect(readArtwork(file, { widthMm: 10, ppi: wrong })).rejects.toThrow(RangeError);
    await expect(probeArtwork(file, { widthMm: wrong })).rejects.toThrow(RangeError);
  });
});

describe("probeArtwork", () => {
  it("tells what a pixel file is", async () => {
    const rows = Array(10).fill(Buffer.alloc(20 * 8));
    const file = put("a.png", png(rows, { width: 20, bits: 16, type: 6, icc: displayP3() }));
    expect(await probeArtwork(file, { widthMm: 50.8 })).toEqual({
      format: "png",
      width: 20,
      height: 10,
      heightMm: 25.4,
      ppi: 10,
      bits: 16,
      colourSpace: "rgb",
      profile: "Display P3",
      hasAlpha: true,
      orientation: 1,
      pages: 1,
      vector: false,
      hasText: false,
      outside: [],
      spots: [],
    });
  });

  it("tells what a drawing is", async () => {
    const svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><text>a</text></svg>';
    expect(await probeArtwork(put("a.svg", svg), { widthMm: 101.6 })).toEqual({
      format: "svg",
      width: 1200,
      height: 900,
      heightMm: expect.closeTo(76.2, 9),
      ppi: 300,
      bits: 8,
      colourSpace: "rgb",
      profile: undefined,
      hasAlpha: true,
      orientation: 1,
      pages: 1,
      vector: true,
      hasText: true,
      outside: [],
      spots: [],
    });
  });

  it("names version 2 profiles, and the bits of a palette", async () => {
    const wide = png([Buffer.from([0, 0, 0])], { width: 1, bits: 8, type: 2, icc: wideGamut() });
    expect((await probeArtwork(put("a.png", wide), { widthMm: 1 })).profile).toBe("Wide gamut 1998");
    const palette = png([Buffer.from([0])], { width: 1, bits: 2, type: 3, palette: [1, 2, 3] });
    expect((await probeArtwork(put("b.png", palette), { widthMm: 1 })).bits).toBe(2);
  });
});
