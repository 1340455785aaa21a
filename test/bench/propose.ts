import { existsSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { disk } from "../../server/jobs/disk.ts";
import { parseColour } from "../../server/language/values/colour.ts";
import { read } from "../../server/language/values/parsed.ts";
import { propose } from "../../server/propose/propose.ts";
import type { Row } from "./measure.ts";
import { PICTURES } from "./pictures.ts";

const GARMENTS = { black: "#17171a", white: "#f4f3ef", red: "#a01c24" } as const;
const PLATES = [4, 6, 8, 10];
/** What the design asks of eight plates and white on black. */
const GOAL = { mean: 2, p95: 6, seconds: 10 };

/** How near a proposal's proof comes to the artwork, by its own check at preview size, and what it costs. */
export async function proposeRows(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const [name, file] of PICTURES) {
    if (!existsSync(file)) {
      console.log(`  ${name}: ${file} is not installed; passed over`);
      continue;
    }
    for (const [garment, colour] of Object.entries(GARMENTS)) {
      const cells: string[] = [];
      let met = true;
      for (const plates of PLATES) {
        const start = performance.now();
        const made = await propose({
          artworkFile: file,
          recipeFile: join(fileURLToPath(new URL("../../build", import.meta.url)), "bench.sep.yaml"),
          shopFile: undefined,
          garments: [{ name: garment, colour, lab: read(parseColour(colour)).lab }],
          plates,
          style: undefined,
          widthMm: undefined,
          freeInks: false,
          files: disk,
          onProgress: () => {},
        });
        const seconds = (performance.now() - start) / 1000;
        const { mean, p95 } = made.proofs[0]!;
        cells.push(
          `${plates}: ${mean.toFixed(2)} (${p95.toFixed(1)}), ${made.screens} screens, ${seconds.toFixed(1)} s`,
        );
        if (garment === "black" && plates === 8)
          met = mean <= GOAL.mean && p95 <= GOAL.p95 && seconds <= GOAL.seconds;
      }
      rows.push({
        what: `proposal for ${name}, on ${garment}: ΔE00 mean (95 %) by plates at most, screens, time`,
        measured: cells.join("; "),
        target: garment === "black" ? "8 plates and white: 2.0 (6.0), 10 s" : "none",
        met,
      });
    }
  }
  return rows;
}
