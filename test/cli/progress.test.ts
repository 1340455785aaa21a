import { describe, expect, it } from "vitest";
import { startProgress } from "../../server/cli/progress.ts";

const ERASE = "\r\x1b[K";

/** A console whose stderr is remembered, and a clock that is turned by hand. */
function fake(err: { isTTY?: boolean; columns?: number }) {
  const writes: string[] = [];
  const clock = { ms: 0 };
  const progress = startProgress(
    {
      out: { write: () => true, command: () => true },
      err: { ...err, write: () => true, draw: (text: string) => writes.push(text) },
    },
    () => clock.ms,
  );
  return { writes, clock, progress };
}

async function runThrough({ clock, progress }: ReturnType<typeof fake>, ms: number): Promise<void> {
  const first = progress.part("plates", 0, 0.5);
  const second = progress.part("proof", 0.5, 1);
  for (let i = 0; i <= 20; i++) {
    clock.ms = (ms * i) / 20;
    await (i < 10 ? first(i / 10) : second((i - 10) / 10));
  }
}

describe("the progress bar", () => {
  it("is not drawn where stderr is no terminal", async () => {
    const run = fake({});
    await runThrough(run, 60_000);
    run.progress.end();
    expect(run.writes).toEqual([]);
  });

  it("is not drawn for work under half a second, and leaves no trace", async () => {
    const run = fake({ isTTY: true, columns: 80 });
    await runThrough(run, 499);
    run.progress.end();
    expect(run.writes).toEqual([]);
  });

  it("shows what is done of the whole, and at what", async () => {
    const run = fake({ isTTY: true, columns: 80 });
    await runThrough(run, 20_000);
    expect(run.writes[0]).toBe(`${ERASE}${"█"}${"░".repeat(27)}   5 % plates`);
    expect(run.writes).toContain(`${ERASE}${"█".repeat(14)}${"░".repeat(14)}  50 % proof`);
    expect(run.writes.at(-1)).toBe(`${ERASE}${"█".repeat(28)} 100 % proof`);
  });

  it("is erased at the end", async () => {
    const run = fake({ isTTY: true, columns: 80 });
    await runThrough(run, 20_000);
    run.progress.end();
    expect(run.writes.at(-1)).toBe(ERASE);
  });

  it("is not redrawn more often than the eye sees", async () => {
    const run = fake({ isTTY: true, columns: 80 });
    const onProgress = run.progress.part("plates", 0, 1);
    for (run.clock.ms = 0; run.clock.ms < 2000; run.clock.ms++) await onProgress(run.clock.ms / 2000);
    expect(run.writes.length).toBeGreaterThan(10);
    expect(run.writes.length).toBeLessThanOrEqual(19);
  });

  it.each([1, 2, 10, 28, 29, 33, 40, 41, 80, 200])(
    "stays within a terminal of %i columns",
    async (columns) => {
      const run = fake({ isTTY: true, columns });
      await runThrough(run, 20_000);
      for (const line of run.writes) expect(line.replace(ERASE, "").length).toBeLessThan(columns);
    },
  );

  it("takes a terminal that does not know its width for one of the usual", async () => {
    for (const columns of [undefined, 0]) {
      const run = fake({ isTTY: true, ...(columns === undefined ? {} : { columns }) });
      await runThrough(run, 20_000);
      expect(run.writes.at(-1)).toBe(`${ERASE}${"█".repeat(28)} 100 % proof`);
    }
  });

  it("lets signals through: long work gives way to others now and then", async () => {
    const run = fake({});
    const onProgress = run.progress.part("plates", 0, 1);
    let others = 0;
    const timer = setImmediate(function again() {
      others++;
      setImmediate(again).unref();
    });
    for (run.clock.ms = 0; run.clock.ms < 1000; run.clock.ms += 10) await onProgress(0);
    clearImmediate(timer);
    expect(others).toBeGreaterThanOrEqual(10);
  });
});
