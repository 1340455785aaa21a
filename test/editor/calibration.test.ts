import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { sampleOf } from "../../server/engine/target/samples.ts";
import { put } from "../cli/program.ts";
import { eventually } from "./editor-window.ts";
import { job } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();

/** Readings of a print whose dots grow: half of the ink on film prints as three quarters. */
function filledIn(readings: string): string {
  return readings
    .split("\n")
    .map((row) => {
      const sample = sampleOf(/"([^"]+)"/.exec(row)?.[1] ?? "");
      if (!sample) return row;
      const start = row.slice(0, row.indexOf('"', row.indexOf('"') + 1) + 1);
      if (sample.kind !== "patch") return `${start}\t-\t-\t-\t${sample.kind === "register" ? 0.1 : 0.2}`;
      const film = sample.tone / 100;
      const printed = sample.over === "black card" ? 1 : film + film * (1 - film);
      // Murray–Davies: lightness that is even in luminance.
      const L = 116 * Math.cbrt(0.9 - 0.75 * printed) - 16 - (sample.over === "black card" ? 3 : 0);
      return `${start}\t${L.toFixed(2)}\t0\t0\t-`;
    })
    .join("\n");
}

it("saves a target sheet's films and takes what was read of its print into the shop file, once it was seen", async () => {
  const window = await workbench.open(await job());
  mkdirSync(join(window.folder, "sheet"));
  await window.openFile("small.shop.yaml");
  await window.run("Platewright: Save Target Sheet…");
  for (const ink of ["ember", "sea"]) await window.entry(ink).click();
  await window.page.getByRole("button", { name: "OK", exact: true }).click();
  await window.entry("No underbase").click();
  await window.answerPath(`${join(window.folder, "sheet")}/`);
  await eventually(() => existsSync(join(window.folder, "sheet/target-readings.txt")));
  await window.page.getByText("target sheet of 2 inks").first().waitFor();
  await window.picture("target-sheet");
  expect(existsSync(join(window.folder, "sheet/target.pdf"))).toBe(true);

  put(window.folder, "sheet/target-readings.txt", filledIn(window.onDisk("sheet/target-readings.txt")));
  const before = window.onDisk("small.shop.yaml");
  await window.focusText();
  await window.run("Platewright: Calibrate from Readings…");
  await window.answerPath(join(window.folder, "sheet/target-readings.txt"));
  const write = window.page.getByRole("button", { name: "Write to Shop File", exact: true });
  await write.waitFor();
  await eventually(async () => (await window.lines()).join("\n").includes("inks.ember.gain: none"));
  await window.picture("calibration");
  expect(window.onDisk("small.shop.yaml")).toBe(before);

  await write.click();
  await eventually(() => window.onDisk("small.shop.yaml") !== before);
  const after = window.onDisk("small.shop.yaml");
  expect(after).toMatch(
    /ember: \{.*\[50, 7[45](?:\.\d)?\].*measured: \{ date: "[\d-]+", from: target-readings\.txt/,
  );
  expect(after).toMatch(/sea: \{.*\[50, 7[45](?:\.\d)?\]/);
  expect(after).toContain("misregistration: 0.141 mm");
  expect(after).toContain("smallest-line: 0.2 mm");
});
