import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { afterEach, describe, expect, it } from "vitest";
import { Measurer } from "../../server/lsp/measurer.ts";
import { SOUND } from "../language/documents.ts";
import { scratch } from "../output/folders.ts";

const program = fileURLToPath(new URL("../../dist/measure-process.js", import.meta.url));
const { fresh } = scratch();
let measurer: Measurer;

afterEach(() => measurer.dispose());

async function request() {
  const artworkFile = join(fresh(), "art.png");
  // The left half is ember's hue, the right half grey.
  const red = await sharp({ create: { width: 40, height: 40, channels: 3, background: "#d8431f" } })
    .png()
    .toBuffer();
  await sharp({ create: { width: 80, height: 40, channels: 3, background: "#808080" } })
    .composite([{ input: red, left: 0, top: 0 }])
    .png()
    .toFile(artworkFile);
  return { recipe: SOUND, shop: undefined, artworkFile };
}

const unhurried = () => new AbortController().signal;

it("measures coverage, tones and resolution, with a picture of each plate", async () => {
  measurer = new Measurer(program);
  const { artworkPpi, plates } = (await measurer.measure(await request(), unhurried())).measurements;
  // 80 pixels on 2 inches.
  expect(artworkPpi).toBeCloseTo(40, 6);
  expect(plates.get("base")?.coverage).toBe(1);
  expect(plates.get("ember")?.coverage).toBeCloseTo(0.5, 6);
  expect(plates.get("ember")?.histogram).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0, 0.5]);
  const [head, data = ""] = plates.get("ember")!.thumbnail.split(",");
  expect(head).toBe("data:image/png;base64");
  const { info, data: pixels } = await sharp(Buffer.from(data, "base64"))
    .raw()
    .toBuffer({ resolveWithObject: true });
  expect([info.width, info.height]).toEqual([80, 40]);
  expect([pixels[0], pixels[79 * info.channels]]).toEqual([0, 255]);
});

it("counts a tone on the edge of two tenths to the upper one", async () => {
  measurer = new Measurer(program);
  const { recipe, ...rest } = await request();
  const fifth = `${recipe}adjust:\n  - { plate: ember, curve: [[0, 0], [100, 20]] }\n`;
  const { plates } = (await measurer.measure({ recipe: fifth, ...rest }, unhurried())).measurements;
  expect(plates.get("ember")?.histogram).toEqual([0, 0, 0.5, 0, 0, 0, 0, 0, 0, 0]);
});

it("says in one line why artwork cannot be measured", async () => {
  measurer = new Measurer(program);
  const { artworkFile, ...rest } = await request();
  writeFileSync(artworkFile, "no picture");
  await expect(measurer.measure({ artworkFile, ...rest }, unhurried())).rejects.toThrow(
    /^[^\n]*not a picture[^\n]*$/,
  );
});

describe("a measurement", () => {
  it("ends at once when it is withdrawn", async () => {
    measurer = new Measurer(program);
    const controller = new AbortController();
    const measuring = measurer.measure(await request(), controller.signal);
    controller.abort();
    await expect(measuring).rejects.toThrow("cancelled");
  });

  it("fails when its process dies, and the next one has a new process", async () => {
    measurer = new Measurer(program);
    const asked = await request();
    const measuring = measurer.measure(asked, unhurried());
    measuring.catch(() => {});
    process.kill(measurer.pid!, "SIGKILL");
    await expect(measuring).rejects.toThrow("the process that reads artwork stopped");
    expect((await measurer.measure(asked, unhurried())).measurements.plates.size).toBe(2);
  });
});
