import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { PDFDocument, rgb } from "@cantoo/pdf-lib";
import { describe, expect, it } from "vitest";
import { probeArtwork, readArtwork } from "../../server/artwork/artwork.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();

/** Two pages of 200 × 100 points: a red square on the left, a half clear blue disc on the right of the second. */
async function twoPages(): Promise<Uint8Array> {
  const pdf = await PDFDocument.create();
  for (const second of [false, true]) {
    const page = pdf.addPage([200, 100]);
    page.drawRectangle({ x: 10, y: 10, width: 80, height: 80, color: rgb(1, 0, 0) });
    if (second) page.drawCircle({ x: 150, y: 50, size: 30, color: rgb(0, 0, 1), opacity: 0.5 });
  }
  return pdf.save();
}

describe("a PDF as artwork", () => {
  it("is drawn at the size asked for, clear where nothing is drawn, in straight alpha", async () => {
    const file = join(fresh(), "art.pdf");
    writeFileSync(file, await twoPages());
    const { picture, info, notes } = await readArtwork(file, { widthMm: 50.8, ppi: 100 });
    expect([picture.width, picture.height, info.vector, info.pages]).toEqual([200, 100, true, 2]);
    expect([...picture.data.subarray((50 * 200 + 50) * 4, (50 * 200 + 50) * 4 + 4)]).toEqual([
      255, 0, 0, 255,
    ]);
    expect(picture.data[(50 * 200 + 150) * 4 + 3]).toBe(0);
    expect(notes.join()).toContain("has 2 pages");
    const { picture: second } = await readArtwork(file, { widthMm: 50.8, ppi: 100, page: 2 });
    const [r, g, b, alpha] = second.data.subarray((50 * 200 + 150) * 4);
    expect([r, g, b]).toEqual([0, 0, 255]);
    expect(Math.abs(alpha! - 128)).toBeLessThanOrEqual(1);
  });

  it("has grey edges on no letter and no shape: nothing is drawn for an LCD", async () => {
    const pdf = await PDFDocument.create();
    const page = pdf.addPage([100, 100]);
    page.drawText("Aa", { x: 5, y: 20, size: 60 });
    const file = join(fresh(), "type.pdf");
    writeFileSync(file, await pdf.save());
    const { picture } = await readArtwork(file, { widthMm: 25.4, ppi: 120 });
    let covered = 0;
    for (let at = 0; at < picture.data.length; at += 4) {
      if (picture.data[at + 3] === 0) continue;
      covered++;
      const [r, g, b] = picture.data.subarray(at);
      expect(Math.max(r!, g!, b!) - Math.min(r!, g!, b!)).toBeLessThanOrEqual(1);
    }
    expect(covered).toBeGreaterThan(500);
  });

  it("is found behind a drawing program's own first bytes", async () => {
    const file = join(fresh(), "art.ai");
    writeFileSync(file, Buffer.concat([Buffer.from("%!Own-3.0\n"), await twoPages()]));
    expect((await probeArtwork(file, { widthMm: 10 })).format).toBe("pdf");
  });

  it("tells spot colours by their names", async () => {
    const file = join(fresh(), "spot.pdf");
    const text = Buffer.from(await twoPages()).toString("latin1");
    writeFileSync(
      file,
      `${text}\n% [/Separation /Deep#20Sea /DeviceCMYK 5 0 R] [/Separation /Black 1 2]`,
      "latin1",
    );
    expect((await probeArtwork(file, { widthMm: 10 })).spots).toEqual(["Deep Sea"]);
  });

  it.each([
    ["a page that it has not", 3, "no page 3", (bytes: Uint8Array) => bytes],
    ["one cut short", 1, "damaged", (bytes: Uint8Array) => bytes.subarray(0, 60)],
  ])("refuses %s in one line", async (_, page, words, cut) => {
    const file = join(fresh(), "art.pdf");
    writeFileSync(file, cut(await twoPages()));
    await expect(readArtwork(file, { widthMm: 10, ppi: 50, page })).rejects.toThrow(words);
    await readArtwork(file, { widthMm: 10, ppi: 50, page }).catch((error: Error) =>
      expect(error.message).not.toContain("\n"),
    );
  });
});

describe("formats that are not read", () => {
  it.each([
    ["art.eps", "%!PS-Adobe-3.0 EPSF-3.0", "as PDF or SVG"],
    ["art.psd", "8BPS\0\x01", "flattened"],
    ["art.heic", "\0\0\0\x18ftypheic", "JPEG or PNG"],
  ])("%s is refused with what to ask for", async (name, head, words) => {
    const file = join(fresh(), name);
    writeFileSync(file, Buffer.from(head, "latin1"));
    await expect(probeArtwork(file, { widthMm: 10 })).rejects.toThrow(words);
  });
});
