import { dirname, resolve } from "node:path";
import { FileError } from "../language/project.ts";

/** What Windows takes for a device in any folder, whatever its ending. */
const DEVICE = /^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(?:[. ].*)?$/i;

/**
 * Why what a recipe names is no path of a file: a URI, another machine's folder (UNC), a device. Said before any disk is
 * asked, since asking may log in somewhere.
 */
export function pathProblem(path: string): string | undefined {
  if (/^[a-z][a-z0-9+.-]+:/i.test(path)) return "it is no path but a URI; begin a file's name with ./";
  if (/^[\\/]{2}/.test(path)) return "it is the path of another machine or of a device; copy the file here";
  if (path.includes("\0")) return "no file's name holds this sign";
  if (process.platform !== "win32") return undefined;
  if (/^[a-z]:(?![\\/])|[\\/][^\\/]*:/i.test(path) || path.split(/[\\/]/).some((part) => DEVICE.test(part)))
    return "it is a device's name; give the file another";
  return undefined;
}

/** The path that `path` means in a file. Throws FileError. */
export function resolvedFrom(file: string, path: string): string {
  const problem = pathProblem(path);
  if (problem !== undefined) throw new FileError(path, problem);
  return resolve(dirname(file), path);
}
