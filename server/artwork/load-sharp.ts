import { createRequire } from "node:module";
import type Sharp from "sharp";

let loaded: typeof Sharp | undefined;

/**
 * sharp, loaded at the first call: most runs never touch a picture. By `require`, since the module form of sharp
 * 0.35 uses import attributes, which Node knows only from 20.10 on.
 *
 * Its WebAssembly build tidies up when the process exits, and waits for its threads, which may be waiting for it: a
 * process that ends over a picture would hang for ever. What it tidies ends with the process anyway.
 */
export function loadSharp(): typeof Sharp {
  loaded ??= withoutExitListeners<typeof Sharp>(() => createRequire(import.meta.url)("sharp"));
  return loaded;
}

/** Does something, and takes off what it put up for the process's exit. */
export function withoutExitListeners<T>(load: () => T): T {
  const before = new Set(process.listeners("exit"));
  const made = load();
  for (const listener of process.listeners("exit")) if (!before.has(listener)) process.off("exit", listener);
  return made;
}
