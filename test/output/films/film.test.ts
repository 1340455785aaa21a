import { inflateSync } from "node:zlib";
import { expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import { type FilmRequest, makeFilm } from "../../../server/output/films/film.ts";

const DPI = 600;
/** A tint of 20 % in a disc, which cuts dots in two at its edge. */
function discOfTint(): { tones: Uint8Array; width: number; height: number } {
  const side = 150;
  const tones = Uint8Array.from({ length: side * side }, (_, at) => {
    const [x, y] = [(at % side) + 0.5 - side / 2, Math.floor(at / side) + 0.5 - side / 2];
    return Math.hypot(x, y) < 60 ? 51 : 0;
  });
  return { tones, width: side, height: side };
}

function request(smallestMark: number): FilmRequest {
  const curve = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
  return {
    plate: { ...discOfTint(), curve },
    screening: { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" },
    smallestMark,
    page: filmPage(12.7, 12.7, DPI),
    label: { title: "", side: "", details: "" },
    mirror: false,
    coding: "rows",
  };
}

/** Rows of ink of the print on the page. */
async function inkOf(order: FilmRequest): Promise<boolean[][]> {
  const film = await makeFilm(order, () => {});
  if (film.coding !== "rows") throw new Error("rows were asked for");
  const lines = inflateSync(film.rows);
  const { page } = order;
  const stride = bytesPerRow(page.width) + 1;
  return Array.from({ length: page.art.height }, (_, y) =>
    Array.from({ length: page.art.width }, (_, x) => {
      const at = page.art.x + x;
      return (lines[(page.art.y + y) * stride + 1 + (at >> 3)]! & (0x80 >> (at & 7))) === 0;
    }),
  );
}

/** Areas of the islands of ink, in pixels, that touch across corners too. */
function islands(ink: boolean[][]): number[] {
  const seen = ink.map((row) => row.map(() => false));
  const areas: number[] = [];
  ink.forEach((row, y) => {
    row.forEach((is, x) => {
      if (!is || seen[y]![x]) return;
      const group: [number, number][] = [[x, y]];
      seen[y]![x] = true;
      for (const [px, py] of group)
        for (let v = py - 1; v <= py + 1; v++)
          for (let u = px - 1; u <= px + 1; u++)
            if (ink[v]?.[u] && !seen[v]![u]) {
              seen[v]![u] = true;
              group.push([u, v]);
            }
      areas.push(group.length);
    });
  });
  return areas;
}

it("holds no island smaller than the smallest mark, and tells what was left out", async () => {
  const before = islands(await inkOf(request(0)));
  // A disc 5 pixels across holds at least the 21 pixels of its digital form.
  const least = 21;
  expect(before.filter((area) => area < least).length).toBeGreaterThan(3);
  const after = islands(await inkOf(request(5)));
  expect(after.filter((area) => area < least)).toEqual([]);
  expect(after.length).toBeGreaterThan(60);
  const { dropped } = await makeFilm(request(5), () => {});
  expect(dropped.marks).toBe(before.length - after.length);
  const sum = (areas: number[]) => areas.reduce((a, b) => a + b, 0);
  expect(dropped.markPixels).toBe(sum(before) - sum(after) + dropped.holePixels);
});
