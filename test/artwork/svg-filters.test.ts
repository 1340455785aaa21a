import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { burdenOf } from "../../server/artwork/svg-burden.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const svg = (body: string) =>
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" width="100" height="100">${body}</svg>`;
const blurs = (count: number) =>
  svg(
    `<filter id="f">${'<feGaussianBlur stdDeviation="9"/>'.repeat(count)}</filter><rect width="90" height="90" filter="url(#f)"/>`,
  );

describe("filters of a drawing", () => {
  it("count wherever they are asked for", () => {
    const once = burdenOf(blurs(5)).passes;
    expect(burdenOf(blurs(50)).passes).toBe(10 * once);
    const uses = '<rect filter="url(#f)"/>'.repeat(9);
    const shared = burdenOf(svg(`<filter id="f"><feGaussianBlur/></filter>${uses}`)).passes;
    const styled = burdenOf(
      svg(
        `<filter id="f"><feGaussianBlur/></filter>${uses.replaceAll('filter="url(#f)"', 'style="filter:url(#f)"')}`,
      ),
    ).passes;
    expect([shared, styled]).toEqual([60, 60]);
    const marked = `<filter id="f"><feTurbulence numOctaves="9"/></filter><marker id="m"><path filter="url(#f)"/></marker>${'<path marker-mid="url(#m)"/>'.repeat(4)}`;
    expect(burdenOf(svg(marked)).passes).toBe(72 * 6);
  });

  it("are drawn as far as they can be, and refused beyond, in one line", async () => {
    const file = join(fresh(), "art.svg");
    const read = (count: number, ppi: number) => {
      writeFileSync(file, blurs(count));
      return readArtwork(file, { widthMm: 254, ppi });
    };
    expect((await read(2, 20)).picture.width).toBe(200);
    await expect(read(500, 300)).rejects.toThrow(
      /art\.svg: the SVG's filters .*ask for more pixels than can be worked out at this size; take them out/,
    );
  });
});
