import { afterAll, beforeAll, beforeEach, expect, it, vi } from "vitest";
import { Band } from "../../../../client/panel/pixels/band.ts";
import type { ToWorker } from "../../../../client/panel/pixels/render-worker.ts";

const postMessage = vi.fn();
const thread = Object.assign(new EventTarget(), { postMessage });
const tell = (data: ToWorker) => thread.dispatchEvent(Object.assign(new Event("message"), { data }));

beforeAll(async () => {
  vi.stubGlobal("self", thread);
  vi.useFakeTimers();
  await import("../../../../client/panel/pixels/render-worker.ts");
});
beforeEach(() => postMessage.mockClear());
afterAll(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const ART: ToWorker = { call: "setArtwork", args: ["now", 2, new Uint8Array(8)] };
const setPlate = (): ToWorker => ({ call: "setPlate", args: ["now", "a", Uint8Array.of(9, 200)] });
const film = (plate: string, source: "now" | "before" = "now"): ToWorker => ({
  call: "render",
  id: 5,
  args: ["main", { kind: "film", source, plate }],
});

it("answers with the picture, whose buffer is handed over, and without one where there is none", () => {
  tell(ART);
  tell(setPlate());
  expect(postMessage).not.toHaveBeenCalled();
  tell(film("a"));
  const [answer, { transfer }] = postMessage.mock.lastCall!;
  expect(answer).toMatchObject({ id: 5, rgba: Uint8ClampedArray.of(0, 0, 0, 9, 0, 0, 0, 200) });
  expect(transfer).toEqual([answer.rgba.buffer]);
  tell(film("a", "before"));
  expect(postMessage.mock.lastCall).toEqual([{ id: 5 }, { transfer: [] }]);
});

it("hands over the counts of differences too", () => {
  tell(ART);
  const conditions = { garment: { L: 10, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 };
  tell({
    call: "render",
    id: 6,
    args: ["main", { kind: "difference", source: "now", end: 12, conditions, stations: [] }],
  });
  const [answer, { transfer }] = postMessage.mock.lastCall!;
  expect(transfer).toEqual([answer.rgba.buffer, answer.tally.counts.buffer]);
});

it("lists combinations a second after the last plate of what is shown came, and not for anything else", () => {
  const prepare = vi.spyOn(Band.prototype, "prepare");
  try {
    tell(ART);
    tell({ call: "setPlate", args: ["before", "a", Uint8Array.of(1, 1)] });
    tell({ call: "drop", args: ["before"] });
    vi.advanceTimersByTime(5000);
    prepare.mockClear();
    tell(ART);
    vi.advanceTimersByTime(5000);
    expect(prepare).not.toHaveBeenCalled();
    tell(setPlate());
    vi.advanceTimersByTime(999);
    tell(setPlate());
    vi.advanceTimersByTime(999);
    expect(prepare).not.toHaveBeenCalled();
    vi.advanceTimersByTime(1);
    expect(prepare.mock.calls).toEqual([["now"]]);
  } finally {
    prepare.mockRestore();
  }
});
