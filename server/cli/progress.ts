import { setImmediate } from "node:timers/promises";
import { printable } from "../language/printable.ts";
import type { OnProgress } from "../render/progress.ts";
import type { Console } from "./command.ts";

/** Work shorter than this shows no bar. */
const PATIENCE_MS = 500;
/** Often enough to be seen moving, seldom enough to cost nothing. */
const REDRAW_MS = 80;
const WIDTH = 28;

export interface Progress {
  /** For one part of the work, from `from` to `to` of the whole. Lets signals through now and then. */
  part(label: string, from: number, to: number): OnProgress;
  /** Takes the bar away. */
  end(): void;
}

/** A bar on stderr for long work, where stderr is a terminal. `now` is in milliseconds and never goes back. */
export function startProgress({ err }: Console, now: () => number = () => performance.now()): Progress {
  const start = now();
  let drawn = 0;
  const draw = (label: string, done: number) => {
    const time = now();
    if (!err.isTTY || time - start < PATIENCE_MS || time - drawn < REDRAW_MS) return;
    drawn = time;
    const filled = Math.round(done * WIDTH);
    const bar = `${"█".repeat(filled)}${"░".repeat(WIDTH - filled)} ${String(Math.floor(done * 100)).padStart(3)} % ${printable(label)}`;
    err.draw(`\r\x1b[K${bar.slice(0, (err.columns || 80) - 1)}`);
  };
  let rested = start;
  return {
    part: (label, from, to) => async (done) => {
      draw(label, from + (to - from) * done);
      if (now() - rested < REDRAW_MS) return;
      rested = now();
      await setImmediate();
    },
    end: () => {
      if (drawn > 0) err.draw("\r\x1b[K");
    },
  };
}
