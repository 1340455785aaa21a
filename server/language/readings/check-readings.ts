import type { Lab } from "../../engine/colour/cielab.ts";
import { rangeAt, type SourceDocument } from "../document.ts";
import type { Finding, Level, Path } from "../finding.ts";
import { blocksOf, fieldsOf } from "../partial-data.ts";
import { parseColour } from "../values/colour.ts";
import type { CgatsProblem } from "./cgats.ts";
import { cardProblem, overBlackProblem } from "./contradictions.ts";
import { checkedSteps, tableProblem } from "./gain.ts";
import { type ReadingFiles, type ReadingPlace, readingKey, readingPlaces } from "./reading-files.ts";
import { sampleColour, sampleLine, wedgeSteps } from "./samples.ts";

/** What is wrong with the measurements that a document holds or names. Files that were not read are passed over. */
export function checkReadings(doc: SourceDocument, files: ReadingFiles): Finding[] {
  return [
    ...gainFindings(doc),
    ...contradictions(doc),
    ...readingPlaces(doc).flatMap((place) => placeFindings(doc, place, files)),
  ];
}

function gainFindings(doc: SourceDocument): Finding[] {
  const owners: [Path, Readonly<Record<string, unknown>>][] = [
    ...blocksOf(doc.value, "inks").map(([name, ink]): [Path, typeof ink] => [["inks", name], ink]),
    [["screening"], fieldsOf(fieldsOf(doc.value).screening)],
  ];
  return owners.flatMap(([path, { gain, wedge }]): Finding[] => {
    if (gain === undefined) return [];
    if (wedge !== undefined) {
      return [
        finding(
          doc,
          "gain-table",
          [...path, "wedge"],
          "gain and wedge both say how tones grow; keep one of them",
        ),
      ];
    }
    if (!isTable(gain)) return [];
    const problem = tableProblem(gain);
    return problem ? [finding(doc, "gain-table", [...path, "gain", problem.at], problem.message)] : [];
  });
}

/** Pairs of colours written in the document itself that cannot both be true. */
function contradictions(doc: SourceDocument): Finding[] {
  const said = (path: Path, problem: string | undefined) =>
    problem === undefined ? [] : [finding(doc, "reading", path, problem)];
  const inks = blocksOf(doc.value, "inks").flatMap(([name, ink]) => {
    const [light, dark] = [labOf(ink["over-white"]), labOf(ink["over-black"])];
    return light && dark ? said(["inks", name, "over-black"], overBlackProblem(light, dark)) : [];
  });
  const card = fieldsOf(fieldsOf(doc.value).card);
  const [white, black] = [labOf(card.white), labOf(card.black)];
  return [...inks, ...(white && black ? said(["card", "black"], cardProblem(white, black)) : [])];
}

function labOf(value: unknown): Lab | undefined {
  const colour = typeof value === "string" ? parseColour(value) : undefined;
  return colour?.ok ? colour.value.lab : undefined;
}

function placeFindings(doc: SourceDocument, place: ReadingPlace, files: ReadingFiles): Finding[] {
  const { path, kind, block, file } = place;
  const read = files.get(readingKey(doc, file));
  if (!read) return [];
  const at = [...path, "file"];
  if ("unreadable" in read)
    return [finding(doc, "missing-file", at, `the readings cannot be read: ${read.unreadable}`)];
  const { table } = read;
  const said = (problem: CgatsProblem, where: Path = at) =>
    finding(
      doc,
      "reading",
      where,
      `${file}:${problem.line}:${problem.column}: ${problem.message}`,
      problem.level,
    );
  const errors = table.problems.filter(({ level }) => level === "error");
  if (errors.length > 0) return errors.slice(0, 5).map((problem) => said(problem));
  const warnings = table.problems.map((problem) => said(problem));
  if (kind === "wedge") {
    const tone = typeof block.tone === "string" ? block.tone : undefined;
    const steps = checkedSteps(wedgeSteps(table, tone));
    return "problem" in steps ? [...warnings, said(steps.problem)] : warnings;
  }
  const colours = SIDES.map((key) => {
    const sample = block[key];
    return typeof sample === "string" ? sampleColour(table, sample) : undefined;
  });
  const [light, dark] = colours.map((read) => (read && "value" in read ? read.value : undefined));
  const swapped = light && dark && overBlackProblem(light, dark);
  return [
    ...warnings,
    ...(swapped
      ? [
          said(
            {
              level: "error",
              line: sampleLine(table, String(block["over-black"])),
              column: 1,
              message: swapped,
            },
            [...path, "over-black"],
          ),
        ]
      : []),
    ...SIDES.flatMap((key, i) => {
      const colour = colours[i];
      return colour && "problem" in colour ? [said(colour.problem, [...path, key])] : [];
    }),
  ];
}

const SIDES = ["over-white", "over-black"] as const;

/** Pairs of tones; what is none, the schema tells of. */
function isTable(value: unknown): value is [number, number][] {
  const isPair = (pair: unknown) =>
    Array.isArray(pair) && pair.length === 2 && pair.every((v) => v >= 0 && v <= 100);
  return Array.isArray(value) && value.length > 0 && value.every(isPair);
}

function finding(
  doc: SourceDocument,
  rule: string,
  path: Path,
  message: string,
  level: Level = "error",
): Finding {
  return { rule, level, file: doc.file, range: rangeAt(doc, path), path, message };
}
