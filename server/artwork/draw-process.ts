/** Draws the SVG that comes in, with the native renderer, and hands out its pixels: `draw-process WIDTH HEIGHT`. */
import { createRequire } from "node:module";
import { buffer } from "node:stream/consumers";
import { CANNOT_DRAW, UNSOUND, unsound } from "./draw.ts";
import { endWithParent } from "./parent-watch.ts";
import { readDrawing } from "./svg.ts";
import { type Renderer, renderDrawing } from "./svg-renderer.ts";

endWithParent();
const [width = 0, height = 0] = process.argv.slice(2).map(Number);
const drawing = readDrawing("", await buffer(process.stdin));
const renderer = createRequire(import.meta.url)("@resvg/resvg-js") as Renderer;
try {
  const picture = renderDrawing(renderer, drawing, { width, height });
  if (picture) process.stdout.write(picture.data);
  else process.exitCode = CANNOT_DRAW;
} catch (error) {
  process.stderr.write(unsound(error).message);
  process.exitCode = UNSOUND;
}
