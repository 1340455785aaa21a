import { PDFArray, PDFDict, PDFName, PDFNumber, type PDFObject, PDFRawStream } from "@cantoo/pdf-lib";
import { type LinearRgb, linearFromLab } from "../../engine/colour/cielab.ts";
import { byteFromLinear } from "../../engine/colour/srgb.ts";

/** What the components of a colour space are, as far as plates are concerned (ISO 32000-1, 8.6). */
export interface Inks {
  /** Names of the colorants, in order of the components; "All" stands on every plate. */
  readonly names: readonly string[];
  /** Whether the highest component is no ink: grey. */
  readonly light: boolean;
}

/** Colour that becomes ink only by a conversion: red, green and blue, CIELAB, patterns, tables. */
export const CONVERTED = "converted";

export type Space = Inks | typeof CONVERTED;

export const PROCESS = ["Cyan", "Magenta", "Yellow", "Black"] as const;
export const GREY: Inks = { names: ["Black"], light: true };
export const CMYK: Inks = { names: PROCESS, light: false };

/** The colour space that an object, or a name among a page's resources, is. */
export function spaceOf(object: PDFObject | undefined, named?: PDFDict, level = 0): Space {
  if (level > 4) return CONVERTED;
  if (object instanceof PDFName) {
    const name = textOf(object);
    if (name === "DeviceGray" || name === "CalGray" || name === "G") return GREY;
    if (name === "DeviceCMYK" || name === "CMYK") return CMYK;
    const found = named?.lookup(object);
    return found ? spaceOf(found, undefined, level + 1) : CONVERTED;
  }
  if (!(object instanceof PDFArray) || object.size() === 0) return CONVERTED;
  const kind = object.lookup(0);
  switch (kind instanceof PDFName ? textOf(kind) : "") {
    case "DeviceGray":
    case "CalGray":
      return GREY;
    case "DeviceCMYK":
      return CMYK;
    case "Separation": {
      const name = object.lookup(1);
      return name instanceof PDFName ? { names: [textOf(name)], light: false } : CONVERTED;
    }
    case "DeviceN": {
      const names = object.lookup(1);
      if (!(names instanceof PDFArray)) return CONVERTED;
      const read = names.asArray().map((_, i) => names.lookup(i));
      return read.every((name) => name instanceof PDFName)
        ? { names: read.map(textOf), light: false }
        : CONVERTED;
    }
    case "ICCBased": {
      const profile = object.lookup(1);
      const count = profile instanceof PDFRawStream ? profile.dict.lookup(PDFName.of("N")) : undefined;
      if (!(count instanceof PDFNumber)) return CONVERTED;
      return { 1: GREY, 4: CMYK }[count.asNumber()] ?? CONVERTED;
    }
    default:
      return CONVERTED;
  }
}

/** 8-bit sRGB. */
export type Rgb = readonly [number, number, number];

/**
 * What a Separation looks like at full tint, where its tint runs straight to a colour in a space that says what it is;
 * undefined else.
 */
export function lookOf(object: PDFObject | undefined, named?: PDFDict): Rgb | undefined {
  const space = object instanceof PDFName ? named?.lookup(object) : object;
  if (!(space instanceof PDFArray) || space.lookup(0) !== PDFName.of("Separation")) return undefined;
  const tint = space.lookup(3);
  if (!(tint instanceof PDFDict)) return undefined;
  const end = tint.lookup(PDFName.of("C1"));
  const numbers = end instanceof PDFArray ? end.asArray().map((_, i) => end.lookup(i)) : [];
  if (!numbers.every((v) => v instanceof PDFNumber)) return undefined;
  const [a, b, c, d] = numbers.map((v) => v.asNumber());
  if (a === undefined || b === undefined || c === undefined) return undefined;
  const alternate = space.lookup(2);
  if (alternate instanceof PDFArray && alternate.lookup(0) === PDFName.of("Lab"))
    return rgbOf(linearFromLab({ L: a, a: b, b: c }));
  const byte = (share: number) => Math.round(255 * Math.min(1, Math.max(0, share)));
  if (alternate === PDFName.of("DeviceRGB")) return [byte(a), byte(b), byte(c)];
  if (alternate === PDFName.of("DeviceCMYK") && d !== undefined)
    return [byte((1 - a) * (1 - d)), byte((1 - b) * (1 - d)), byte((1 - c) * (1 - d))];
  return undefined;
}

function rgbOf({ r, g, b }: LinearRgb): Rgb {
  return [byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)];
}

/** A name as text: UTF-8 by recommendation (7.3.5), else a byte a sign. */
export function textOf(name: PDFName): string {
  const bytes = name.asBytes();
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return Buffer.from(bytes).toString("latin1");
  }
}
