// Preloaded into the measured program: leaves its peak resident memory, in bytes, in a file.
const { writeFileSync } = require("node:fs");

process.on("exit", () => {
  // maxRSS is in kibibytes on every platform of Node's.
  writeFileSync(process.env.BENCH_MEMORY_FILE, String(process.resourceUsage().maxRSS * 1024));
});
