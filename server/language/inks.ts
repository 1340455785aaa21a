import type { Lab } from "../engine/colour/cielab.ts";
import { type Card, colourOf, type InkFilm, opacityOf } from "../engine/print/ink-film.ts";
import type { SourceDocument } from "./document.ts";
import type * as Formats from "./generated/formats.ts";
import { checkedSteps, type GainSource } from "./readings/gain.ts";
import { type ReadingFiles, readingKey } from "./readings/reading-files.ts";
import { type Read, sampleColour, wedgeSteps } from "./readings/samples.ts";
import { type Colour, parseColour } from "./values/colour.ts";
import { parseLength } from "./values/length.ts";
import { read } from "./values/parsed.ts";
import { parsePercentage } from "./values/percentage.ts";
import { parseDensity } from "./values/weight.ts";

export interface Ink {
  /** Of a solid print over white. */
  readonly colour: Colour;
  /** Contrast ratio, 0–1. */
  readonly opacity: number;
  /** What the print model knows it by. */
  readonly film: InkFilm;
  /** How its tones grow, where the ink has a table or wedge of its own. */
  readonly gain: GainSource | undefined;
  readonly kind: InkKind | undefined;
  /** g/cm³; undefined where nobody says. */
  readonly density: number | undefined;
  /** Parts by weight of what it is mixed of. */
  readonly mix: ReadonlyMap<string, number> | undefined;
  /** Across its largest particle. */
  readonly particleMm: number | undefined;
  /** Where the gain comes from. */
  readonly lesson?: Formats.Lesson | undefined;
  /** When and on what its figures were measured. */
  readonly measured?: Formats.Measured | undefined;
}

export type InkKind = Formats.InkKind;

/** Inks and gains of one document, with the measurements that it names. Throws where these are at fault. */
export class InkLibrary {
  readonly #doc: SourceDocument;
  readonly #files: ReadingFiles;
  readonly #card: Card | undefined;
  /** What this document's tables are told in. */
  readonly #toneValue: Formats.Screening["tone-value"];

  constructor(doc: SourceDocument, files: ReadingFiles, card: Formats.Card | undefined) {
    this.#doc = doc;
    this.#files = files;
    this.#toneValue = (doc.value as Formats.Shop | Formats.Recipe).screening?.["tone-value"];
    this.#card = card && { white: labOf(card.white), black: labOf(card.black) };
  }

  ink(ink: Formats.Ink): Ink {
    const film: InkFilm = { ...this.#film(ink), ...(ink.kind === "discharge" && { discharges: true }) };
    return {
      colour:
        ink.colour === undefined ? { notation: "lab", lab: colourOf(film) } : read(parseColour(ink.colour)),
      opacity: opacityOf(film),
      film,
      gain: this.gain(ink),
      kind: ink.kind,
      density: ink.density === undefined ? undefined : read(parseDensity(ink.density)),
      mix: ink.mix && new Map(Object.entries(ink.mix)),
      particleMm: ink.particle === undefined ? undefined : read(parseLength(ink.particle)),
      lesson: ink.lesson,
      ...(ink.measured && { measured: ink.measured }),
    };
  }

  gain({ gain, wedge }: Pick<Formats.Ink, "gain" | "wedge">): GainSource | undefined {
    const meant = this.#toneValue && { toneValue: this.#toneValue };
    if (gain) return { table: gain.map(([film, printed]) => [film / 100, printed / 100] as const), ...meant };
    if (!wedge) return undefined;
    return { steps: found(checkedSteps(wedgeSteps(this.#table(wedge.file), wedge.tone))), ...meant };
  }

  #film(ink: Formats.Ink): InkFilm {
    const { colour, opacity, readings } = ink;
    if (colour !== undefined) return { colour: labOf(colour), opacity: read(parsePercentage(opacity ?? "")) };
    if (readings) {
      const table = this.#table(readings.file);
      return {
        overWhite: found(sampleColour(table, readings["over-white"])),
        overBlack: found(sampleColour(table, readings["over-black"])),
        card: this.#card,
      };
    }
    return {
      overWhite: labOf(ink["over-white"] ?? ""),
      overBlack: labOf(ink["over-black"] ?? ""),
      card: this.#card,
    };
  }

  #table(path: string) {
    const file = this.#files.get(readingKey(this.#doc, path));
    if (!file || "unreadable" in file) throw new Error(`the readings in ${path} were not read`);
    return file.table;
  }
}

function found<T>(reading: Read<T>): T {
  if ("problem" in reading) throw new Error(reading.problem.message);
  return reading.value;
}

function labOf(text: string): Lab {
  return read(parseColour(text)).lab;
}
