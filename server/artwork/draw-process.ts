/** Draws with the native renderer (serve-drawing.ts). */
import { createRequire } from "node:module";
import { serveDrawing } from "./serve-drawing.ts";
import type { Renderer } from "./svg-renderer.ts";

await serveDrawing(() => createRequire(import.meta.url)("@resvg/resvg-js") as Renderer);
