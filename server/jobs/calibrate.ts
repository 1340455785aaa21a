import type { Lab } from "../engine/colour/cielab.ts";
import {
  type Contradiction,
  type PressFigures,
  pressFigures,
  type RampFigures,
  type Reading,
} from "../engine/target/figures.ts";
import { type Scan, ScanError } from "../engine/target/place-sheet.ts";
import { type Sample, sampleName } from "../engine/target/samples.ts";
import { readScan } from "../engine/target/scan.ts";
import { type Sheet, sheetSamples } from "../engine/target/sheet.ts";
import { flowText } from "../language/flow-text.ts";
import type * as Formats from "../language/generated/formats.ts";
import { type CgatsProblem, parseCgats } from "../language/readings/cgats.ts";
import { isXml, parseCxf } from "../language/readings/cxf.ts";
import { targetReadings } from "../language/readings/target-readings.ts";
import { shopScreening } from "../language/resolve-shop.ts";
import { screenName } from "../language/screen-name.ts";
import { aliasOn, type ValueChange, valueAt, withChanges } from "../language/shop-change.ts";
import { usualMesh } from "./target.ts";

/** A shop file and the readings of its target sheet. */
export interface CalibrationRequest {
  readonly text: string;
  readonly shop: Formats.Shop;
  /** Name and text of each file of readings. */
  readonly files: readonly { readonly name: string; readonly text: string }[];
  /** Scans of the sheet: colours of patches that no file of readings has. */
  readonly scans?: readonly { readonly name: string; readonly scan: Scan }[];
  /** The sheet that was scanned. */
  readonly sheet?: Sheet;
  /** Day of the print, as year, month and day. */
  readonly date: string;
  /** The mesh that it was printed with, by name; undefined for the usual ones. */
  readonly mesh: string | undefined;
  /** The sheet's underbase, printed through the underbases' mesh; undefined for what the readings' names tell. */
  readonly base?: string | undefined;
}

/** What readings change in a shop file. */
export interface Calibration {
  readonly figures: PressFigures;
  readonly changes: readonly ShopChange[];
  /** The shop file's new text. */
  readonly text: string;
  /** What was read but has no place in the shop file, in sentences. */
  readonly notes: readonly string[];
}

/** A change with the sentence that says it. */
export interface ShopChange extends ValueChange {
  readonly was: unknown;
  readonly said: string;
}

/** A readings file's problem, or readings that contradict each other. */
export interface ReadingProblem extends Contradiction {
  readonly file: string;
  readonly level: CgatsProblem["level"];
}

/** Works the figures out and what they change; nothing is written. Errors leave no calibration. */
export function calibrate(request: CalibrationRequest): {
  readonly calibration: Calibration | undefined;
  readonly problems: readonly ReadingProblem[];
} {
  const { shop, files } = request;
  const problems: ReadingProblem[] = [];
  const meant = shop.screening?.["tone-value"] ?? "murray-davies";
  let readings: readonly Reading[] = files.flatMap(({ name, text }) => {
    const read = targetReadings(isXml(text) ? parseCxf(text) : parseCgats(text));
    problems.push(...read.problems.map(({ level, line, message }) => ({ file: name, level, line, message })));
    return read.readings.map((reading) => ({ ...reading, file: name }));
  });
  const notes: string[] = [];
  if (!problems.some(({ level }) => level === "error"))
    readings = withScans(request, readings, notes, problems);
  const { figures, contradictions } = pressFigures(readings, meant);
  const [first] = files;
  problems.push(...contradictions.map((c) => ({ ...c, file: c.file ?? "", level: "error" as const })));
  if (problems.some(({ level }) => level === "error")) return { calibration: undefined, problems };
  const changes = changesOf(request, figures, request.base ?? baseOf(readings), notes);
  const aliased = changes.map(({ path }) => aliasOn(request.text, path)).find((path) => path !== undefined);
  if (aliased) {
    const message = `${aliased.join(".")} of the shop file is an alias for something written elsewhere; write it out first`;
    return {
      calibration: undefined,
      problems: [{ file: first?.name ?? "", line: 1, level: "error", message }],
    };
  }
  const text = changes.length === 0 ? request.text : withChanges(request.text, changes);
  return { calibration: { figures, changes, text, notes }, problems };
}

/**
 * The files' readings and those out of the scans, whose colours are fitted to them. What the files have takes precedence;
 * but a ramp of which they have a part is the scan's as a whole, since its tones are measured against its own ends.
 */
