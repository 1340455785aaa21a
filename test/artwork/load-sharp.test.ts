import { afterEach, expect, it } from "vitest";
import { loadSharp, withoutExitListeners } from "../../server/artwork/load-sharp.ts";

const mine = () => {};
afterEach(() => void process.off("exit", mine));

it("leaves nothing behind for the process's exit, and what was there before stays", () => {
  process.on("exit", mine);
  const before = process.listeners("exit");
  const made = withoutExitListeners(() => {
    process.once("exit", () => {});
    process.on("exit", () => {});
    return "made";
  });
  expect(made).toBe("made");
  expect(process.listeners("exit")).toEqual(before);
});

it("loads sharp once", () => {
  expect(loadSharp()).toBe(loadSharp());
});
