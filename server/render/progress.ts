/**
 * Called between pieces of long work with the share done, 0–1. A host shows progress, lets other work run, or
 * throws to cancel.
 */
export type OnProgress = (done: number) => void | Promise<void>;

/** Runs straight through. */
export const ignoreProgress: OnProgress = () => {};
