import { bandRows, solvedPlateRows, solveRows } from "/work/trees/model/test/bench/solve.ts";

const w = process.argv[2];
const rows = w === "solve" ? await solveRows() : w === "bands" ? bandRows() : await solvedPlateRows();
for (const r of rows) console.log(r.met ? "  " : "✗ ", r.what, "\n     ", r.measured);
