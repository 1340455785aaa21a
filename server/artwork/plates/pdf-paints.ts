import { PDFBool, PDFDict, PDFName, PDFNumber, PDFRawStream } from "@cantoo/pdf-lib";
import { type Box, boxOf, liesWithin, type Matrix, placed, readContent, times } from "./pdf-content.ts";
import { dictAt, numbersOf } from "./pdf-objects.ts";
import { CMYK, CONVERTED, GREY, type Space, spaceOf } from "./pdf-spaces.ts";
import { inflated } from "./pdf-streams.ts";

/** One thing that a page paints, in the order in which it does. */
export interface Paint {
  readonly space: Space;
  readonly box: Box;
  /** Leaves colorants of other colour spaces as they are (ISO 32000-1, 8.6.7). */
  readonly overprint: boolean;
  /** A picture that stands upright on its box, drawn as it is: nothing clips it, nothing shines through. */
  readonly image: PlainImage | undefined;
}

export interface PlainImage {
  readonly stream: PDFRawStream;
  readonly mirrored: boolean;
  readonly upsideDown: boolean;
  /** How much of it shows, a grey picture over the same box (11.6.5.3); undefined where all of it does. */
  readonly mask: PDFRawStream | undefined;
  /** Of a stencil, the tint of each colorant that it is painted in. */
  readonly stencil: readonly number[] | undefined;
}

interface State {
  matrix: Matrix;
  fill: Space;
  stroke: Space;
  tint: readonly number[];
  overprint: boolean;
  strokeOverprint: boolean;
  lineWidth: number;
  /** What is drawn may be cut off; undefined where nothing clips. */
  clip: Box | undefined;
  plain: boolean;
}

const MOST_LEVELS = 12;
/** Most operators of a page: beyond, it is drawn by a renderer. */
const MOST_OPERATORS = 5_000_000;
const EVERYWHERE: Box = { left: -Infinity, bottom: -Infinity, right: Infinity, top: Infinity };

