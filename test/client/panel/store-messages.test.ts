import { deflateRawSync } from "node:zlib";
import { describe, expect, it, vi } from "vitest";
import { Renderer } from "../../../client/panel/pixels/renderer.ts";
import type { FromPage } from "../../../client/panel/protocol.ts";
import { Store } from "../../../client/panel/store.ts";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import type { PanelJob } from "../../../server/wire/panel.ts";
import type { Preview } from "../../../server/wire/preview.ts";
import { differenceOf } from "../../../server/wire/tone-difference.ts";
import { screening, job as twoGarments } from "./view-job.ts";

const WIDTH = 5;
const HEIGHT = 4;
const COUNT = WIDTH * HEIGHT;
const ink = (L: number) => ({
  colour: { L, a: 0, b: 0 },
  hex: "#000000",
  opacity: 1,
  film: { colour: { L, a: 0, b: 0 }, opacity: 1 },
});
const job: PanelJob = {
  ...twoGarments,
  garments: [
    { name: "black", colour: { L: 10, a: 0, b: 0 }, hex: "#1b1b1b" },
    { name: "white", colour: { L: 96, a: 0, b: 0 }, hex: "#f4f4f4" },
  ],
  plates: [
    { name: "base", ink: "white", purpose: "underbase", screening },
    { name: "grey", ink: "grey", purpose: "colour", screening },
  ],
  inks: [
    { name: "white", ...ink(95) },
    { name: "grey", ...ink(50) },
  ],
  setups: [{ ...twoGarments.setups[0], order: [{ plate: "base" }, "flash", { plate: "grey" }] }],
};

/** A store with a renderer that has no workers. */
function open(kept: unknown = undefined) {
  const posted: FromPage[] = [];
  const memory = { kept };
  const renderer = new Renderer(() => new Worker(""), 0);
  renderer.whenResting = (work) => work();
  const store = new Store(renderer, {
    post: (message) => posted.push(message),
    kept: () => memory.kept,
    keep: (state) => {
      memory.kept = state;
    },
  });
  const said: string[] = [];
  store.addEventListener("change", () => said.push("change"));
  return { store, renderer, posted, memory, said };
}

const tonesOf = (tone: number) => Uint8Array.from({ length: COUNT }, (_, i) => (tone + i) & 255);
type Sent = Readonly<Record<string, { key: string; tones?: Uint8Array; from?: string }>>;

/** A picture on the wire: 25.4 ppi, so that a pixel is a millimetre. */
function wire(plates: Sent, artwork?: Uint8Array): Preview<Uint8Array> {
  return {
    artwork: {
      key: "art",
      width: WIDTH,
      height: HEIGHT,
      ppi: 25.4,
      xMm: 0,
      yMm: 0,
      heightMm: HEIGHT,
      ownPpi: 25.4,
      notes: [],
      ...(artwork ? { bytes: deflateRawSync(artwork) } : {}),
    },
    plates: Object.entries(plates).map(([name, { key, tones, from }]) => ({
      name,
      key,
      figures: { coverage: 0.5, filmMm: { width: 1, height: 1 } },
      ...(tones ? { bytes: from === undefined ? deflateRawSync(tones) : tones } : {}),
      ...(from === undefined ? {} : { differsFrom: from }),
    })),
  };
}

const ARTWORK = Uint8Array.from({ length: COUNT * 4 }, (_, i) => (i % 4 === 3 ? 255 : (i * 11) & 255));
const answer = (picture?: Preview<Uint8Array>) => ({
  version: 1,
  findings: [],
  job,
  ...(picture ? { picture } : {}),
});
const preview = (picture?: Preview<Uint8Array>) => ({ kind: "preview", result: answer(picture) }) as const;
const FIRST = wire(
  { base: { key: "b1", tones: tonesOf(10) }, grey: { key: "g1", tones: tonesOf(90) } },
  ARTWORK,
);

