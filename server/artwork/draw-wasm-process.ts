/** Draws with the renderer's WebAssembly build (serve-drawing.ts), whose memory goes with the process. */
import { loadWasm } from "./draw.ts";
import { serveDrawing } from "./serve-drawing.ts";

await serveDrawing(loadWasm);