function withScans(
  { scans = [], sheet }: CalibrationRequest,
  readings: readonly Reading[],
  notes: string[],
  problems: ReadingProblem[],
): readonly Reading[] {
  if (!sheet || scans.length === 0) return readings;
  const known = new Map<string, Lab>();
  for (const { sample, colour } of readings) if (colour) known.set(sampleName(sample), colour);
  const given = new Set(readings.map(({ sample }) => sampleName(sample)));
  const all = sheetSamples(sheet);
  const open = new Set(all.flatMap(({ name, sample }) => (given.has(name) ? [] : [rampOf(sample)])));
  const isScans = ({ sample }: Reading) => {
    const ramp = rampOf(sample);
    return ramp === undefined ? !given.has(sampleName(sample)) : open.has(ramp);
  };
  const scanned = scans.flatMap(({ name, scan }) => {
    try {
      const { readings: read, unread, residual } = readScan(scan, sheet, known);
      const { mean, most, patches } = residual;
      const coloured = read.filter(({ colour }) => colour).length;
      const lengths = read.length - coloured;
      notes.push(
        `${name}: ${coloured} patches${lengths > 0 ? ` and ${lengths} of lines, gaps and register` : ""} read; fitted to ${patches} patches read by instrument, ΔE00 ${mean.toFixed(2)} off on average, ${most.toFixed(2)} at most`,
        ...unread.map((sentence) => `${name}: ${sentence}`),
      );
      return read.filter(isScans).map((one) => ({ ...one, file: name }));
    } catch (error) {
      if (!(error instanceof ScanError)) throw error;
      problems.push({ file: name, level: "error", line: 1, message: error.message });
      return [];
    }
  });
  const names = new Set(scanned.map(({ sample }) => sampleName(sample)));
  return [...readings.filter(({ sample }) => !names.has(sampleName(sample))), ...scanned];
}

/** The one ink that is not read over the underbase, where all others are. */
function baseOf(readings: readonly Reading[]): string | undefined {
  const patches = readings.flatMap(({ sample }) => (sample.kind === "patch" ? [sample] : []));
  const upon = new Set(patches.filter(({ over }) => over === "base").map(({ ink }) => ink));
  const others = [...new Set(patches.map(({ ink }) => ink))].filter((ink) => !upon.has(ink));
  return upon.size > 0 && others.length === 1 ? others[0] : undefined;
}

/** The ramp that a sample is a step of. */
function rampOf(sample: Sample): string | undefined {
  return sample.kind === "patch" && sample.screen !== undefined
    ? `${sample.ink} ${sample.screen}`
    : undefined;
}