describe("pictures", () => {
  it("are held as they were sent, and plates that are no more are dropped", async () => {
    const { store, renderer } = open();
    await store.receive(preview(FIRST));
    expect(renderer.picture("now")!.artwork).toEqual(ARTWORK);
    expect(store.placed).toMatchObject({ width: WIDTH, height: HEIGHT, key: "art" });
    expect(store.placed).not.toHaveProperty("lowResolution");
    expect(store.placed).not.toHaveProperty("bytes");
    await store.receive(preview(wire({ grey: { key: "g1" } })));
    expect([...renderer.picture("now")!.plates]).toEqual([["grey", tonesOf(90)]]);
    expect(store.edition).toBe(2);
  });

  it("come as what differs from the plate that is here, and from no other", async () => {
    const { store, renderer } = open();
    await store.receive(preview(FIRST));
    const changed = tonesOf(10);
    changed[3] = 200;
    const difference = differenceOf(tonesOf(10), changed, 1000)!.slice();
    await store.receive(
      preview(wire({ base: { key: "b2", tones: difference, from: "b1" }, grey: { key: "g1" } })),
    );
    expect(renderer.picture("now")!.plates.get("base")).toEqual(changed);
    expect(renderer.picture("now")!.keys.plates.base).toBe("b2");

    const error = vi.spyOn(console, "error").mockImplementation(() => {});
    await store.receive(
      preview(wire({ base: { key: "b3", tones: difference, from: "b1" }, grey: { key: "g1" } })),
    );
    expect(error).toHaveBeenCalledOnce();
    expect(String(error.mock.calls[0]![0])).toContain(
      "plate base was sent as what differs from one that is not here",
    );
    error.mockRestore();
    expect(renderer.picture("now")!.plates.get("base")).toEqual(changed);
  });

  it("of a crop are taken if it is the crop that is wanted, and let go with the next plates", async () => {
    const { store, renderer } = open();
    await store.receive(preview(FIRST));
    const crop = { x: 1, y: 2, width: 3, height: 4, ppi: 300 };
    store.want(crop);
    await store.receive({ kind: "crop", crop: { ...crop, x: 9 }, result: answer(FIRST) });
    await store.receive({ kind: "crop", crop, result: answer() });
    expect(store.crop).toBeUndefined();
    await store.receive({ kind: "crop", crop, result: answer(FIRST) });
    expect(store.crop).toMatchObject({ key: "art" });
    await store.receive(preview(wire({ base: { key: "b1" }, grey: { key: "g1" } })));
    expect(store.crop).toBeDefined();
    await store.receive(preview(wire({ base: { key: "b2", tones: tonesOf(7) }, grey: { key: "g1" } })));
    expect([store.crop, renderer.picture("crop")]).toEqual([undefined, undefined]);
  });

  it("of the last commit stand beside those of the text", async () => {
    const { store, renderer, said } = open();
    await store.receive({ kind: "committed", result: { ...answer(FIRST), commit: "abc" } });
    expect(renderer.picture("before")!.plates.get("base")).toEqual(tonesOf(10));
    expect(store.committed).toEqual({
      job,
      commit: "abc",
      problem: undefined,
    });
    await store.receive({ kind: "committed", result: { ...answer(), problem: "no git" } });
    expect(store.committed).toMatchObject({ job: undefined, problem: "no git" });
    expect([store.edition, said]).toEqual([2, ["change", "change"]]);
  });

  it("tell which plates are as the last commit has them", async () => {
    const { store } = open();
    await store.receive({ kind: "committed", result: answer(FIRST) });
    expect(store.isUnchanged("base")).toBe(false);
    await store.receive(
      preview(
        wire({ base: { key: "b1", tones: tonesOf(10) }, grey: { key: "g2", tones: tonesOf(1) } }, ARTWORK),
      ),
    );
    expect(["base", "grey"].map((plate) => store.isUnchanged(plate))).toEqual([true, false]);
  });
});

describe("what is asked of the editor", () => {
  it("is to show a finding in the file that it stands in", () => {
    const { store, posted } = open();
    const finding = { level: "note", message: "!", path: ["inks", "grey"], line: 7, plates: [] } as const;
    store.reveal({ ...finding, inShop: false });
    store.reveal({ ...finding, inShop: true });
    expect(posted).toEqual([
      { kind: "reveal", path: ["inks", "grey"] },
      { kind: "revealShop", line: 7 },
    ]);
  });

  it("is said once for as long as it stays the same", () => {
    const { store, posted } = open();
    const crop = { x: 1, y: 2, width: 3, height: 4, ppi: 300 };
    store.want();
    store.want();
    store.setView({ mode: "commit" });
    store.want(crop);
    store.want();
    store.want(null);
    expect(posted).toEqual([
      { kind: "want", committed: false },
      { kind: "want", committed: true },
      { kind: "want", committed: true, crop },
      { kind: "want", committed: true },
    ]);
    expect(posted[0]).not.toHaveProperty("crop");
  });
});

