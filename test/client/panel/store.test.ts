import { deflateRawSync } from "node:zlib";
import { expect, it, vi } from "vitest";
import type { Renderer } from "../../../client/panel/pixels/renderer.ts";
import { Store } from "../../../client/panel/store.ts";
import type { PanelJob } from "../../../server/wire/panel.ts";
import type { Preview } from "../../../server/wire/preview.ts";
import { job as twoGarments } from "./view-job.ts";

const job: PanelJob = {
  ...twoGarments,
  garments: twoGarments.garments.slice(0, 1),
  plates: [],
  inks: [],
  setups: [{ name: "dark", garments: ["black"], order: [], n: 1, gains: {} }],
};

function open() {
  const asked: string[] = [];
  const resting: (() => void)[] = [];
  const renderer = {
    picture: () => undefined,
    update: () => asked.push("update"),
    warm: () => asked.push("warm"),
    whenResting: (work: () => void) => resting.push(work),
  } as unknown as Renderer;
  const store = new Store(renderer, { post: () => {}, kept: () => undefined, keep: () => {} });
  return { asked, resting, store };
}

const picture = (lowResolution: boolean): Preview<Uint8Array> => ({
  artwork: {
    key: String(lowResolution),
    width: 1,
    height: 1,
    ppi: 1,
    xMm: 0,
    yMm: 0,
    heightMm: 1,
    ownPpi: 1,
    notes: [],
    bytes: deflateRawSync(new Uint8Array(4)),
  },
  plates: [
    {
      name: "base",
      key: String(lowResolution),
      figures: { coverage: 0.5, filmMm: { width: 1, height: 1 } },
      bytes: deflateRawSync(new Uint8Array(1)),
    },
  ],
  ...(lowResolution ? { lowResolution } : {}),
});

const told = (shown?: Preview<Uint8Array>) =>
  ({
    kind: "preview",
    result: { version: 1, findings: [], job, ...(shown ? { picture: shown } : {}) },
  }) as const;

it("lays the job out before there is a picture, and has the renderer get ready", async () => {
  const { asked, store } = open();
  await store.receive(told());
  expect([store.job?.title, store.placed, asked]).toEqual(["A job", undefined, ["warm"]]);
});

it("shows few pixels without figures, which would be other ones a moment later, and then the picture with them", async () => {
  const { asked, store } = open();
  await store.receive(told(picture(true)));
  expect([store.placed?.lowResolution, store.figures.size]).toEqual([true, 0]);
  await store.receive(told(picture(false)));
  expect([store.placed?.lowResolution, store.figures.get("base")?.coverage]).toEqual([undefined, 0.5]);
  expect(asked).toEqual(["update", "update"]);
});

it("says that there is another picture first, and what stands around it once the renderer rests", async () => {
  const { resting, store } = open();
  const said: string[] = [];
  for (const news of ["picture", "change"]) store.addEventListener(news, () => said.push(news));
  const preview = told(picture(false));
  await store.receive(preview);
  // With the first picture all of the panel comes.
  expect(said).toEqual(["change"]);
  await store.receive(preview);
  expect(said).toEqual(["change", "picture"]);
  await vi.waitFor(() => expect(resting).toHaveLength(1));
  resting[0]();
  expect(said).toEqual(["change", "picture", "change"]);
  // Once is enough, also when it would have waited long enough.
  await new Promise((resolve) => setTimeout(resolve, 250));
  expect(said).toHaveLength(3);
});

it("says at once that there is no picture of the text as it is", async () => {
  const { store } = open();
  const said: string[] = [];
  for (const news of ["picture", "change"]) store.addEventListener(news, () => said.push(news));
  await store.receive(told(picture(false)));
  await store.receive({ kind: "preview", result: { version: 2, findings: [] } });
  expect(said).toEqual(["change", "change"]);
});

it("has what stands around a picture wait for it no longer than a fifth of a second", async () => {
  const { store } = open();
  const preview = told(picture(false));
  await store.receive(preview);
  let changes = 0;
  store.addEventListener("change", () => changes++);
  await store.receive(preview);
  expect(changes).toBe(0);
  await vi.waitFor(() => expect(changes).toBe(1));
});
