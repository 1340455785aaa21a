import { expect, it } from "vitest";
import { keyOf, StageCache } from "../../server/render/stage-cache.ts";

it("makes a result once", async () => {
  const cache = new StageCache(100);
  let made = 0;
  const ask = () =>
    cache.of(
      "a",
      () => ++made,
      () => 1,
    );
  expect([await ask(), await ask(), made]).toEqual([1, 1, 1]);
});

it("lets go of what was not used for longest, and holds no more than its limit", () => {
  const cache = new StageCache(10);
  cache.put("a", "A", 4);
  cache.put("b", "B", 4);
  cache.get("a");
  cache.put("c", "C", 4);
  expect(["a", "b", "c"].map((key) => cache.get(key))).toEqual(["A", undefined, "C"]);
  expect(cache.bytes).toBe(8);
});

it("holds as much as its limit, to the last byte", () => {
  const cache = new StageCache(8);
  cache.put("a", "A", 4);
  cache.put("b", "B", 4);
  expect([cache.get("a"), cache.get("b"), cache.bytes]).toEqual(["A", "B", 8]);
});

it("holds one result that is larger than its limit, alone", () => {
  const cache = new StageCache(10);
  cache.put("a", "A", 4);
  cache.put("b", "B", 40);
  expect([cache.get("a"), cache.get("b"), cache.bytes]).toEqual([undefined, "B", 40]);
});

it("counts a result that is put again once", () => {
  const cache = new StageCache(10);
  cache.put("a", "A", 4);
  cache.put("a", "B", 6);
  expect([cache.get("a"), cache.bytes]).toEqual(["B", 6]);
});

it("keys tell apart where one part ends and the next begins", () => {
  expect(keyOf("a", "bc")).not.toBe(keyOf("ab", "c"));
  expect(keyOf("a", 0.1)).not.toBe(keyOf("a", 0.1000000001));
});

it("makes a result once for all who ask at the same time", async () => {
  const cache = new StageCache(100);
  let made = 0;
  const ask = () =>
    cache.of(
      "a",
      async () => {
        await new Promise((resolve) => setTimeout(resolve, 5));
        return ++made;
      },
      () => 1,
    );
  expect(await Promise.all([ask(), ask(), ask()])).toEqual([1, 1, 1]);
});

it("makes a result for the next who asked where the first was stopped", async () => {
  const cache = new StageCache(100);
  const stopped = cache.of(
    "a",
    () => Promise.reject(new Error("stopped")),
    () => 1,
  );
  const second = cache.of(
    "a",
    () => "made",
    () => 1,
  );
  await expect(stopped).rejects.toThrow("stopped");
  expect(await second).toBe("made");
});

it("lets who asked stop waiting, and makes the result all the same", async () => {
  const cache = new StageCache(100);
  let made = 0;
  let finish = () => {};
  const ask = (signal?: AbortSignal) =>
    cache.of(
      "a",
      async () => {
        await new Promise<void>((resolve) => {
          finish = resolve;
        });
        return ++made;
      },
      () => 1,
      signal,
    );
  const stopped = new Error("stopped");
  await expect(ask(AbortSignal.abort(stopped))).rejects.toBe(stopped);
  const [first, second] = [new AbortController(), new AbortController()];
  const waiting = [ask(first.signal), ask(second.signal), ask()];
  first.abort(stopped);
  second.abort(stopped);
  await expect(waiting[0]).rejects.toBe(stopped);
  await expect(waiting[1]).rejects.toBe(stopped);
  finish();
  expect([await waiting[2], await ask(), made]).toEqual([1, 1, 1]);
});

it("says nothing more of a result that failed after everybody had stopped waiting", async () => {
  const cache = new StageCache(100);
  const asked = new AbortController();
  const waiting = cache.of(
    "a",
    async () => {
      await new Promise((resolve) => setTimeout(resolve, 5));
      throw new Error("a fault");
    },
    () => 1,
    asked.signal,
  );
  asked.abort(new Error("stopped"));
  await expect(waiting).rejects.toThrow("stopped");
  await new Promise((resolve) => setTimeout(resolve, 20));
  expect(
    await cache.of(
      "a",
      () => "made",
      () => 1,
    ),
  ).toBe("made");
});
