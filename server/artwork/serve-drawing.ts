import { buffer } from "node:stream/consumers";
import { CANNOT_DRAW, UNSOUND, unsound } from "./draw.ts";
import { endWithParent } from "./parent-watch.ts";
import { readDrawing } from "./svg.ts";
import { type Renderer, renderDrawing } from "./svg-renderer.ts";

/** Draws the SVG that comes in, in the size that the program's arguments say, WIDTH HEIGHT, and hands out its pixels. */
export async function serveDrawing(load: () => Renderer | Promise<Renderer>): Promise<void> {
  endWithParent();
  const [width = 0, height = 0] = process.argv.slice(2).map(Number);
  const drawing = readDrawing("", await buffer(process.stdin));
  const renderer = await load();
  try {
    const picture = renderDrawing(renderer, drawing, { width, height });
    if (picture) process.stdout.write(picture.data);
    else process.exitCode = CANNOT_DRAW;
  } catch (error) {
    if (error instanceof WebAssembly.RuntimeError) {
      process.exitCode = CANNOT_DRAW;
      return;
    }
    process.stderr.write(unsound(error).message);
    process.exitCode = UNSOUND;
  }
}
