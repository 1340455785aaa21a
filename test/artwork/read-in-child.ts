/**
 * Run as a program: reads each artwork of the first folder, writes its pixels into the second,
 * and prints which build of the decoder did it with each picture's size, and how much it left for the process's exit.
 */
import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { loadSharp } from "../../server/artwork/load-sharp.ts";

const exits = process.listenerCount("exit");
const [from, to, ppi] = process.argv.slice(2);
const sizes: Record<string, { width: number; height: number; notes: readonly string[] }> = {};
for (const name of readdirSync(from)) {
  const { picture, notes } = await readArtwork(join(from, name), {
    widthMm: 25.4,
    ...(ppi ? { ppi: Number(ppi) } : {}),
  });
  writeFileSync(join(to, `${name}.rgba`), picture.data);
  sizes[name] = { width: picture.width, height: picture.height, notes };
}
const webAssembly = "emscripten" in loadSharp().versions;
const left = process.listenerCount("exit") - exits;
console.log(JSON.stringify({ webAssembly, left, sizes }));
