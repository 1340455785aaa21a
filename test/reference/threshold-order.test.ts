import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import { bytesPerRow } from "../../server/engine/screen/bits.ts";
import { Halftone } from "../../server/engine/screen/halftone.ts";
import { SPOT_FUNCTIONS } from "../../server/engine/screen/spot-functions.ts";
import { supercellFor } from "../../server/engine/screen/supercell.ts";
import { thresholdTile, tileRow } from "../../server/engine/screen/tile.ts";
import { has, run } from "../output/films/tools.ts";

/**
 * The same threshold array given to Ghostscript (a type 3 halftone of the PostScript Language Reference, type 6 in ISO 32000-1, §10.5.5) must make the same bitmap
 * of the same greys. 45° makes an array that repeats as a plain square. An empty transfer function keeps the greys.
 */
it.skipIf(!has("gs"))(
  "a threshold array makes the bitmap that Ghostscript makes of it (needs ghostscript)",
  () => {
    const [dpi, lpi, angle] = [300, 30, 45];
    const tile = thresholdTile(supercellFor(dpi, lpi, angle), SPOT_FUNCTIONS.Round);
    const side = tile.width;
    const area = tile.width * tile.height;
    // Plate tone from which each pixel is ink, as the film has it: the first whose share of the pixels exceeds its rank.
    const from = (rank: number) => {
      for (let tone = 1; tone < 255; tone++) if (rank < Math.round((tone / 255) * area)) return tone;
      return 255;
    };
    const array = new Uint8Array(side * side);
    for (let y = 0; y < side; y++) {
      const { row, offset } = tileRow(tile, y);
      for (let x = 0; x < side; x++)
        array[y * side + x] = 256 - from(tile.ranks[row * tile.width + ((x + offset) % tile.width)]!);
    }
    // Greys from white to black, in columns two pixels wide: tone 255 − grey is ink.
    const [width, height] = [512, 256];
    const tones = Uint8Array.from({ length: width * height }, (_, i) => (i % width) >> 1);
    const folder = mkdtempSync(join(tmpdir(), "platewright-gs-"));
    try {
      const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString("hex");
      writeFileSync(
        join(folder, "a.ps"),
        `%!PS
/thresholds <${hex(array)}> def
<< /HalftoneType 3 /Width ${side} /Height ${side} /Thresholds thresholds /TransferFunction {} >> sethalftone
<< /PageSize [${(width * 72) / dpi} ${(height * 72) / dpi}] >> setpagedevice
<< /HalftoneType 3 /Width ${side} /Height ${side} /Thresholds thresholds /TransferFunction {} >> sethalftone
${(width * 72) / dpi} ${(height * 72) / dpi} scale
/greys <${hex(Uint8Array.from(tones.subarray(0, width), (tone) => 255 - tone))}> def
${width} ${height} 8 [${width} 0 0 -${height} 0 ${height}] { greys } image
showpage
`,
      );
      run(
        "gs",
        [
          "-q",
          "-dNOPAUSE",
          "-dBATCH",
          "-dSAFER",
          "-sDEVICE=pbmraw",
          `-r${dpi}`,
          "-sOutputFile=a.pbm",
          "a.ps",
        ],
        folder,
      );
      const pbm = readFileSync(join(folder, "a.pbm"));
      const header = new TextDecoder("latin1").decode(pbm.subarray(0, 100));
      const head = /^P4\s+(?:#.*\n)?(\d+)\s+(\d+)\n/.exec(header)!;
      expect([Number(head[1]), Number(head[2])]).toEqual([width, height]);
      const theirs = pbm.subarray(head[0].length);
      const curve = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
      const halftone = new Halftone(
        { tones, width, height, curve },
        { method: "am", rulingLpi: lpi, angle, dot: "Round" },
        dpi,
        width,
        height,
      );
      const bits = new Uint8Array(bytesPerRow(width) * height);
      halftone.draw({ x: 0, y: 0, width, height }, bits);
      const stride = bytesPerRow(width);
      // Halftones stand still on the device in both; the array's origin may be the page's lower left corner.
      const alike = (dy: number) => {
        let same = 0;
        let count = 0;
        for (let y = 0; y < height; y++)
          for (let x = 2; x < width - 2; x++) {
            const tone = tones[x]!;
            const ink = 255 - tone < array[((y + dy) % side) * side + (x % side)]! ? 1 : 0;
            if (((theirs[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1) === ink) same++;
            count++;
          }
        return same / count;
      };
      const shares = Array.from({ length: side }, (_, dy) => alike(dy));
      expect(Math.max(...shares)).toBeGreaterThan(0.997);
      // And the film's own bitmap is the array's, to the pixel.
      let own = 0;
      for (let y = 0; y < height; y++)
        for (let x = 0; x < width; x++) {
          const ink = 255 - tones[x]! < array[(y % side) * side + (x % side)]! ? 1 : 0;
          if (((bits[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1) === ink) own++;
        }
      expect(own / (width * height)).toBeGreaterThan(0.999);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
);