function changesOf(
  { shop, date, files, scans = [], mesh: named }: CalibrationRequest,
  figures: PressFigures,
  base: string | undefined,
  notes: string[],
): ShopChange[] {
  const changes: ShopChange[] = [];
  const own = screenName(shopScreening(shop));
  const from = [...files, ...scans].map(({ name }) => name).join(", ");
  const change = (path: ValueChange["path"], value: unknown, why = "") => {
    const was = valueAt(shop, path);
    if (value === undefined ? was === undefined : was !== undefined && flowText(was) === flowText(value))
      return;
    const say = (v: unknown) => (v === undefined ? "none" : flowText(v));
    const said =
      value === undefined
        ? `${path.join(".")}: ${say(was)} → none`
        : `${path.join(".")}: ${say(was)} → ${say(value)}`;
    changes.push({ path, value, was, said: said + (why && ` (${why})`) });
  };
  const dots: number[] = [];
  for (const [ink, { over, ramps, faint, line, gap }] of figures.inks) {
    if (!shop.inks?.[ink]) {
      notes.push(`${ink}: the shop file has no such ink, so its readings are left out`);
      continue;
    }
    const before = changes.length;
    const [light, dark] = [over.get("white card"), over.get("black card")];
    if (light && dark) {
      const spreads = [light.spread, dark.spread].filter((spread) => spread !== undefined);
      const spread = spreads.length > 0 ? Math.max(...spreads) : undefined;
      const why = spreadOf(spread, (v) => `ΔE00 ${v.toFixed(2)}`, light.readings + dark.readings);
      for (const key of ["colour", "opacity", "readings"]) change(["inks", ink, key], undefined);
      change(["inks", ink, "over-white"], labText(light.value), why);
      change(["inks", ink, "over-black"], labText(dark.value), why);
    } else if (light || dark) {
      notes.push(
        `${ink}: read over ${light ? "white" : "black"} alone, so its colour and opacity stay as they were; read both`,
      );
    }
    const ramp = ramps.get(own) ?? ramps.get("tints");
    if (ramp) {
      if (ramp.smallestDot !== undefined) dots.push(ramp.smallestDot);
      const why = spreadOf(ramp.gain.spread, percentText, ramp.gain.readings);
      change(["inks", ink, "wedge"], undefined);
      change(["inks", ink, "gain"], percentPairs(ramp), why);
    }
    for (const [screen, other] of ramps) notes.push(`${ink} at ${screen}: ${rampSentence(other)}`);
    if (faint !== undefined)
      notes.push(
        `${ink}: its solid is only ΔE00 ${tenth(faint)} from the garment, too close to measure its dot gain; print the sheet on another garment`,
      );
    if (line)
      notes.push(`${ink}: narrowest line ${mm(line.value)}, ${spreadOf(line.spread, mm, line.readings)}`);
    if (gap) notes.push(`${ink}: narrowest gap ${mm(gap.value)}, ${spreadOf(gap.spread, mm, gap.readings)}`);
    if (changes.length > before || ramp || (light && dark)) {
      const screen = ramps.has(own) ? own : undefined;
      const usual = usualMesh(shop, ink === base);
      const mesh = named ?? (usual !== undefined && shop.meshes?.[usual] ? usual : undefined);
      change(["inks", ink, "measured"], { date, from, ...(mesh && { mesh }), ...(screen && { screen }) });
    }
  }
  if (dots.length > 0) {
    const dot = Math.max(...dots);
    change(
      ["screening", "smallest-dot"],
      `${Number((dot * 100).toFixed(1))}%`,
      `the smallest that every ink read at ${own} held`,
    );
  }
  for (const kind of ["line", "gap"] as const) {
    const read = [...figures.inks].flatMap(([ink, of]) =>
      shop.inks?.[ink] && of[kind] ? [of[kind].value] : [],
    );
    if (read.length > 0)
      change(["screening", `smallest-${kind}`], mm(Math.max(...read)), "the narrowest that every ink held");
  }
  if (figures.n !== undefined)
    notes.push(`yule-nielsen: ${figures.n} fits the ramps best; write it in the setups of your recipes`);
  const { misregistration } = figures;
  if (misregistration) {
    const { value, spread, readings } = misregistration;
    if (shop.press) change(["press", "misregistration"], mm(value), spreadOf(spread, mm, readings));
    else notes.push(`misregistration ${mm(value)}: the shop file has no press to write it to`);
  }
  return changes;
}

/** A table of at most 64 pairs in percent, to a tenth. */
function percentPairs({ gain }: RampFigures): [number, number][] {
  const rounded = gain.value.map(
    ([film, printed]) => [tenth(film * 100), tenth(printed * 100)] as [number, number],
  );
  // Rounded they may stand still; a table rises.
  return rounded.filter(
    ([film, printed], i) =>
      i === 0 ||
      i === rounded.length - 1 ||
      (printed > rounded[i - 1]![1] && film > rounded[i - 1]![0] && printed < 100),
  );
}

function rampSentence({ gain, smallestDot, largestOpen }: RampFigures): string {
  const at = gain.value.find(([film]) => Math.abs(film - 0.5) < 1e-9);
  const half = at ? `50 % prints ${tenth(at[1] * 100)} %, ` : "";
  const dots = smallestDot === undefined ? "" : `dots hold from ${tenth(smallestDot * 100)} %, `;
  const holes = largestOpen === undefined ? "" : `holes stay open up to ${tenth(largestOpen * 100)} %, `;
  return half + dots + holes + spreadOf(gain.spread, percentText, gain.readings);
}

/** `spread 0.4 %, 54 readings`, or that no patch was read twice. */
function spreadOf(spread: number | undefined, say: (value: number) => string, readings: number): string {
  return spread === undefined
    ? `${readings} readings; no patch was read twice, so the spread is not known`
    : `spread ${say(spread)}, ${readings} readings`;
}

function percentText(tone: number): string {
  return `${(tone * 100).toFixed(1)} %`;
}

function labText({ L, a, b }: Lab): string {
  const figure = (v: number) => String(Number(v.toFixed(2)));
  return `lab(${figure(L)} ${figure(a)} ${figure(b)})`;
}

function mm(value: number): string {
  return `${Number(value.toFixed(3))} mm`;
}

function tenth(value: number): number {
  return Number(value.toFixed(1));
}
