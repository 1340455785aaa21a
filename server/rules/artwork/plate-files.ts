import { edgesOfPicture, edgesOfTones, shiftOf } from "../../engine/inspect/shift.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import type { Plate } from "../../language/recipe.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import type { Print } from "../../render/print.ts";
import type { PixelRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Each plate that comes from a file, with what that file is. */
function* given({ recipe, artwork }: Print) {
  for (const [name, info] of artwork.plates ?? []) {
    const plate = recipe.plates.get(name);
    if (plate?.given) yield { plate, info, path: ["plates", name, "extract", "plate"] };
  }
}

/** Dots that are screened again beat with the new screen. */
export const screenedTwice: PixelRule = {
  id: "screened-twice",
  looksAt: "pixels",
  level: "warning",
  why: "Dots that are screened a second time beat with the new screen, and every edge breaks up into dots.",
  source: "Follows from screening; a film of one bit has no tones that a screen could need.",
  example: {
    fails: yaml`
      # ember.tif has one bit a pixel
      plates:
        ember: { ink: ember, extract: { plate: ember.tif } }
    `,
    passes: yaml`
      # ember.tif has one bit a pixel
      plates:
        ember: { ink: ember, extract: { plate: ember.tif, screened: true } }
    `,
  },
  *check(print) {
    for (const { plate, info, path } of given(print)) {
      if (!info.oneBit || plate.given?.screened) continue;
      yield {
        path,
        message: `the file of ${plate.name} is ink or none, as films are, and would be screened twice; write screened: true beside it`,
      };
    }
  },
};

/** How far a file's own size may be off the print's, in mm: less is rounding. */
const SAME_SIZE = 0.3;

/** A file that says that it prints at another size was made for another print. */
export const plateSize: PixelRule = {
  id: "plate-size",
  looksAt: "pixels",
  level: "warning",
  why: "Plates of different sizes do not register: one of them was made for another print, or its resolution is wrong.",
  source: "Follows from the files' own figures.",
  example: {
    fails: yaml`
      # ember.tif is 3000 pixels wide at 300 an inch
      artwork: { file: art.png, width: 12 in }
      plates:
        ember: { ink: ember, extract: { plate: ember.tif } }
    `,
    passes: yaml`
      # ember.tif is 3600 pixels wide at 300 an inch
      artwork: { file: art.png, width: 12 in }
      plates:
        ember: { ink: ember, extract: { plate: ember.tif } }
    `,
  },
  *check(print) {
    const { widthMm } = print.recipe.artwork;
    for (const { plate, info, path } of given(print)) {
      const own = info.sizeMm?.width;
      // Resolutions that nobody set: they say nothing of the print.
      if (own === undefined || isUnset(info.width, own)) continue;
      if (Math.abs(own - widthMm) <= SAME_SIZE) continue;
      yield {
        path,
        message: `the file of ${plate.name} says that it prints ${mm(own)} wide, and the print is ${mm(widthMm)}; scaled so far its ${plate.given?.screened ? "dots are no longer what they were" : "plate may not be this print's"}: ask which is right`,
      };
    }
  },
};

/** Pixels an inch that programs write where nobody says any. */
const UNSET_PPI = [72, 96];

function isUnset(width: number, mm: number): boolean {
  const ppi = (width * MM_PER_INCH) / mm;
  return UNSET_PPI.some((unset) => Math.abs(ppi - unset) < 0.5);
}

/** How far a plate may lie from the others is looked for, in mm. */
const REACH_MM = 4;
/** A shift is believed where edges fit so well there, and so much better than where nothing is moved. No source. */
const FITS = 0.35;
const BETTER = 1.5;

/** A plate that fits its neighbours only when it is moved was cut or scanned from another corner. */
export const plateShift: PixelRule = {
  id: "plate-shift",
  looksAt: "pixels",
  level: "warning",
  why: "A plate that is placed differently in its file than the others prints out of register, however well the press is set up.",
  source: "Correlation of edges; its bounds are this program's own.",
  example: {
    fails: yaml`
      # in ember.tif the drawing stands 2 mm further right than in art.png
      plates:
        ember: { ink: ember, extract: { plate: ember.tif } }
    `,
    passes: yaml`
      # in ember.tif the drawing stands where it stands in art.png
      plates:
        ember: { ink: ember, extract: { plate: ember.tif } }
    `,
  },
  *check(print) {
    const { picture, recipe, pixelMm } = print;
    const all = [...given(print)].filter(({ plate }) => !plate.given?.screened);
    const edges = new Map(
      all.map(({ plate: { name } }) => [name, edgesOfTones(picture.given!.get(name)!, picture)]),
    );
    const drawing = recipe.artwork.madeOf === undefined ? edgesOfPicture(picture) : undefined;
    const least = Math.max(misregistrationOf(recipe), pixelMm);
    for (const { plate, path } of all) {
      const own = edges.get(plate.name)!;
      const others = drawing ?? sumOf([...edges].flatMap(([name, of]) => (name === plate.name ? [] : [of])));
      const shift = others && shiftOf(own, others, picture, Math.ceil(REACH_MM / pixelMm));
      if (!shift || shift.match < FITS || shift.match < BETTER * shift.unmoved) continue;
      const [x, y] = [shift.x * pixelMm, shift.y * pixelMm];
      if (Math.hypot(x, y) <= least) continue;
      const ways = [
        ...(Math.abs(x) >= pixelMm ? [`${mm(Math.abs(x))} ${x > 0 ? "right" : "left"}`] : []),
        ...(Math.abs(y) >= pixelMm ? [`${mm(Math.abs(y))} ${y > 0 ? "down" : "up"}`] : []),
      ];
      const than = drawing ? "the artwork" : "the other plates";
      yield {
        path,
        message: `${plate.name} fits ${than} best when it is not where its file has it: it lies about ${ways.join(" and ")} of its place; ask for files with the same edges`,
      };
    }
  },
};

function sumOf([first, ...more]: readonly Uint8Array[]): Uint8Array | undefined {
  if (!first) return undefined;
  const sum = first.slice();
  for (const other of more) for (let i = 0; i < sum.length; i++) sum[i] = Math.max(sum[i]!, other[i]!);
  return sum;
}

/** A film's pixels must be those of the device that films are made on. */
export const filmPixels: PixelRule = {
  id: "film-pixels",
  looksAt: "pixels",
  level: "warning",
  why: "If a film's resolution is not the device's, some of its pixels are repeated or left out, and the dots grow and shrink in a pattern.",
  source: "Follows from sampling; multiples repeat every pixel alike.",
  example: {
    fails: yaml`
      # ember.tif is 9600 pixels wide: 960 an inch
      artwork: { file: art.png, width: 10 in }
      plates:
        ember: { ink: ember, extract: { plate: ember.tif, screened: true } }
    `,
    passes: yaml`
      # ember.tif is 12000 pixels wide: 1200 an inch
      artwork: { file: art.png, width: 10 in }
      plates:
        ember: { ink: ember, extract: { plate: ember.tif, screened: true } }
    `,
  },
  *check(print) {
    const { widthMm } = print.recipe.artwork;
    for (const { plate, info, path } of given(print)) {
      if (!plate.given?.screened) continue;
      const { filmDpi } = plate.screening;
      const wanted = Math.round((widthMm * filmDpi) / MM_PER_INCH);
      const times = wanted / info.width;
      if (Math.abs(times - Math.max(1, Math.round(times))) * info.width <= 2) continue;
      const dpi = (info.width * MM_PER_INCH) / widthMm;
      yield {
        path,
        message: `the film of ${plate.name} has ${Math.round(dpi)} pixels an inch at this width, and films are made at ${filmDpi}; ${advice(plate, dpi)}`,
      };
    }
  },
};

function advice({ name }: Plate, dpi: number): string {
  return `set film: ${Math.round(dpi)} dpi, or ask for ${name} unscreened`;
}