/** What a page paints, as far as it can be said without drawing it; undefined where it cannot. */
export function paintsOf(content: string, resources: PDFDict | undefined): Paint[] | undefined {
  const paints: Paint[] = [];
  let operators = 0;
  const base: State = {
    matrix: [1, 0, 0, 1, 0, 0],
    fill: GREY,
    stroke: GREY,
    tint: [0],
    overprint: false,
    strokeOverprint: false,
    lineWidth: 1,
    clip: undefined,
    plain: true,
  };
  const walk = (text: string, own: PDFDict | undefined, start: State, level: number): boolean => {
    let state = { ...start };
    const stack: State[] = [];
    let path: number[] = [];
    let isRectangle = false;
    let clipping = false;
    let sound = true;
    const named = (category: string, name: unknown) =>
      typeof name === "string" ? dictAt(own, category)?.lookup(PDFName.of(name.slice(1))) : undefined;
    const add = (space: Space, box: Box, overprint: boolean, image?: PlainImage) =>
      paints.push({ space, box, overprint, image });
    const paintPath = (filled: boolean, stroked: boolean) => {
      if (path.length > 0) {
        const box = boxOf(path);
        if (filled) add(state.fill, box, state.overprint);
        if (stroked) {
          const [a, b, c, d] = state.matrix;
          // Mitred corners reach out as far as the usual mitre limit lets them (8.4.3.5).
          const reach = 5 * state.lineWidth * Math.max(Math.hypot(a, b), Math.hypot(c, d));
          const around = {
            left: box.left - reach,
            bottom: box.bottom - reach,
            right: box.right + reach,
            top: box.top + reach,
          };
          add(state.stroke, around, state.strokeOverprint);
        }
        if (clipping) {
          // A rectangle clips nothing of what lies within it; any other path may.
          state.clip = isRectangle ? (state.clip ? meetOf(state.clip, box) : box) : boxOf([0, 0]);
        }
      }
      path = [];
      isRectangle = false;
      clipping = false;
    };
    const point = (x: number, y: number) => path.push(...placed(state.matrix, x, y));
    const drawImage = (stream: PDFRawStream) => {
      const { matrix, clip, plain } = state;
      const [a, b, c, d, e, f] = matrix;
      const box = boxOf([e, f, e + a, f + b, e + c, f + d, e + a + c, f + b + d]);
      const upright = Math.abs(b) + Math.abs(c) < 1e-6 * (Math.abs(a) + Math.abs(d)) && a !== 0 && d !== 0;
      const dict = stream.dict;
      const isStencil = dict.lookup(PDFName.of("ImageMask")) === PDFBool.True;
      const softMask = dict.lookup(PDFName.of("SMask"));
      const mask = softMask instanceof PDFRawStream ? softMask : undefined;
      const masked = dict.has(PDFName.of("Mask")) || mask?.dict.has(PDFName.of("Matte")) === true;
      const whole = !clip || liesWithin(box, clip);
      const space = isStencil
        ? state.fill
        : spaceOf(dict.lookup(PDFName.of("ColorSpace")), dictAt(own, "ColorSpace"));
      const direct = upright && plain && whole && !masked && space !== CONVERTED;
      add(
        space,
        box,
        state.overprint,
        direct
          ? {
              stream,
              mirrored: a < 0,
              upsideDown: d < 0,
              mask,
              stencil: isStencil ? state.tint : undefined,
            }
          : undefined,
      );
    };
    const drawForm = (form: PDFRawStream) => {
      const dict = form.dict;
      const bytes = level < MOST_LEVELS ? inflated(form) : undefined;
      if (!bytes) {
        sound = false;
        return;
      }
      const matrix = numbersOf(dict.lookup(PDFName.of("Matrix")));
      const within = matrix?.length === 6 ? times(matrix as unknown as Matrix, state.matrix) : state.matrix;
      const bounds = numbersOf(dict.lookup(PDFName.of("BBox")));
      const [x0, y0, x1, y1] = bounds ?? [];
      const box =
        bounds?.length === 4
          ? boxOf([
              ...placed(within, x0!, y0!),
              ...placed(within, x1!, y0!),
              ...placed(within, x1!, y1!),
              ...placed(within, x0!, y1!),
            ])
          : EVERYWHERE;
      const clip = state.clip ? meetOf(state.clip, box) : box;
      const plain = state.plain && !dict.has(PDFName.of("Group"));
      const inner = dictAt(dict, "Resources") ?? own;
      const drawn = walk(
        Buffer.from(bytes).toString("latin1"),
        inner,
        { ...state, matrix: within, clip, plain },
        level + 1,
      );
      if (!drawn) sound = false;
    };
    const operate = (operator: string, operands: readonly unknown[]) => {
      if (++operators > MOST_OPERATORS) sound = false;
      if (!sound) return;
      const n = (i: number) => (typeof operands[i] === "number" ? (operands[i] as number) : 0);
      const tints = () => operands.filter((v): v is number => typeof v === "number");
      const space = (name: unknown): Space => {
        const known = typeof name === "string" ? PDFName.of(name.slice(1)) : undefined;
        return spaceOf(known, dictAt(own, "ColorSpace"));
      };
      switch (operator) {
        case "q":
          if (stack.push({ ...state }) > 10_000) sound = false;
          break;
        case "Q":
          state = stack.pop() ?? state;
          break;
        case "cm":
          state.matrix = times([n(0), n(1), n(2), n(3), n(4), n(5)], state.matrix);
          break;
        case "w":
          state.lineWidth = n(0);
          break;
        case "cs":
          state.fill = space(operands[0]);
          state.tint =
            state.fill === CONVERTED ? [] : state.fill.names.map(() => (state.fill === GREY ? 0 : 1));
          break;
        case "CS":
          state.stroke = space(operands[0]);
          break;
        case "sc":
        case "scn":
          state.tint = tints();
          break;
        case "g":
          [state.fill, state.tint] = [GREY, tints()];
          break;
        case "G":
          state.stroke = GREY;
          break;
        case "k":
          [state.fill, state.tint] = [CMYK, tints()];
          break;
        case "K":
          state.stroke = CMYK;
          break;
        case "rg":
          [state.fill, state.tint] = [CONVERTED, []];
          break;
        case "RG":
          state.stroke = CONVERTED;
          break;
        case "gs":
          applyState(state, named("ExtGState", operands[0]));
          break;
        case "m":
        case "l":
          isRectangle = false;
          point(n(0), n(1));
          break;
        case "c":
          isRectangle = false;
          for (const i of [0, 2, 4]) point(n(i), n(i + 1));
          break;
        case "v":
        case "y":
          isRectangle = false;
          for (const i of [0, 2]) point(n(i), n(i + 1));
          break;
        case "re": {
          const [a, b, c, d] = state.matrix;
          isRectangle = path.length === 0 && ((b === 0 && c === 0) || (a === 0 && d === 0));
          for (const [x, y] of [
            [0, 0],
            [n(2), 0],
            [n(2), n(3)],
            [0, n(3)],
          ] as const)
            point(n(0) + x, n(1) + y);
          break;
        }
        case "W":
        case "W*":
          clipping = true;
          break;
        case "f":
        case "F":
        case "f*":
          paintPath(true, false);
          break;
        case "B":
        case "B*":
        case "b":
        case "b*":
          paintPath(true, true);
          break;
        case "S":
        case "s":
          paintPath(false, true);
          break;
        case "n":
          paintPath(false, false);
          break;
        case "sh":
          add(CONVERTED, state.clip ?? EVERYWHERE, state.overprint);
          break;
        // Where letters end up is a font's to say.
        case "Tj":
        case "TJ":
        case "'":
        case '"':
          add(state.fill, state.clip ?? EVERYWHERE, state.overprint);
          break;
        case "Do": {
          const found = named("XObject", operands[0]);
          if (!(found instanceof PDFRawStream)) break;
          const subtype = found.dict.lookup(PDFName.of("Subtype"));
          if (subtype === PDFName.of("Image")) drawImage(found);
          else if (subtype === PDFName.of("Form")) drawForm(found);
        }
      }
    };
    return readContent(text, operate) && sound;
  };
  return walk(content, resources, base, 0) ? paints : undefined;
}

/** The part of a graphics state that tells on plates (ISO 32000-1, table 58). */
function applyState(state: State, found: unknown): void {
  if (!(found instanceof PDFDict)) return;
  const flag = (key: string) => {
    const value = found.lookup(PDFName.of(key));
    return value instanceof PDFBool ? value.asBoolean() : undefined;
  };
  const stroke = flag("OP");
  state.strokeOverprint = stroke ?? state.strokeOverprint;
  state.overprint = flag("op") ?? stroke ?? state.overprint;
  for (const key of ["CA", "ca"]) {
    const value = found.lookup(PDFName.of(key));
    if (value instanceof PDFNumber && value.asNumber() < 1) state.plain = false;
  }
  const mask = found.lookup(PDFName.of("SMask"));
  if (mask && mask !== PDFName.of("None")) state.plain = false;
  const mode = found.lookup(PDFName.of("BM"));
  if (mode && mode !== PDFName.of("Normal") && mode !== PDFName.of("Compatible")) state.plain = false;
}

function meetOf(a: Box, b: Box): Box {
  return {
    left: Math.max(a.left, b.left),
    bottom: Math.max(a.bottom, b.bottom),
    right: Math.min(a.right, b.right),
    top: Math.min(a.top, b.top),
  };
}
