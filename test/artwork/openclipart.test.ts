import { existsSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";

const FOLDER = "/usr/share/openclipart/svg";

// Proportions by hand from the files' own width and height: 136.28 × 162.89 pt, 210 × 297 mm.
describe.each([
  ["animals/birds/puffin-md.svg", 136.28, 162.89],
  ["signs_and_symbols/clocks/sandglass_vermin_.svg", 210, 297],
])("%s", (path, width, height) => {
  it.skipIf(!existsSync(`${FOLDER}/${path}`))(
    "is drawn at print size (needs Debian's openclipart-svg)",
    async () => {
      const { picture, info, ppi } = await readArtwork(`${FOLDER}/${path}`, { widthMm: 254, ppi: 60 });
      expect([picture.width, picture.height]).toEqual([600, Math.round((600 * height) / width)]);
      expect([info.vector, ppi]).toEqual([true, 60]);
      let opaque = 0;
      for (let i = 3; i < picture.data.length; i += 4) if (picture.data[i] === 255) opaque++;
      const share = opaque / (picture.width * picture.height);
      expect(share, "the drawing stands on a clear ground").toBeGreaterThan(0.1);
      expect(share).toBeLessThan(0.95);
    },
  );
});
