import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import sharp from "sharp";
import { CHROMIUM, launch } from "../client/panel/chromium.ts";
import { TestPanel } from "../client/panel/harness.ts";
import { figures, quantile, type Row } from "./measure.ts";
import { largeArtwork, recipeFor, work } from "./plates.ts";

const recipeOfOne = new URL("../../samples/night-garden/night-garden.sep.yaml", import.meta.url);
const root = fileURLToPath(new URL("../..", import.meta.url));
const WARM_UP = 20;
/** Milliseconds from a painted picture to the next edit: those of hurried typing, and of edits that come one upon the other. */
const TYPING = 80;
const RUSHED = 20;
const ROUNDS = 120;
const MANY = 1000;
const OPENED = 9;

/** From an edit of the text to the painted frame in Chromium, language server and all; 24 Mpx artwork, 10 plates. */
export async function panelRows(): Promise<Row[]> {
  if (!CHROMIUM) {
    console.log("  the panel is not measured: there is no Chromium (PLATEWRIGHT_CHROMIUM)\n");
    return [];
  }
  const recipe = recipeFor(await largeArtwork("drawn", 0));
  const browser = await launch();
  try {
    const [firsts, fulls]: [number[], number[]] = [[], []];
    for (let i = 0; i < OPENED; i++) {
      const { panel, first, full } = await open(browser, recipe);
      firsts.push(first);
      fulls.push(full);
      await panel.close();
    }
    const { panel } = await open(browser, recipe);
    const [plateEdits, inkEdits] = [editsOfPlates(panel.text), editsOfInks(panel.text)];
    const plates = await timed(panel, plateEdits, TYPING);
    const rushedPlates = await timed(panel, plateEdits, RUSHED);
    const inks = await timed(panel, inkEdits, TYPING);
    const rushedInks = await timed(panel, inkEdits, RUSHED);
    const growth = await grown(panel, editsOfPlates(panel.text));
    await panel.close();
    return [
      {
        what: "opening a panel on 24 Mpx artwork not read before → first picture (0.1 Mpx), page load included",
        measured: `${figures(firsts)}; the picture of 1 Mpx that follows: median ${quantile(fulls, 0.5).toFixed(0)} ms`,
        target: "≤ 1000 ms",
        met: quantile(firsts, 0.5) <= 1000,
      },
      row("edit of one plate → painted, 1 Mpx, 10 plates, each in turn", plates, rushedPlates, 60),
      row("edit of an ink's colour → painted", inks, rushedInks, 30),
      {
        what: `memory of page, server and measuring process, from edit ${MANY / 5} to edit ${MANY}`,
        measured: `${growth.before.toFixed(0)} MB → ${growth.after.toFixed(0)} MB`,
        target: "no growth beyond 5 %",
        met: growth.after <= growth.before * 1.05,
      },
    ];
  } finally {
    await browser.close();
  }
}

function row(what: string, times: readonly number[], rushed: readonly number[], target: number): Row {
  return {
    what,
    measured: `${figures(times)}; with ${RUSHED} ms between edits instead of ${TYPING}: ${figures(rushed)}`,
    target: `p95 ≤ ${target} ms`,
    met: quantile(times, 0.95) <= target,
  };
}

/** A new panel, and milliseconds from asking for the page to its first picture and to the one at preview size. */
async function open(
  browser: Browser,
  recipe: string,
): Promise<{ panel: TestPanel; first: number; full: number }> {
  const panel = await TestPanel.open(browser, {
    // The recipes lie in build/bench, and their shop file in samples.
    folder: root,
    file: recipe.slice(root.length),
    before: another,
  });
  const painted = async () => (await panel.nextPainted()) - panel.shownAt!;
  return { panel, first: await painted(), full: await painted() };
}

/** The editor has been running: the server has shown some other job before. */
async function another(client: TestPanel["client"]): Promise<void> {
  const file = `${work}/other.sep.yaml`;
  await sharp({ create: { width: 9, height: 9, channels: 3, background: "#d8431f" } })
    .png()
    .toFile(`${work}/other.png`);
  const text = readFileSync(recipeOfOne, "utf8").replace("night-garden.svg", "other.png");
  writeFileSync(file, text.replace("../workshop", "../../samples/workshop"));
  const uri = pathToFileURL(file).href;
  await client.request("platewright/preview", { uri, held: { plates: {} } });
}

