import { fork } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { afterEach, describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { Measurer } from "../../server/lsp/measurer.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { SOUND } from "../language/documents.ts";
import { scratch } from "../output/folders.ts";
import { until } from "./client.ts";

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
  return { recipe: SOUND, shop: undefined, readings: undefined, artworkFile };
}

const ignoreProgress = () => new AbortController().signal;

it("measures coverage, tones and resolution, with a picture of each plate", async () => {
  measurer = new Measurer(program);
  const { artworkPpi, plates } = (await measurer.measure(await request(), ignoreProgress())).measurements;
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

it("says which plates would come nearer", async () => {
  measurer = new Measurer(program);
  const { recipe, ...rest } = await request();
  const off = recipe.replace("hue: [350, 50]", "hue: [46, 90]");
  expect(off).not.toBe(recipe);
  const found = await measurer.nearer({ ...rest, recipe: off }, ignoreProgress());
  expect([...found.keys()]).toEqual(["ember"]);
});

it("reads the plates that somebody else made, and says of which file it cannot", async () => {
  measurer = new Measurer(program);
  const { artworkFile, ...rest } = await request();
  const plate = artworkFile.replace("art.png", "ember.png");
  const pixels = Uint8Array.from({ length: 80 * 40 }, (_, i) => (i % 80 < 20 ? 0 : 255));
  await sharp(pixels, { raw: { width: 80, height: 40, channels: 1 } })
    .toColourspace("b-w")
    .png()
    .toFile(plate);
  const recipe = SOUND.replace("{ hue: [350, 50] }", "{ plate: plates/ember.png }");
  const work = { ...rest, recipe, artworkFile, plateFiles: { "plates/ember.png": plate } };
  const { plates } = (await measurer.measure(work, ignoreProgress())).measurements;
  expect(plates.get("ember")?.coverage).toBeCloseTo(0.25, 6);
  const resolved = resolveRecipe(parseDocument("recipe", recipe, "recipe"));
  const { file, ...view } = resolved.plates.get("ember")!.given!;
  expect(file).toBe("plates/ember.png");
  const preview = {
    plan: separationPlan(resolved),
    widthMm: 50.8,
    artwork: { file: artworkFile, plates: [{ name: "ember", file: plate, view }] },
    held: { plates: {} },
  };
  const shown = await measurer.preview(preview, ignoreProgress());
  expect(shown.plates.map(({ name, figures }) => [name, figures.coverage])).toEqual([
    ["base", 1],
    ["ember", expect.closeTo(0.25, 6)],
  ]);
  writeFileSync(plate, "no picture");
  await expect(measurer.preview(preview, ignoreProgress())).rejects.toThrow(
    /ember\.png: this is not a picture/,
  );
});

it("counts a tone on the edge of two tenths to the upper one", async () => {
  measurer = new Measurer(program);
  const { recipe, ...rest } = await request();
  const fifth = `${recipe}adjust:\n  - { plate: ember, curve: [[0, 0], [100, 20]] }\n`;
  const { plates } = (await measurer.measure({ recipe: fifth, ...rest }, ignoreProgress())).measurements;
  expect(plates.get("ember")?.histogram).toEqual([0, 0, 0.5, 0, 0, 0, 0, 0, 0, 0]);
});

it("says in one line why artwork cannot be measured", async () => {
  measurer = new Measurer(program);
  const { artworkFile, ...rest } = await request();
  writeFileSync(artworkFile, "no picture");
  await expect(measurer.measure({ artworkFile, ...rest }, ignoreProgress())).rejects.toThrow(
    /^[^\n]*not a picture[^\n]*$/,
  );
});

describe("what is asked of the process", () => {
  /** A process that writes down what it hears; it answers what has "answer" for its recipe. */
  function hearing() {
    const folder = fresh();
    const [heard, file] = [join(folder, "heard"), join(folder, "program.mjs")];
    writeFileSync(heard, "");
    writeFileSync(
      file,
      `import { appendFileSync } from "node:fs";
process.on("message", (message) => {
  if (message.work?.recipe === "answer") process.send({ id: message.id, result: "done" });
  appendFileSync(${JSON.stringify(heard)}, message.kind + " " + message.id + "\\n");
});
process.on("disconnect", () => process.exit(0));
`,
    );
    measurer = new Measurer(file);
    return () => readFileSync(heard, "utf8").split("\n").filter(Boolean);
  }
  const work = (recipe = "hold") => ({ recipe, shop: undefined, readings: undefined, artworkFile: "none" });

  it("is withdrawn by its own number where nobody waits for it any more", async () => {
    const heard = hearing();
    const [one, two] = [new AbortController(), new AbortController()];
    const waiting = [measurer.measure(work(), one.signal), measurer.measure(work(), two.signal)];
    for (const measuring of waiting) measuring.catch(() => {});
    two.abort();
    await expect(waiting[1]).rejects.toThrow("cancelled");
    await until(() => heard().length === 3 || undefined);
    expect(heard()).toEqual(["measure 1", "measure 2", "cancel 2"]);
    one.abort();
    await expect(waiting[0]).rejects.toThrow("cancelled");
    await until(() => heard().length === 4 || undefined);
    expect(heard().at(-1)).toBe("cancel 1");
  });

  it("is not withdrawn once it is answered, and not asked at all where nobody waits from the first", async () => {
    const heard = hearing();
    const [late, early] = [new AbortController(), new AbortController()];
    expect(await measurer.measure(work("answer"), late.signal)).toBe("done");
    late.abort();
    early.abort();
    await expect(measurer.measure(work(), early.signal)).rejects.toThrow();
    expect(await measurer.measure(work("answer"), ignoreProgress())).toBe("done");
    await until(() => heard().length >= 2 || undefined);
    expect(heard()).toEqual(["measure 1", "measure 3"]);
  });
});

it.each(["measure", "preview", "proof"])("the process ends a %s that is withdrawn", async (kind) => {
  const { artworkFile, ...rest } = await request();
  const plan = separationPlan(resolveRecipe(parseDocument("a.sep.yaml", SOUND)));
  const asked = {
    measure: { artworkFile, ...rest },
    preview: { plan, widthMm: 50.8, artwork: { file: artworkFile }, held: { plates: {} } },
    proof: { artworkFile, ...rest, garment: "black", setup: "dark", stations: 2, without: [] },
  }[kind];
  const child = fork(program, { stdio: ["ignore", "ignore", "ignore", "ipc"], serialization: "advanced" });
  const answers: { id: number; error?: string }[] = [];
  child.on("message", (answer: { id: number; error?: string }) => answers.push(answer));
  child.send({ kind, id: 7, work: asked });
  child.send({ kind: "cancel", id: 7 });
  // A number that nobody knows does no harm.
  child.send({ kind: "cancel", id: 8 });
  await until(() => answers.length > 0 || undefined);
  child.kill();
  expect(answers).toEqual([{ id: 7, error: "cancelled" }]);
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
    const measuring = measurer.measure(asked, ignoreProgress());
    measuring.catch(() => {});
    process.kill(measurer.pid!, "SIGKILL");
    await expect(measuring).rejects.toThrow("the process that reads artwork stopped");
    expect((await measurer.measure(asked, ignoreProgress())).measurements.plates.size).toBe(2);
  });
});
