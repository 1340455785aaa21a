import { readFile } from "node:fs/promises";
import { basename } from "node:path";
import wabt from "wabt";

/** Where the module of a WebAssembly text file goes, seen from it. */
export function kernelFile(source: URL): string {
  return `generated/${basename(source.pathname, ".wat")}.ts`;
}

/** A TypeScript module that holds a WebAssembly text file, compiled, as bytes: `dots.wat` as DOTS_MODULE. */
export async function kernelModule(file: URL): Promise<string> {
  const source = basename(file.pathname);
  const name = `${basename(source, ".wat").toUpperCase()}_MODULE`;
  const module = (await wabt()).parseWat(source, await readFile(file, "utf8"), { simd: true });
  module.validate();
  const { buffer } = module.toBinary({ write_debug_names: false });
  return `// Generated from ${source} by "npm run generate". Do not edit.\nexport const ${name} = Uint8Array.of(${buffer.join(", ")});\n`;
}
