import { setImmediate } from "node:timers/promises";
import { printable } from "../language/printable.ts";
import type { OnProgress } from "../render/progress.ts";
import type { Console } from "./command.ts";

/** Work shorter than this shows no bar. */
const PATIENCE_MS = 500;
/** Often enough to be seen moving, seldom enough to cost nothing. */
const REDRAW_MS = 80;
const WIDTH = 28;

/** What a program that runs this one is told: a share of the whole, and what is being made. */
export interface Told {
  readonly done: number;
  readonly label: string;
}

/** Says how far it is to who runs the program, where anybody listens; a line of the terminal's is for people alone. */
function tell(told: Told): void {
  if (process.connected) process.send?.(told);
}

export interface Progress {
  /** For one part of the work, from `from` to `to` of the whole. Lets signals through now and then. */
  part(label: string | ((done: number) => string), from: number, to: number): OnProgress;
  /** Takes the bar away. */
  end(): void;
}

/** "film 3 of 9", at a share of nine films. */
export function nth(what: string, count: number): (done: number) => string {
  return (done) => `${what} ${Math.min(count, Math.floor(done * count + 1e-6) + 1)} of ${count}`;
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
  let toldAt = Number.NEGATIVE_INFINITY;
  return {
    part: (label, from, to) => async (done) => {
      const said = typeof label === "string" ? label : label(done);
      const share = from + (to - from) * done;
      draw(said, share);
      if (now() - toldAt >= REDRAW_MS) {
        toldAt = now();
        tell({ done: share, label: said });
      }
      if (now() - rested < REDRAW_MS) return;
      rested = now();
      await setImmediate();
    },
    end: () => {
      if (drawn > 0) err.draw("\r\x1b[K");
    },
  };
}
