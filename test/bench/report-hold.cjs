// Preloaded into the language server: how long each turn of its event loop takes, in a file when it ends; SIGUSR2 forgets
// the turns so far. A turn takes what passed on the clock, but no more than the process worked meanwhile: where another
// program has the core, that is the machine's business.
const { writeFileSync } = require("node:fs");

let turns = [];
let clock = performance.now();
let worked = process.cpuUsage();
setInterval(() => {
  const now = performance.now();
  const { user, system } = process.cpuUsage(worked);
  turns.push(Math.min(now - clock, (user + system) / 1000));
  clock = now;
  worked = process.cpuUsage();
}, 1).unref();
process.on("SIGUSR2", () => {
  turns = [];
});
process.on("exit", () => {
  turns.sort((a, b) => a - b);
  const [longest, p99] = [turns.at(-1), turns[Math.floor(turns.length * 0.99)]];
  writeFileSync(process.env.BENCH_HOLD_FILE, JSON.stringify({ longest, p99 }));
});
