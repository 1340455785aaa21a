import { readFile } from "node:fs/promises";
import { basename } from "node:path";
import wabt from "wabt";

/** A TypeScript module that holds a WebAssembly text file, compiled, as bytes under a name. */
export async function kernelModule(file: URL, name: string): Promise<string> {
  const source = basename(file.pathname);
  const module = (await wabt()).parseWat(source, await readFile(file, "utf8"), { simd: true });
  module.validate();
  const { buffer } = module.toBinary({ write_debug_names: false });
  return `// Generated from ${source} by "npm run generate". Do not edit.\nexport const ${name} = Uint8Array.of(${buffer.join(", ")});\n`;
}
