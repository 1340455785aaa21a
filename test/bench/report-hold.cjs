// Preloaded into the language server: how long each turn of its event loop takes, in a file when it ends; SIGUSR2 forgets
// the turns so far.
const { writeFileSync } = require("node:fs");
const { monitorEventLoopDelay } = require("node:perf_hooks");

const RESOLUTION = 1;
const delays = monitorEventLoopDelay({ resolution: RESOLUTION });
delays.enable();
process.on("SIGUSR2", () => delays.reset());
process.on("exit", () => {
  const ms = (nanoseconds) => Math.max(0, nanoseconds / 1e6 - RESOLUTION);
  writeFileSync(
    process.env.BENCH_HOLD_FILE,
    JSON.stringify({ longest: ms(delays.max), p99: ms(delays.percentile(99)) }),
  );
});
