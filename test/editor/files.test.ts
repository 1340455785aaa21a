import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { eventually } from "./editor-window.ts";
import { commitAll, job, PLATE_EMBER } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();
const there = (file: string) => eventually(() => existsSync(file));

it("saves films from the panel's menu, plates and a ticket from the text's, and opens what it wrote", async () => {
  const window = await workbench.open({ ...(await job()), "films/.keep": "" });
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Proof");
  const proof = await window.proof();
  await proof.getByRole("button", { name: "Output", exact: true }).click();
  await proof.getByRole("menuitem", { name: "Films…" }).click();
  await window.entry("TIFF").click();
  await window.answerPath(join(window.folder, "films/"));
  const reveal = window.page.getByRole("button", { name: "Reveal", exact: true });
  await reveal.click();
  await window.explorerEntry("films").and(window.page.locator(".selected, .focused")).first().waitFor();
  // The ledger lies there, and is nothing to look at.
  expect(existsSync(join(window.folder, "films", ".platewright-made.json"))).toBe(true);
  expect(await window.explorerEntry(".platewright-made.json").count()).toBe(0);
  const films = readdirSync(join(window.folder, "films")).filter((name) => name.endsWith(".tif"));
  expect(films).toHaveLength(3);
  // Little or big endian, then 42.
  for (const name of films)
    expect(
      readFileSync(join(window.folder, "films", name))
        .subarray(0, 4)
        .toString("latin1"),
    ).toMatch(/^(?:II\*\0|MM\0\*)$/);

  await window.focusText();
  await window.page.locator(".editor-actions .action-label[aria-label='Output']").first().click();
  await window.page.locator(".monaco-menu .action-item", { hasText: "Save Job Ticket…" }).click();
  const file = join(window.folder, "ticket.html");
  await window.answerPath(file);
  await there(file);
  expect(readFileSync(file, "utf8")).toMatch(/Two halves[\s\S]*ember/);
  await window.page.getByRole("button", { name: "Open", exact: true }).click();
  await window.tab("ticket.html").waitFor();
  await window.picture("output");
});

it("writes files to hand on: a TIFF of all inks, a PDF of spot colours, a page of what changed since the commit", async () => {
  const window = await workbench.open({ ...(await job()), "out/.keep": "" });
  commitAll(window.folder);
  await window.openFile("job.sep.yaml");
  await window.goTo(PLATE_EMBER, "  ember: { ink: ".length + 1);
  await window.typeOverWord("sea");
  await window.run("Platewright: Open Proof");
  const proof = await window.proof();
  /** Chooses from the panel's menu and answers with a place; what was written is there in the end. */
  const handOn = async (label: string, answer: string, written: string) => {
    await proof.getByRole("button", { name: "Output", exact: true }).click();
    await proof.getByRole("menuitem", { name: label }).click();
    await window.answerPath(join(window.folder, answer));
    await there(join(window.folder, written));
    return readFileSync(join(window.folder, written));
  };
  const tiff = await handOn("TIFF of inks…", "out/", "out/job-dark.tif");
  expect(tiff.toString("latin1")).toMatch(/^(?:II\*\0|MM\0\*)[\s\S]*ember\0/);
  const pdf = await handOn("Composite PDF…", "out/black.pdf", "out/black.pdf");
  expect(pdf.toString("latin1")).toMatch(/^%PDF-[\s\S]*\/Separation \/ember/);
  const page = await handOn("Page for review…", "out/review.html", "out/review.html");
  expect(page.toString("utf8")).toMatch(/ember[\s\S]*ink[\s\S]*sea/);
});

it("saves the proof from the panel at print size", async () => {
  const window = await workbench.open(await job());
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Proof");
  await window.proof();
  await window.tab("Proof job").click();
  await window.run("Platewright: Save Proof…");
  const file = join(window.folder, "proof.png");
  await window.answerPath(file);
  await there(file);
  expect(readFileSync(file).subarray(1, 4).toString("latin1")).toBe("PNG");
});

it("proposes a recipe from a picture in the explorer", async () => {
  const window = await workbench.open({ "art.png": (await job())["art.png"]! });
  await window.chooseInExplorer("art.png", "New Recipe from Artwork…", window.entry("Black"));
  await window.input.press("Enter");
  const width = window.page.locator('.quick-input-widget:not(.hidden) input[placeholder="10 in"]');
  await width.waitFor();
  await width.fill("4 in");
  await window.page.getByText("4 in is 120 ppi of this picture; under 150 edges are soft.").waitFor();
  await window.picture("width");
  await width.fill("2 in");
  await window.page.getByText("2 in is 240 ppi of this picture.").waitFor();
  await width.press("Enter");
  await there(join(window.folder, "art.sep.yaml"));
  expect(window.onDisk("art.sep.yaml")).toContain("file: art.png");
  expect(window.onDisk("art.sep.yaml")).toContain("width: 2 in");
  await window.tab("art.sep.yaml").waitFor();
  await window.proof();
});
