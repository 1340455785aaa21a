import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { Picture } from "../engine/raster.ts";
import { programBeside, runApart } from "./apart.ts";
import type { Size } from "./decoder.ts";
import type { Drawing } from "./svg.ts";
import { type Renderer, renderDrawing } from "./svg-renderer.ts";

/**
 * A drawing as a picture of exactly `size`, by one renderer everywhere: its native build in a process of its own, which it
 * may end, where both are at hand; else its WebAssembly build, large pictures in a process too. Both give the same bytes. Undefined where it cannot
 * draw this; throws an Error with its reason where the document is unsound. `source` is what the drawing was read from.
 */
export async function draw(drawing: Drawing, source: Uint8Array, size: Size): Promise<Picture | undefined> {
  const large = size.width * size.height > LARGE;
  const program = nativeProgram() ?? (large ? programBeside("draw-wasm-process.js") : undefined);
  return program ? drawInProcess(program, source, size) : drawHere(drawing, size);
}

/** Pixels from which a picture is no preview. */
const LARGE = 8_000_000;

/** Exit states of the process (serve-drawing.ts). */
export const CANNOT_DRAW = 3;
export const UNSOUND = 4;

/** The built program beside this one, where the native renderer stands; undefined in the package and in sources. */
function nativeProgram(): string | undefined {
  const program = programBeside("draw-process.js");
  if (program === undefined) return undefined;
  try {
    createRequire(import.meta.url).resolve("@resvg/resvg-js");
    return program;
  } catch {
    return undefined;
  }
}

async function drawInProcess(program: string, source: Uint8Array, size: Size): Promise<Picture | undefined> {
  const data = new Uint8Array(size.width * size.height * 4);
  let at = 0;
  const { code, said } = await runApart(program, [`${size.width}`, `${size.height}`], [source], (part) => {
    if (at + part.length <= data.length) data.set(part, at);
    at += part.length;
  });
  if (code === 0 && at === data.length) return { ...size, data };
  if (code === UNSOUND) throw new Error(said);
  // What ends the process is a drawing that it cannot draw.
  return undefined;
}

let loaded: Promise<Renderer> | undefined;

async function drawHere(drawing: Drawing, size: Size): Promise<Picture | undefined> {
  loaded ??= loadWasm();
  const renderer = await loaded;
  // Its memory never shrinks: in sources, what a large picture took goes with the module.
  if (size.width * size.height > LARGE) loaded = undefined;
  try {
    return renderDrawing(renderer, drawing, size);
  } catch (error) {
    // A module that has come to an end stays broken; the next drawing gets another.
    if (!(error instanceof WebAssembly.RuntimeError)) throw unsound(error);
    loaded = undefined;
    return undefined;
  }
}

/** What the renderer throws need not be an Error. */
export function unsound(error: unknown): Error {
  return error instanceof Error ? error : new Error(String(error));
}

/** A renderer of its own, with a memory of its own. */
export async function loadWasm(): Promise<Renderer> {
  const require = createRequire(import.meta.url);
  const file = require.resolve("@resvg/resvg-wasm");
  const renderer = require(file) as Renderer & { initWasm(module: Uint8Array): Promise<void> };
  // Each has a memory of its own, which goes with it.
  delete require.cache[file];
  await renderer.initWasm(await readFile(require.resolve("@resvg/resvg-wasm/index_bg.wasm")));
  return renderer;
}
