import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { contentOf, scratch } from "../output/folders.ts";
import { platewright, put, putJob, RECIPE } from "./program.ts";

const { fresh } = scratch();

const SHOP = `shop: 1
film: { roll: 120 mm }
sizes: { M: { width: 20 in, height: 28 in }, YS: { width: 15 in, height: 20 in } }
meshes: { fine: { count: 90/cm, thread: 40 um, opening: 73 um, thickness: 59 um } }
usual-mesh: { underbase: fine, colour: fine }
rules: { mesh-ruling: off, underbase-mesh: off, ink-deposit: off, moire: off, base-peeks: off }
`;
const ORDER = `order: 1
title: <b>Two halves</b>
customer: Friends of halves
shop: our.shop.yaml
prints:
  front: { recipe: job.sep.yaml, place: front }
  small: { recipe: job.sep.yaml, width: 0.5 in, place: left-sleeve }
lines:
  - { garment: black, sizes: { M: 24, YS: 12 }, prints: [front, small] }
  - { garment: brick, sizes: { M: 4 }, prints: [front] }
`;
const FILES = [
  "two-approval.html",
  "two-approval.pdf",
  "two-films.pdf",
  "two-office.html",
  "two-ticket-front-dark.html",
  "two-ticket-small-dark.html",
];

async function putOrder(order = ORDER): Promise<string> {
  const folder = await putJob(fresh(), RECIPE.replace("title:", "shop: our.shop.yaml\ntitle:"));
  put(folder, "our.shop.yaml", SHOP);
  put(folder, "two.order.yaml", order);
  return folder;
}
const run = (folder: string, ...more: string[]) =>
  platewright(folder, "order", "two.order.yaml", "--out", "out", "--date", "2026-01-02", ...more);

describe("order", () => {
  it("makes tickets, ganged films, lists and a sheet to be signed, the same for the same input", async () => {
    const folder = await putOrder();
    const { status, out, err } = await run(folder);
    expect(status, err).toBe(0);
    expect(out).toMatch(/^40 garments, 76 impressions, 4 screens, 2 setups, 0\.\d\d m of film\n/);
    const made = join(folder, "out");
    expect(
      readdirSync(made)
        .filter((name) => !name.startsWith("."))
        .sort(),
    ).toEqual(FILES);

    const office = readFileSync(join(made, "two-office.html"), "utf8");
    for (const part of [
      "M 24 · YS 12",
      "<b>40</b> garments",
      "ember",
      " g</td>",
      "Children&#39;s wear",
      "reclaim",
    ])
      expect(office).toContain(part);
    const tickets = FILES.filter((name) => name.includes("-ticket-"));
    expect(tickets.length).toBeGreaterThan(0);
    for (const name of tickets)
      expect(readFileSync(join(made, name), "utf8")).toMatch(/\d+ dpi, from plates of \d+(\.\d)? ppi\./);
    const approval = readFileSync(join(made, "two-approval.html"), "utf8");
    for (const part of [
      "black: front, small",
      "24 M · 12 YS",
      "Signature",
      "Garments for children",
      "left sleeve",
    ])
      expect(approval).toContain(part);
    // Figures of colour are for the shop.
    expect(approval).not.toContain("ΔE");
    expect(office + approval).not.toMatch(/<b>Two halves|<script|(?:src|href)="(?!data:)/);
    const ticket = readFileSync(join(made, "two-ticket-small-dark.html"), "utf8");
    expect(ticket).toContain("Ink for 36 garments");
    expect(ticket).toContain("12.7 ×");

    const first = contentOf(made);
    expect((await run(folder)).status).toBe(0);
    expect(contentOf(made)).toEqual(first);

    // Four films: 25.4 + 32 mm wide of the front, 12.7 + 32 mm of the sleeve, on 120 mm.
    const sheet = await readArtwork(join(folder, "out/two-films.pdf"), { widthMm: 120, ppi: 100 });
    const { width, height, data } = sheet.picture;
    expect(width).toBe(Math.round((120 / 25.4) * 100));
    let ink = 0;
    for (let i = 0; i < width * height; i++) if (data[4 * i]! < 128 && data[4 * i + 3]! > 128) ink++;
    const areaMm2 = ink * 0.254 ** 2;
    // Solid plates: the base covers 19/20 of 25.4 × 12.7 mm, ember half of that, and a quarter of each for the sleeve.
    const solid = (1 + 0.25) * (1 + 0.5) * (19 / 20) * 25.4 * 12.7;
    expect(areaMm2).toBeGreaterThan(solid);
    // Marks and letters add to it.
    expect(areaMm2).toBeLessThan(solid * 1.8);
  });

  it("makes no film where it is told so", async () => {
    const folder = await putOrder();
    const { status, out } = await run(folder, "--no-films");
    expect(status).toBe(0);
    expect(out).not.toContain("film");
    expect(existsSync(join(folder, "out/two-films.pdf"))).toBe(false);
  });

  it("tells a film that is wider than the roll in a line, and writes nothing", async () => {
    const folder = await putOrder(ORDER.replace("place: front }", "width: 250 mm, place: front }"));
    const { status, err } = await run(folder);
    expect(err).toContain("is wider than the shop's roll of 120 mm either way");
    expect(err.trim().split("\n")).toHaveLength(1);
    expect([status, existsSync(join(folder, "out"))]).toEqual([2, false]);
  });

  it("tells what is wrong with an order where it stands, and writes nothing", async () => {
    const folder = await putOrder(ORDER.replace("YS: 12", "XS: 12"));
    const { status, err } = await run(folder);
    expect(err).toBe(
      'two.order.yaml:9:39: error: lines[0].sizes.XS: There is no size "XS" in the shop file; did you mean "YS"? [unknown-in-order]\n',
    );
    expect([status, existsSync(join(folder, "out"))]).toEqual([1, false]);
  });

  it("says what it wants where it gets a recipe", async () => {
    const folder = await putOrder();
    expect(await platewright(folder, "order", "job.sep.yaml", "--out", "out")).toMatchObject({
      status: 2,
      err: expect.stringContaining("job.sep.yaml is no order; name an order (*.order.yaml)"),
    });
  });

  it("tells warnings of its prints, each in a line, and makes them all the same", async () => {
    const folder = await putOrder();
    put(
      folder,
      "job.sep.yaml",
      RECIPE.replace("title:", "shop: our.shop.yaml\ntitle:").replace(
        "opacity: 80%",
        "opacity: 80%, kind: glitter",
      ),
    );
    const { status, err } = await run(folder, "--no-films");
    expect(status).toBe(0);
    expect(err.split("\n")).toContain(
      "front: warning: Mesh fine (229/in) is too fine for glitter ink ember: its particles stay in the mesh; take 30 to 110/in [ink-mesh]",
    );
    expect(readFileSync(join(folder, "out/two-office.html"), "utf8")).toContain(
      "its particles stay in the mesh",
    );
  });

  it("is compared with another in words", async () => {
    const folder = await putOrder();
    put(folder, "more.order.yaml", ORDER.replace("M: 4 ", "M: 6 "));
    expect(await platewright(folder, "review", "two.order.yaml", "more.order.yaml")).toMatchObject({
      status: 3,
      out: "two.order.yaml → more.order.yaml\n  brick with front: size M 4 → 6\n  garments in all: 40 → 42\n",
    });
    expect(await platewright(folder, "review", "two.order.yaml", "job.sep.yaml")).toMatchObject({
      status: 2,
      err: expect.stringContaining("job.sep.yaml is no order"),
    });
  });
});
