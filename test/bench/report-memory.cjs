// Preloaded into the measured program: leaves its peak resident memory, in bytes, in a file.
const { readFileSync, writeFileSync } = require("node:fs");

process.on("exit", () => writeFileSync(process.env.BENCH_MEMORY_FILE, String(peak())));

function peak() {
  try {
    // Linux counts what the parent held when it started this process into maxRSS, but not into this.
    return Number(/VmHWM:\s+(\d+)/.exec(readFileSync("/proc/self/status", "utf8"))[1]) * 1024;
  } catch {
    // In kibibytes on every platform of Node's.
    return process.resourceUsage().maxRSS * 1024;
  }
}