describe("what is seen", () => {
  it("is kept with what else is kept, and comes back", () => {
    const { store, memory, said } = open({ other: 1, garment: "white" });
    expect(store.view.garment).toBe("white");
    store.setView({ plate: "grey" });
    expect(memory.kept).toMatchObject({ other: 1, garment: "white", plate: "grey" });
    expect(said).toEqual(["change"]);
  });

  it("follows the cursor to plates and garments that there are", async () => {
    const { store } = open();
    await store.receive({ kind: "place", place: { plate: "grey" } });
    expect([store.view.plate, store.place]).toEqual(["", { plate: "grey" }]);
    await store.receive(preview(FIRST));
    await store.receive({ kind: "place", place: { plate: "grey", garment: "white" } });
    expect([store.view.plate, store.view.garment]).toEqual(["grey", "white"]);
    await store.receive({ kind: "place", place: { plate: "gone", garment: "gone" } });
    await store.receive({ kind: "place", place: {} });
    expect([store.view.plate, store.view.garment]).toEqual(["grey", "white"]);
  });

  it("is the garment that is asked for, out of all side by side", async () => {
    const { store } = open();
    store.setView({ mode: "garments" });
    await store.receive({ kind: "show", garment: "white" });
    expect([store.view.garment, store.view.mode]).toEqual(["white", "proof"]);
    store.setView({ mode: "plate" });
    await store.receive({ kind: "show", garment: "black" });
    expect([store.view.garment, store.view.mode]).toEqual(["black", "plate"]);
  });

  it("is reported with reasons and notices; saving is passed on", async () => {
    const { store, said } = open();
    const reasons = [{ says: "so", path: ["plates"], line: 3 }];
    await store.receive({ kind: "why", plate: "grey", reasons });
    await store.receive({ kind: "said", text: "saved" });
    expect([store.reasons, store.said, said.length]).toEqual([{ plate: "grey", reasons }, "saved", 2]);
    const saved: unknown[] = [];
    store.addEventListener("save", (event) => saved.push((event as CustomEvent).detail));
    await store.receive({ kind: "save", what: "sheet" });
    // Not before there is something to save.
    expect([saved, said.length]).toEqual([[], 2]);
    await store.receive(preview(FIRST));
    expect(saved).toEqual(["sheet"]);
    await store.receive({ kind: "save", what: "proof" });
    expect(saved).toEqual(["sheet", "proof"]);
  });

  it("can be saved by its names", async () => {
    const { store } = open();
    expect(store.shown()).toBeUndefined();
    await store.receive(preview(FIRST));
    store.setView({ after: 2, without: ["base"] });
    expect(store.shown()).toEqual({ garment: "black", setup: "dark", stations: 2, without: ["base"] });
    store.setView({ garment: "white" });
    expect(store.shown()).toBeUndefined();
  });
});

describe("the probe", () => {
  it("reads artwork, proof and tones of the pixel under the point", async () => {
    const { store } = open();
    expect(store.probe()).toBeUndefined();
    await store.receive(preview(FIRST));
    expect(store.probe()).toBeUndefined();
    store.point = { x: 3.5, y: 2.5 };
    const i = 2 * WIDTH + 3;
    const probe = store.probe()!;
    const rgba = [...ARTWORK.subarray(4 * i, 4 * i + 4)];
    expect(probe).toMatchObject({ x: 3.5, y: 2.5, rgba });
    expect(probe.artwork).toBe((rgba[0]! << 16) | (rgba[1]! << 8) | rgba[2]!);
    expect(probe.tones).toEqual(
      new Map([
        ["base", (10 + i) / 255],
        ["grey", (90 + i) / 255],
      ]),
    );
    const [p, q] = [probe.artwork, probe.proof].map((c) =>
      labFromBytes(c >> 16, (c >> 8) & 255, c & 255),
    ) as [Lab, Lab];
    expect(probe.difference).toBeCloseTo(deltaE00(p.L, p.a, p.b, q.L, q.a, q.b), 1);
    store.setView({ without: ["base", "grey"] });
    // Bare garment of L* 10 is #1b1b1b.
    expect(store.probe()!.proof).toBe(0x1b1b1b);
  });

  it.each([
    [-0.1, 1],
    [1, -0.1],
    [WIDTH + 0.01, 1],
    [1, HEIGHT + 0.01],
  ])("is none off the print, at %f, %f", async (x, y) => {
    const { store } = open();
    await store.receive(preview(FIRST));
    store.point = { x, y };
    expect(store.probe()).toBeUndefined();
    store.point = { x: Math.min(WIDTH - 0.01, Math.max(0, x)), y: Math.min(HEIGHT - 0.01, Math.max(0, y)) };
    expect(store.probe()).toBeDefined();
  });
});

type Lab = ReturnType<typeof labFromBytes>;
