import { MM_PER_INCH } from "../engine/units.ts";
import type { ArtworkFormat } from "./format.ts";
import { VECTOR_PPI } from "./limits.ts";
import type { Opened } from "./opened.ts";
import { profileName } from "./profile.ts";
import { uprightSize } from "./sound.ts";

/** What an artwork file is, at a printed width. */
export interface ArtworkInfo {
  readonly format: ArtworkFormat;
  /** Pixels of the first page, upright. For a drawing: as it is drawn at 300 ppi. */
  readonly width: number;
  readonly height: number;
  /** Printed height in mm at the printed width. */
  readonly heightMm: number;
  /** Pixels an inch at the printed width; 300 for a drawing, which is sharp at any. */
  readonly ppi: number;
  /** Bits a channel as stored: 1, 2, 4, 8 or 16. */
  readonly bits: number;
  readonly colourSpace: "grey" | "rgb" | "cmyk" | "lab";
  /** Name of the embedded ICC profile; undefined without one, "unnamed" where it has no name. */
  readonly profile: string | undefined;
  readonly hasAlpha: boolean;
  /** EXIF orientation as stored, 1–8; it is applied already to all that is given here. */
  readonly orientation: number;
  /** Pages or frames; one is read, the first unless a PDF's is chosen. */
  readonly pages: number;
  readonly vector: boolean;
  /** SVG: text that is not outlines. */
  readonly hasText: boolean;
  /** SVG: files and addresses outside of it that it refers to; they are not drawn. */
  readonly outside: readonly string[];
  /** PDF: names of its spot colours. */
  readonly spots: readonly string[];
}

export function infoOf(opened: Opened, widthMm: number): ArtworkInfo {
  if (!("header" in opened)) {
    const isPdf = opened.format === "pdf";
    const { width, height } = isPdf ? opened.page : opened.drawing;
    const { hasText, outside } = isPdf ? { hasText: false, outside: [] } : opened.drawing;
    const pixels = Math.max(1, Math.round((widthMm / MM_PER_INCH) * VECTOR_PPI));
    return {
      format: opened.format,
      width: pixels,
      height: Math.max(1, Math.round((pixels * height) / width)),
      heightMm: (widthMm * height) / width,
      ppi: VECTOR_PPI,
      bits: 8,
      colourSpace: "rgb",
      profile: undefined,
      hasAlpha: true,
      orientation: 1,
      pages: isPdf ? opened.page.pages : 1,
      vector: true,
      hasText,
      outside,
      spots: isPdf ? opened.page.spots : [],
    };
  }
  const { format, header, lab } = opened;
  const { width, height } = uprightSize(header);
  return {
    format,
    width,
    height,
    heightMm: (widthMm * height) / width,
    ppi: width / (widthMm / MM_PER_INCH),
    bits: header.bits,
    colourSpace: lab ? "lab" : colourSpaceOf(header.space),
    profile: header.icc && !lab ? (profileName(header.icc) ?? "unnamed") : undefined,
    hasAlpha: header.hasAlpha,
    orientation: header.orientation,
    pages: header.pages,
    vector: false,
    hasText: false,
    outside: [],
    spots: [],
  };
}

function colourSpaceOf(space: string): "grey" | "rgb" | "cmyk" {
  if (space === "cmyk") return "cmyk";
  return space === "b-w" || space === "grey16" ? "grey" : "rgb";
}
