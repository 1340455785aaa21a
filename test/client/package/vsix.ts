import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { unzipSync } from "fflate";
import { put } from "../../cli/program.ts";

/** The extension as it is installed, made by `npm run package`. */
export const VSIX = fileURLToPath(new URL("../../../build/platewright.vsix", import.meta.url));
/** Where the extension's own files stand in the package. */
const INSIDE = "extension/";

/** Every file of the package by its path in it. */
export function entriesOfVsix(): Record<string, Uint8Array> {
  return unzipSync(readFileSync(VSIX));
}

/** Lays the extension into a folder, as the editor does when it installs it. */
export function unpackVsix(folder: string): void {
  for (const [path, bytes] of Object.entries(entriesOfVsix()))
    if (path.startsWith(INSIDE) && !path.endsWith("/")) put(folder, path.slice(INSIDE.length), bytes);
}
