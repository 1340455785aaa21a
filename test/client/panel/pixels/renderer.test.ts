import { afterEach, beforeEach, expect, it, vi } from "vitest";
import type { RenderRequest } from "../../../../client/panel/pixels/render.ts";
import type { FromWorker, ToWorker } from "../../../../client/panel/pixels/render-worker.ts";
import { type RenderedPicture, Renderer } from "../../../../client/panel/pixels/renderer.ts";
import { DifferenceTally } from "../../../../server/engine/print/difference.ts";
import type { Preview, PreviewPlate } from "../../../../server/wire/preview.ts";
import { differenceOf } from "../../../../server/wire/tone-difference.ts";

/** A thread that answers when it is told to. */
class PlayedWorker extends EventTarget {
  readonly got: ToWorker[] = [];
  postMessage(message: ToWorker): void {
    this.got.push(message);
  }
  answer(): void {
    const asked = this.got.findLast((message) => message.call === "render");
    const rgba = new Uint8ClampedArray(4);
    const data: FromWorker = { id: (asked as { id: number }).id, rgba, returnAs: 7 };
    this.dispatchEvent(Object.assign(new Event("message"), { data }));
  }
}

/** What comes of a picture, inflated. */
function sent(
  width: number,
  height: number,
  plates: Record<string, Partial<PreviewPlate<Uint8Array>>>,
  artwork?: Uint8Array,
): Preview<Uint8Array> {
  const figures = { coverage: 0, filmMm: { width: 0, height: 0 } };
  const placed = {
    key: "art",
    width,
    height,
    ppi: 25.4,
    xMm: 0,
    yMm: 0,
    heightMm: height,
    ownPpi: 25.4,
    notes: [],
  };
  return {
    artwork: { ...placed, ...(artwork ? { bytes: artwork } : {}) },
    plates: Object.entries(plates).map(([name, plate]) => ({ name, key: "k", figures, ...plate })),
  };
}

/** What a browser has of the name. */
class PlainImage {
  readonly data: Uint8ClampedArray;
  readonly width: number;
  readonly height: number;
  constructor(data: Uint8ClampedArray, width: number, height: number) {
    this.data = data;
    this.width = width;
    this.height = height;
  }
}

const idle: (() => void)[] = [];
beforeEach(() => {
  idle.length = 0;
  vi.stubGlobal("requestIdleCallback", (work: (deadline: unknown) => void) =>
    idle.push(() => work({ timeRemaining: () => 5 })),
  );
  vi.stubGlobal("ImageData", PlainImage);
});
afterEach(() => vi.unstubAllGlobals());

const REQUEST: RenderRequest = { kind: "film", source: "now", plate: "a" };
const task = () => new Promise((resolve) => setTimeout(resolve));

function open() {
  const worker = new PlayedWorker();
  const renderer = new Renderer(() => worker as unknown as Worker, 1);
  renderer.update("now", sent(1, 1, { a: { bytes: new Uint8Array(1) } }, new Uint8Array(4)));
  return { renderer, worker };
}

it("returns a buffer once its picture was handed over", () => {
  const { renderer, worker } = open();
  const pictures: (RenderedPicture | undefined)[] = [];
  renderer.render("main", REQUEST, (picture) => {
    pictures.push(picture);
    expect(worker.got.some(({ call }) => call === "returned")).toBe(false);
  });
  worker.answer();
  // No work waits for the browser to rest, and nothing was compared.
  expect(idle).toEqual([]);
  expect(pictures).toEqual([expect.objectContaining({ difference: undefined, worst: [] })]);
  expect(worker.got.at(-1)).toMatchObject({ call: "returned", args: [7, expect.anything()] });
});

it("makes of requests that come while one is made only the newest", () => {
  const { renderer, worker } = open();
  const done: string[] = [];
  for (const name of ["first", "second", "third"]) renderer.render("main", REQUEST, () => done.push(name));
  worker.answer();
  worker.answer();
  expect(done).toEqual(["first", "third"]);
});

it("lets work wait for a picture that is asked for in the same task, and until the page has time", async () => {
  const { renderer, worker } = open();
  const done: string[] = [];
  renderer.whenResting(() => done.push("later"));
  renderer.render("main", REQUEST, () => done.push("picture"));
  await task();
  expect([done, idle.length]).toEqual([[], 0]);
  worker.answer();
  expect(done).toEqual(["picture"]);
  for (const work of idle.splice(0)) work();
  expect(done).toEqual(["picture", "later"]);
});

