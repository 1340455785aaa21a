import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { picturePng, platePng } from "../../server/output/png.ts";

/** Pixels a metre as the file itself says (ISO/IEC 15948, pHYs). */
function pixelsPerMetre(png: Uint8Array): number {
  const bytes = Buffer.from(png);
  const at = bytes.indexOf("pHYs", 0, "latin1");
  return at < 0 ? 0 : bytes.readUInt32BE(at + 4);
}

describe("a plate as PNG", () => {
  const tones = Uint8Array.from({ length: 256 }, (_, i) => i);

  it("is one channel of 8 bits, every tone inverted to the byte", async () => {
    const png = await platePng(tones, 64, 4, 300);
    const { channels, depth, space, width, height, hasAlpha } = await sharp(png).metadata();
    expect({ channels, depth, space, width, height, hasAlpha }).toEqual({
      channels: 1,
      depth: "uchar",
      space: "b-w",
      width: 64,
      height: 4,
      hasAlpha: false,
    });
    const { data } = await sharp(png).toColourspace("b-w").raw().toBuffer({ resolveWithObject: true });
    expect([...data]).toEqual([...tones].map((tone) => 255 - tone));
  });

  it("is grey in the file itself: bit depth 8, colour type 0", async () => {
    expect([...(await platePng(tones, 64, 4, 300)).subarray(24, 26)]).toEqual([8, 0]);
  });

  it.each([300, 72, 40.5])("knows its resolution: %d ppi", async (ppi) => {
    expect(pixelsPerMetre(await platePng(tones, 64, 4, ppi))).toBeCloseTo(ppi / 0.0254, -0.5);
  });

  it("leaves the tones as they were", async () => {
    const kept = tones.slice();
    await platePng(tones, 64, 4, 300);
    expect(tones).toEqual(kept);
  });

  it("is the same bytes every time", async () => {
    expect(await platePng(tones, 64, 4, 300)).toEqual(await platePng(tones, 64, 4, 300));
  });
});

describe("a proof as PNG", () => {
  const rgb = Uint8Array.from([255, 0, 0, 1, 2, 3, 0, 128, 255, 17, 17, 26]);

  it("has its pixels, its profile and its resolution", async () => {
    const png = await picturePng(rgb, 2, 2, 150);
    const { channels, depth, space, icc } = await sharp(png).metadata();
    expect({ channels, depth, space }).toEqual({ channels: 3, depth: "uchar", space: "srgb" });
    // The profile's name stands in it as UTF-16.
    expect(icc?.toString("latin1").replaceAll("\0", "")).toContain("sRGB");
    expect(pixelsPerMetre(png)).toBeCloseTo(150 / 0.0254, -0.5);
    expect([...(await sharp(png).raw().toBuffer())]).toEqual([...rgb]);
  });
});