/** One edit after the other, each until its picture is painted; the time of each in milliseconds. */
async function timed(
  panel: TestPanel,
  edits: Iterator<string>,
  pause: number,
  rounds = ROUNDS,
): Promise<number[]> {
  const times: number[] = [];
  for (let i = 0; i < WARM_UP + rounds; i++) {
    const text: string = edits.next().value;
    const painted = panel.nextPainted();
    const start = performance.now();
    await panel.type(text);
    const end = await painted;
    if (i >= WARM_UP) times.push(end - start);
    panel.forget();
    // The next edit comes at another place of the screen's 17 ms: else how long it waits for a frame would be an accident.
    await new Promise((resolve) => setTimeout(resolve, pause + ((i * 7) % 17)));
  }
  return times;
}

async function grown(panel: TestPanel, edits: Iterator<string>): Promise<{ before: number; after: number }> {
  await timed(panel, edits, RUSHED, MANY / 5 - WARM_UP);
  const before = await megabytes(panel);
  await timed(panel, edits, RUSHED, (MANY * 4) / 5 - WARM_UP);
  return { before, after: await megabytes(panel) };
}

/** Where a plate's range begins: the number that stands there, and how far it is moved. */
const BEGINNINGS: readonly (readonly [RegExp, number, number])[] = [
  [/(?<=hue: \[)[.\d]+(?=, 104])/, 68, 4],
  [/(?<=hue: \[)[.\d]+(?=, 55])/, 12, 4],
  [/(?<=hue: \[)[.\d]+(?=, 180])/, 115, 4],
  [/(?<=hue: \[)[.\d]+(?=, 285])/, 203, 4],
  [/(?<=hue: \[)[.\d]+(?=, 343])/, 302, 4],
  [/(?<=lightness: \[)[.\d]+(?=, 100])/, 97, -2],
  [/(?<=lightness: \[)[.\d]+(?=, 14])/, 0, 2],
  [/(?<=lightness: \[)[.\d]+(?=, 55])/, 44, 2],
  [/(?<=within: )[.\d]+/, 10, 2],
];

/** One plate after the other gets another range, there and back, and never one that it had before. */
function* editsOfPlates(text: string): Generator<string, never> {
  for (const [beginning] of BEGINNINGS) if (!beginning.test(text)) throw new Error(`no ${beginning} to edit`);
  let now = text;
  for (let i = 1; ; i++) {
    const [beginning, from, by] = BEGINNINGS[i % BEGINNINGS.length]!;
    const there = Math.floor(i / BEGINNINGS.length) % 2 === 0;
    now = now.replace(beginning, (from + (there ? by : 0) + i / 10_000).toFixed(4));
    yield now;
  }
}

function* editsOfInks(text: string): Generator<string, never> {
  for (let i = 1; ; i++) {
    const hex = ((i * 7919) % 0xffffff).toString(16).padStart(6, "0");
    yield text.replace("plates:\n", `inks: { ember: { colour: "#${hex}", opacity: 70% } }\nplates:\n`);
  }
}

/** Resident memory of all processes behind the panel, once garbage is collected. */
async function megabytes(panel: TestPanel): Promise<number> {
  const session = await panel.page.context().newCDPSession(panel.page);
  await session.send("HeapProfiler.collectGarbage");
  const browser = await panel.page.context().browser()!.newBrowserCDPSession();
  const { processInfo } = await browser.send("SystemInfo.getProcessInfo");
  const pages = processInfo.filter(({ type }) => type === "renderer").map(({ id }) => id);
  const server = panel.client.process.pid!;
  const children = readFileSync(`/proc/${server}/task/${server}/children`, "utf8")
    .trim()
    .split(" ")
    .map(Number);
  return [...pages, server, ...children].reduce((sum, pid) => sum + resident(pid), 0) / 1e6;
}

function resident(pid: number): number {
  const kilobytes = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1];
  return Number(kilobytes) * 1024;
}