it("lets it wait once more where another picture is asked for before that", async () => {
  const { renderer, worker } = open();
  const done: string[] = [];
  renderer.render("main", REQUEST, () => {});
  renderer.whenResting(() => done.push("later"));
  await task();
  worker.answer();
  renderer.render("main", REQUEST, () => {});
  for (const work of idle.splice(0)) work();
  expect(done).toEqual([]);
  worker.answer();
  for (const work of idle.splice(0)) work();
  expect(done).toEqual(["later"]);
});

it("does it in the next task where there is no picture to wait for", async () => {
  const { renderer } = open();
  let done = false;
  renderer.whenResting(() => {
    done = true;
  });
  expect(done).toBe(false);
  await task();
  expect(done).toBe(true);
});

it("gives each worker its rows of a picture, and all of them what is to be forgotten or got ready", () => {
  const workers = [new PlayedWorker(), new PlayedWorker()];
  let started = 0;
  const renderer = new Renderer(() => workers[started++] as unknown as Worker, 2);
  const artwork = Uint8Array.from({ length: 4 * 2 * 3 }, (_, i) => i);
  const tones = Uint8Array.of(1, 2, 3, 4, 5, 6);
  renderer.update("now", sent(2, 3, { a: { key: "1", bytes: tones.slice() } }, artwork));
  renderer.update("crop", sent(2, 3, { a: { bytes: new Uint8Array(6) } }));
  const got = (call: "setArtwork" | "setPlate") =>
    workers.flatMap(({ got }) =>
      got.flatMap((message) => (message.call === call ? [...message.args[2]] : [])),
    );
  expect(got("setArtwork")).toEqual([...artwork]);
  expect(got("setPlate")).toEqual([...tones]);
  expect(renderer.picture("now")!.keys).toEqual({ artwork: "art", plates: { a: "1" } });

  // A difference goes to all as it came, with the place where each one's rows begin.
  const changed = Uint8Array.of(1, 2, 3, 4, 50, 6);
  const bytes = differenceOf(tones, changed, 100)!;
  renderer.update("now", sent(2, 3, { a: { key: "2", bytes, differsFrom: "1" } }));
  for (const [i, { got }] of workers.entries())
    expect(got.at(-1)).toEqual({ call: "changePlate", args: ["now", "a", bytes, 2 * i, 6] });
  expect(renderer.picture("now")!.plates.get("a")).toEqual(changed);
  expect(renderer.picture("now")!.keys.plates).toEqual({ a: "2" });
  const told = workers.map(({ got }) => got.length);
  const stale = sent(2, 3, { b: { bytes: tones }, a: { key: "3", bytes, differsFrom: "1" } });
  expect(() => renderer.update("now", stale)).toThrow(
    "plate a was sent as what differs from one that is not here",
  );
  expect(workers.map(({ got }) => got.length)).toEqual(told);

  // With another artwork there is nothing to differ from.
  const afresh = sent(2, 3, { a: { key: "3", bytes, differsFrom: "2" } }, new Uint8Array(24));
  expect(() => renderer.update("now", afresh)).toThrow(
    "plate a was sent as what differs from one that is not here",
  );
  expect(workers.map(({ got }) => got.length)).toEqual(told);
  expect(renderer.picture("now")!.artwork).toEqual(artwork);

  const proof = {
    source: "now",
    conditions: { garment: { L: 10, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
    stations: [],
  } as const;
  renderer.warm(proof);
  for (const { got } of workers) expect(got.at(-1)).toEqual({ call: "warm", args: [proof] });
  renderer.update("now", sent(2, 3, {}));
  for (const { got } of workers) expect(got.at(-1)).toEqual({ call: "drop", args: ["now", "a"] });
  expect(renderer.picture("now")!.plates.size).toBe(0);
  renderer.drop("now");
  for (const { got } of workers) expect(got.at(-1)).toEqual({ call: "drop", args: ["now"] });
  expect(renderer.picture("now")).toBeUndefined();
});

it("puts what its workers answer together: the rows, the figures, and the worst places where they lie in the whole", () => {
  const workers = [new PlayedWorker(), new PlayedWorker()];
  let started = 0;
  const renderer = new Renderer(() => workers[started++] as unknown as Worker, 2);
  // 400 × 8 pixels: from row 4 on they are the second worker's.
  renderer.update("now", sent(400, 8, {}, new Uint8Array(400 * 8 * 4)));
  const done: (RenderedPicture | undefined)[] = [];
  const answer = (i: number, more: Partial<FromWorker>) => {
    const asked = workers[i]!.got.findLast((message) => message.call === "render") as { id: number };
    const data: FromWorker = { id: asked.id, rgba: new Uint8ClampedArray(400 * 4 * 4), ...more };
    workers[i]!.dispatchEvent(Object.assign(new Event("message"), { data }));
  };
  const tally = new DifferenceTally();
  for (const difference of [1, 3]) tally.add(difference);
  renderer.render("main", REQUEST, (picture) => done.push(picture));
  answer(0, { tally, worst: [{ x: 10, y: 2, side: 10, difference: 4 }] });
  // An answer to nothing that is under way is passed over.
  answer(0, { id: 99 });
  expect(done).toEqual([]);
  answer(1, { worst: [{ x: 200, y: 1, side: 10, difference: 6 }] });
  expect(done[0]!.worst).toEqual([
    { x: 200, y: 5, side: 10, difference: 6 },
    { x: 10, y: 2, side: 10, difference: 4 },
  ]);
  expect(done[0]!.bands.map(({ y, data }) => [y, data.width, data.height])).toEqual([
    [0, 400, 4],
    [4, 400, 4],
  ]);
  expect(done[0]!.difference!.mean).toBeCloseTo(2, 9);
  // Neither asked for its buffer back.
  for (const { got } of workers) expect(got.at(-1)!.call).toBe("render");

  renderer.render("main", REQUEST, (picture) => done.push(picture));
  answer(0, {});
  answer(1, { rgba: undefined as never, returnAs: 3 });
  expect(done).toHaveLength(2);
  expect(done[1]).toBeUndefined();
  for (const { got } of workers) expect(got.at(-1)!.call).toBe("render");
});

it("holds plates where one print has them, and sends only those that are to lie elsewhere than they do", () => {
  const worker = new PlayedWorker();
  const renderer = new Renderer(() => worker as unknown as Worker, 1);
  const plates = () => worker.got.filter(({ call }) => call === "setPlate").map(({ args }) => args);
  const shifts = (x: number) => new Map([["b", [x, 0] as const]]);
  renderer.slide("slid", shifts(1));
  expect(worker.got).toEqual([]);
  const tones = Uint8Array.of(10, 20);
  const two = (key: string) => sent(2, 1, { a: { bytes: tones.slice() }, b: { key, bytes: tones.slice() } });
  renderer.update("now", { ...two("1"), artwork: { ...two("1").artwork, bytes: new Uint8Array(8) } });
  worker.got.length = 0;
  renderer.slide("slid", shifts(1));
  expect(worker.got[0]).toMatchObject({ call: "setArtwork", args: ["slid", 2, new Uint8Array(8)] });
  expect(plates()).toEqual([
    ["slid", "a", tones],
    ["slid", "b", Uint8Array.of(0, 10)],
  ]);
  expect(renderer.picture("slid")!.plates.get("b")).toEqual(Uint8Array.of(0, 10));
  expect(renderer.picture("now")!.plates.get("b")).toEqual(tones);

  worker.got.length = 0;
  renderer.slide("slid", shifts(1));
  expect(worker.got).toEqual([]);
  renderer.slide("slid", shifts(-1));
  expect(plates()).toEqual([["slid", "b", Uint8Array.of(20, 0)]]);
  renderer.slide("slid", shifts(-1), { left: true, top: true, right: false, bottom: true });
  expect(plates().at(-1)).toEqual(["slid", "b", Uint8Array.of(20, 20)]);
  // A plate that another text made anew is moved anew; one that is gone is forgotten.
  renderer.update("now", sent(2, 1, { b: { key: "2", bytes: Uint8Array.of(7, 8) } }));
  renderer.slide("slid", shifts(1));
  expect(plates().at(-1)).toEqual(["slid", "b", Uint8Array.of(0, 7)]);
  expect(worker.got.at(-1)).toEqual({ call: "drop", args: ["slid", "a"] });
  expect([...renderer.picture("slid")!.plates.keys()]).toEqual(["b"]);

  // Another picture is another artwork.
  worker.got.length = 0;
  renderer.update("now", { ...two("3"), artwork: { ...two("3").artwork, bytes: new Uint8Array(8).fill(9) } });
  renderer.slide("slid", shifts(1));
  expect(worker.got.filter(({ call, args }) => call === "setArtwork" && args[0] === "slid")).toHaveLength(1);
  expect(plates().filter(([to]) => to === "slid")).toHaveLength(2);
  renderer.drop("slid");
  expect(renderer.picture("slid")).toBeUndefined();
  const told = worker.got.length;
  renderer.drop("slidCrop");
  expect(worker.got).toHaveLength(told);
});
