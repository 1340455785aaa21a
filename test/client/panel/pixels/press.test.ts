import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { Press } from "../../../../client/panel/pixels/press.ts";
import type { Shot } from "../../../../client/panel/pixels/shot.ts";
import type { FromWorker, ToWorker } from "../../../../client/panel/pixels/worker.ts";

/** A thread that answers when it is told to. */
class PlayedWorker extends EventTarget {
  readonly got: ToWorker[] = [];
  postMessage(message: ToWorker): void {
    this.got.push(message);
  }
  answer(): void {
    const asked = this.got.findLast((message) => message.kind === "shoot");
    const rgba = new Uint8ClampedArray(4);
    const data: FromWorker = { id: (asked as { id: number }).id, rgba, loan: 7 };
    this.dispatchEvent(Object.assign(new Event("message"), { data }));
  }
}

const idle: (() => void)[] = [];
beforeEach(() => {
  idle.length = 0;
  vi.stubGlobal("requestIdleCallback", (work: (deadline: unknown) => void) =>
    idle.push(() => work({ timeRemaining: () => 5 })),
  );
  vi.stubGlobal("ImageData", class {});
});
afterEach(() => vi.unstubAllGlobals());

const SHOT: Shot = { kind: "film", set: "now", plate: "a" };
const task = () => new Promise((resolve) => setTimeout(resolve));

function open() {
  const worker = new PlayedWorker();
  const press = new Press(() => worker as unknown as Worker, 1);
  press.setArtwork("now", 1, 1, new Uint8Array(4));
  return { press, worker };
}

it("gives back what was lent once it was handed over", () => {
  const { press, worker } = open();
  press.shoot("main", SHOT, () => expect(worker.got.some(({ kind }) => kind === "giveBack")).toBe(false));
  worker.answer();
  expect(worker.got.at(-1)).toMatchObject({ kind: "giveBack", loan: 7 });
});

it("makes of shots that come while one is made only the newest", () => {
  const { press, worker } = open();
  const done: string[] = [];
  for (const name of ["first", "second", "third"]) press.shoot("main", SHOT, () => done.push(name));
  worker.answer();
  worker.answer();
  expect(done).toEqual(["first", "third"]);
});

it("lets work wait for a picture that is asked for in the same task, and until the page has time", async () => {
  const { press, worker } = open();
  const done: string[] = [];
  press.whenResting(() => done.push("later"));
  press.shoot("main", SHOT, () => done.push("picture"));
  await task();
  expect([done, idle.length]).toEqual([[], 0]);
  worker.answer();
  expect(done).toEqual(["picture"]);
  for (const work of idle.splice(0)) work();
  expect(done).toEqual(["picture", "later"]);
});

it("lets it wait once more where another picture is asked for before that", async () => {
  const { press, worker } = open();
  const done: string[] = [];
  press.shoot("main", SHOT, () => {});
  press.whenResting(() => done.push("later"));
  await task();
  worker.answer();
  press.shoot("main", SHOT, () => {});
  for (const work of idle.splice(0)) work();
  expect(done).toEqual([]);
  worker.answer();
  for (const work of idle.splice(0)) work();
  expect(done).toEqual(["later"]);
});

it("does it in the next task where there is no picture to wait for", async () => {
  const { press } = open();
  let done = false;
  press.whenResting(() => {
    done = true;
  });
  expect(done).toBe(false);
  await task();
  expect(done).toBe(true);
});

it("gives each worker its rows of a picture, and all of them what is to be forgotten or got ready", () => {
  const workers = [new PlayedWorker(), new PlayedWorker()];
  let started = 0;
  const press = new Press(() => workers[started++] as unknown as Worker, 2);
  const artwork = Uint8Array.from({ length: 4 * 2 * 3 }, (_, i) => i);
  press.setArtwork("now", 2, 3, artwork);
  press.setPlate("now", "a", Uint8Array.of(1, 2, 3, 4, 5, 6));
  press.setPlate("piece", "a", new Uint8Array(6));
  const sent = (kind: "artwork" | "plate") =>
    workers.flatMap(({ got }) => got.flatMap((message) => (message.kind === kind ? [...message.bytes] : [])));
  expect(sent("artwork")).toEqual([...artwork]);
  expect(sent("plate")).toEqual([1, 2, 3, 4, 5, 6]);
  expect([...press.picture("now")!.plates.keys()]).toEqual(["a"]);

  const printed = {
    set: "now",
    conditions: { garment: { L: 10, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
    printings: [],
  } as const;
  press.warm(printed);
  for (const { got } of workers) expect(got.at(-1)).toEqual({ kind: "warm", printed });
  press.drop("now", "a");
  for (const { got } of workers) expect(got.at(-1)).toEqual({ kind: "drop", set: "now", name: "a" });
  expect(press.picture("now")!.plates.size).toBe(0);
  press.drop("now");
  for (const { got } of workers) expect(got.at(-1)).toEqual({ kind: "drop", set: "now" });
  expect(press.picture("now")).toBeUndefined();
});
