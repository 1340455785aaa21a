import type { Picture } from "../engine/raster.ts";
import type { Size } from "./decoder.ts";
import type { Drawing } from "./svg.ts";

/** The part of resvg that is used; its native and its WebAssembly build have the same, and give the same bytes. */
export interface Renderer {
  readonly Resvg: new (svg: string, options: object) => Tree;
}

interface Tree {
  getBBox(): Box | undefined;
  render(): { readonly width: number; readonly height: number; readonly pixels: Uint8Array; free?(): void };
  free?(): void;
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** No font of the machine: what is drawn must not depend on it. 96 an inch, as CSS has it. */
const OPTIONS = { dpi: 96, font: { loadSystemFonts: false }, logLevel: "off" };

/** Most pixels of the canvas, as a multiple of the picture's, for what a drawing has beside its page. */
const LARGEST_CANVAS = 4;
/** Pixels that strokes, blurs and rounding may reach beyond a drawing's box. */
const ROOM = 4;

/**
 * A drawing as a picture of exactly `size`. Undefined where it reaches too far beyond its page: a layer that lies off
 * the canvas as a whole ends this renderer, so the canvas holds all there is, and its margins are cut off. Throws an Error
 * with the renderer's reason where the document is unsound, and whatever ends it.
 */
export function renderDrawing(renderer: Renderer, drawing: Drawing, size: Size): Picture | undefined {
  const around = roomAround(renderer, drawing, size);
  const canvas = {
    width: size.width + around.left + around.right,
    height: size.height + around.top + around.bottom,
  };
  if (canvas.width * canvas.height > LARGEST_CANVAS * size.width * size.height + 4096) return undefined;
  const tree = new renderer.Resvg(drawing.onCanvas(size, canvas, around.left, around.top), OPTIONS);
  const image = tree.render();
  const { pixels } = image;
  const data = cut(pixels, canvas.width, around.left, around.top, size);
  image.free?.();
  tree.free?.();
  straightenAlpha(data);
  return { ...size, data };
}

interface Room {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Whole pixels that a drawing reaches beyond its page on each side; none where it stays within. */
function roomAround(renderer: Renderer, drawing: Drawing, size: Size): Room {
  const tree = new renderer.Resvg(drawing.onCanvas(size, size, 0, 0), OPTIONS);
  const box = tree.getBBox();
  tree.free?.();
  const beyond = (pixels: number) => (pixels > 0.5 ? Math.ceil(pixels) + ROOM : 0);
  if (!box) return { left: 0, top: 0, right: 0, bottom: 0 };
  return {
    left: beyond(-box.x),
    top: beyond(-box.y),
    right: beyond(box.x + box.width - size.width),
    bottom: beyond(box.y + box.height - size.height),
  };
}

/** The pixels of a canvas from a place on; as they are where they are all of it. */
function cut(
  pixels: Uint8Array,
  canvasWidth: number,
  left: number,
  top: number,
  { width, height }: Size,
): Uint8Array {
  if (pixels.length === width * height * 4) return pixels;
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++) {
    const from = ((top + y) * canvasWidth + left) * 4;
    data.set(pixels.subarray(from, from + width * 4), y * width * 4);
  }
  return data;
}

/** Turns colours that are multiplied by their alpha into such as are not, in place. */
function straightenAlpha(data: Uint8Array): void {
  for (let i = 3; i < data.length; i += 4) {
    const alpha = data[i]!;
    if (alpha === 255 || alpha === 0) continue;
    for (let c = i - 3; c < i; c++) data[c] = Math.min(255, Math.round((data[c]! * 255) / alpha));
  }
}
