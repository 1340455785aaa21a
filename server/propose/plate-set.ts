import { basename, extname } from "node:path";
import { openPlates } from "../artwork/plates/plate-file.ts";
import type { PlateFileInfo, PlateView } from "../artwork/plates/plates.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { JobFiles } from "../jobs/open.ts";
import type * as Formats from "../language/generated/formats.ts";
import { ProposalError } from "./request.ts";

/** A plate in a file that somebody else made. */
export interface FoundPlate {
  readonly file: string;
  /** Its name in a recipe: of its colorant, else of its file. */
  readonly name: string;
  /** What is written beside the file. */
  readonly view: Pick<Formats.Extraction, "colorant" | "channel" | "page" | "screened">;
  /** 8-bit sRGB of the ink, where the file says it. */
  readonly look: readonly [number, number, number] | undefined;
  /** Mean tone, 0–1. */
  readonly coverage: number;
}

/** A set of plates, as its files have it. */
export interface PlateSet {
  readonly plates: readonly FoundPlate[];
  /** The picture in colour among the files, which the plates were made from. */
  readonly artwork: string | undefined;
  /** Name of the job: what the files' names have in common. */
  readonly title: string;
  /** Printed width in mm; undefined where no file says it. */
  readonly widthMm: number | undefined;
  /** Pixels an inch of its films, where all have the same. */
  readonly filmDpi: number | undefined;
}

/** Most plates of a set: more are no set of plates. */
const MOST_PLATES = 40;
/** Pixels across of the small plates that are looked at. */
const LOOK_WIDTH = 200;
/** Pixels an inch that programs write where nobody says any. */
const UNSET_PPI = [72, 96];

/** Looks at the files of a set. Throws ArtworkError, ProposalError. */
export async function lookAtPlates(files: readonly string[], within: JobFiles["within"]): Promise<PlateSet> {
  const found: Omit<FoundPlate, "name">[] = [];
  const infos: PlateFileInfo[] = [];
  let artwork: string | undefined;
  for (const file of files) {
    const opened = await openPlates(file, undefined, { within });
    const { info } = opened;
    const size = {
      width: LOOK_WIDTH,
      height: Math.max(1, Math.round((LOOK_WIDTH * info.height) / info.width)),
    };
    const isPicture = info.format !== "pdf" && info.channels === 3 && info.colorants.length === 0;
    const views = isPicture ? [{}] : viewsOf(info);
    for (const view of views) {
      const screened = info.oneBit ? { screened: true } : {};
      try {
        const page = view.page === undefined ? opened : await openPlates(file, view.page, { within });
        const { tones } = await page.tones([{ ...NO_VIEW, ...view, ...screened }], size);
        const coverage = tones[0]!.reduce((sum, tone) => sum + tone, 0) / (255 * tones[0]!.length);
        const look = view.colorant === undefined ? undefined : info.looks.get(view.colorant);
        found.push({ file, view: { ...view, ...screened }, look, coverage });
      } catch (error) {
        // One picture in colour is what the plates were made from.
        if (!isPicture || artwork !== undefined || !/in colour/.test((error as Error).message)) throw error;
        artwork = file;
        break;
      }
      if (found.length > MOST_PLATES)
        throw new ProposalError(`${file}: over ${MOST_PLATES} plates; name the files of one job`);
    }
    if (file !== artwork) infos.push(info);
  }
  if (found.length === 0)
    throw new ProposalError("none of these files holds a plate; propose takes the artwork alone");
  const names = namesOf(found);
  return {
    plates: found.map((plate, i) => ({ ...plate, name: names[i]! })),
    artwork,
    title: titleOf(files),
    widthMm: infos.map(widthOf).find((width) => width !== undefined),
    filmDpi: filmDpiOf(infos),
  };
}

const NO_VIEW: PlateView = {
  page: undefined,
  channel: undefined,
  colorant: undefined,
  solid: undefined,
  screened: false,
};

/** What a file's plates are called in it. */
function viewsOf({ colorants, channels, pages, format }: PlateFileInfo): FoundPlate["view"][] {
  if (colorants.length > 1 || (format === "pdf" && colorants.length > 0))
    return colorants.map((colorant) => ({ colorant }));
  if (pages > 1) return Array.from({ length: pages }, (_, i) => ({ page: i + 1 }));
  if (channels > 1) return Array.from({ length: channels }, (_, i) => ({ channel: i + 1 }));
  return [{}];
}

function widthOf({ width, sizeMm }: PlateFileInfo): number | undefined {
  if (!sizeMm) return undefined;
  const ppi = (width * MM_PER_INCH) / sizeMm.width;
  return UNSET_PPI.some((unset) => Math.abs(ppi - unset) < 0.5) ? undefined : sizeMm.width;
}

function filmDpiOf(infos: readonly PlateFileInfo[]): number | undefined {
  const all = infos.flatMap((info) => {
    const width = info.oneBit ? widthOf(info) : undefined;
    return width === undefined ? [] : [Math.round((info.width * MM_PER_INCH) / width)];
  });
  return new Set(all).size === 1 ? all[0] : undefined;
}

/** Names that a recipe takes, each its own: of colorants, else what sets a file's name apart from the others'. */
function namesOf(found: readonly Omit<FoundPlate, "name">[]): string[] {
  const stems = found.map(({ file }) => stemOf(file));
  const common = new Set(stems).size > 1 ? beginning(stems).length : 0;
  const used = new Set<string>();
  return found.map(({ view }, i) => {
    const own = view.colorant ?? stems[i]!.slice(common);
    const number = view.page ?? view.channel;
    const word = nameFrom(number === undefined ? own : `${own}-${number}`) || "plate";
    let name = word;
    for (let n = 2; used.has(name.toLowerCase()); n++) name = `${word}-${n}`;
    used.add(name.toLowerCase());
    return name;
  });
}

function titleOf(files: readonly string[]): string {
  const stems = files.map(stemOf);
  const words = (stems.length === 1 ? stems[0]! : beginning(stems)).replaceAll(/[\s_.-]+/g, " ").trim();
  return words === "" ? "New job" : words[0]!.toUpperCase() + words.slice(1);
}

function stemOf(file: string): string {
  return basename(file, extname(file));
}

/** What all begin with, up to the end of a word. */
function beginning([first = "", ...more]: readonly string[]): string {
  let length = first.length;
  for (const other of more) {
    let same = 0;
    while (same < length && other[same] === first[same]) same++;
    length = same;
  }
  const begin = first.slice(0, length);
  const whole = [first, ...more].every((stem) => stem.length === length || /[\s_.-]/.test(stem[length]!));
  return whole ? begin : begin.replace(/[^\s_.-]*$/, "");
}

/** Letters, digits, hyphens: `Ember Red/2` → `ember-red-2`. Must begin with a letter. */
function nameFrom(text: string): string {
  return text
    .normalize("NFC")
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^[^\p{L}]+/u, "")
    .slice(0, 36)
    .replace(/-+$/, "");
}
