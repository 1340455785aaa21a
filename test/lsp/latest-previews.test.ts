import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import { LatestPreviews } from "../../server/lsp/latest-previews.ts";
import type { PreviewWork } from "../../server/lsp/work-messages.ts";
import type { Preview } from "../../server/wire/preview.ts";

const folder = mkdtempSync(join(tmpdir(), "platewright-pictures-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let files = 0;

function artwork(): string {
  const file = join(folder, `${++files}.png`);
  writeFileSync(file, "one state");
  return file;
}

function work(file: string, more: Partial<PreviewWork> = {}): PreviewWork {
  const plan = { plates: [{ name: "base" }] } as unknown as PreviewWork["plan"];
  return { plan, widthMm: 100, artwork: { file }, held: { plates: {} }, ...more };
}

const HELD = { artwork: "a1", plates: { base: "b1", top: "t1" } };

function made(more: Partial<Preview<Uint8Array>> = {}): Preview<Uint8Array> {
  const figures = { coverage: 0.5, filmMm: { width: 1, height: 1 } };
  const plate = (name: string, key: string) => ({ name, key, figures, bytes: Uint8Array.of(1) });
  return {
    artwork: { key: "a1", bytes: Uint8Array.of(2) } as Preview<Uint8Array>["artwork"],
    plates: [plate("base", "b1"), { ...plate("top", "t1"), differsFrom: "t0" }],
    ...more,
  };
}

/** Whether the process would be asked for the second of two pictures. */
async function askedAgain(
  first: PreviewWork,
  second: PreviewWork,
  between = () => {},
  preview = made(),
): Promise<boolean> {
  const pictures = new LatestPreviews();
  let asked = 0;
  const make = async () => {
    asked++;
    return preview;
  };
  expect(await pictures.of(first, make)).toBe(preview);
  between();
  await pictures.of(second, make);
  return asked === 2;
}

it("tells who holds a picture that it is the same, and sends nothing", async () => {
  const file = artwork();
  const pictures = new LatestPreviews();
  await pictures.of(work(file), async () => made());
  const again = await pictures.of(work(file, { held: HELD }), () => Promise.reject(new Error("asked")));
  expect(again.artwork).toEqual({ key: "a1" });
  expect(again.plates).toEqual([
    { name: "base", key: "b1", figures: made().plates[0].figures },
    { name: "top", key: "t1", figures: made().plates[1].figures },
  ]);
});

it("has it made for who holds another artwork, another plate, or one too few", async () => {
  const file = artwork();
  for (const held of [
    { ...HELD, artwork: "a0" },
    { ...HELD, plates: { base: "b1", top: "t0" } },
    { ...HELD, plates: { base: "b1" } },
  ])
    expect(await askedAgain(work(file), work(file, { held })), JSON.stringify(held)).toBe(true);
});

it("has another plan, another width, and another file made", async () => {
  const file = artwork();
  const plan = { plates: [{ name: "other" }] } as unknown as PreviewWork["plan"];
  const held = HELD;
  expect(await askedAgain(work(file), work(file, { held, plan }))).toBe(true);
  expect(await askedAgain(work(file), work(file, { held, widthMm: 101 }))).toBe(true);
  expect(await askedAgain(work(file), work(artwork(), { held }))).toBe(true);
  expect(await askedAgain(work(file), work(file, { held }))).toBe(false);
});

it("has it made once the artwork on disk has changed, or is gone", async () => {
  const file = artwork();
  const change = () => writeFileSync(file, "another state");
  expect(await askedAgain(work(file), work(file, { held: HELD }), change)).toBe(true);
  expect(await askedAgain(work(file), work(file, { held: HELD }), () => rmSync(file))).toBe(true);
});

it("keeps none at low resolution, no crop and nothing of a commit", async () => {
  const file = artwork();
  expect(
    await askedAgain(work(file), work(file, { held: HELD }), undefined, made({ lowResolution: true })),
  ).toBe(true);
  const crop = { x: 0, y: 0, width: 10, height: 10, ppi: 300 };
  expect(await askedAgain(work(file), work(file, { held: HELD, crop }))).toBe(true);
  expect(await askedAgain(work(file, { crop }), work(file, { held: HELD }))).toBe(true);
  const stored = { artwork: { file, blob: "0123" }, held: HELD };
  expect(await askedAgain(work(file, stored), work(file, stored))).toBe(true);
});

it("forgets the oldest of many", async () => {
  const pictures = new LatestPreviews();
  const all = Array.from({ length: 9 }, artwork);
  let asked = 0;
  const make = async () => {
    asked++;
    return made();
  };
  for (const file of all) await pictures.of(work(file), make);
  await pictures.of(work(all[8], { held: HELD }), make);
  expect(asked).toBe(9);
  await pictures.of(work(all[0], { held: HELD }), make);
  expect(asked).toBe(10);
});
