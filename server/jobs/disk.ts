import { access } from "node:fs/promises";
import { relative } from "node:path";
import { isInside, type Within } from "../files/boundary.ts";
import { resolvedFrom } from "../files/paths.ts";
import { readText } from "../files/read.ts";
import { OUTSIDE } from "../language/outside.ts";
import { FileError } from "../language/project.ts";
import type { JobFiles } from "./open.ts";

/** Files on disk, as a command line without an editor sees them. */
export function diskWithin(within: Within): JobFiles {
  return {
    readText: (file) => readText(file, within),

    async exists(file) {
      if (!(await isInside(file, within))) throw new FileError(file, OUTSIDE);
      return access(file).then(
        () => true,
        () => false,
      );
    },

    /** Relative to the working folder where that is shorter, as the user would type it. */
    resolve(fromFile, path) {
      const absolute = resolvedFrom(fromFile, path);
      const short = relative(process.cwd(), absolute);
      return short.startsWith("..") || short === "" ? absolute : short;
    },

    artwork: async (file) => ({ file, within }),
    within,
  };
}

export const disk = diskWithin(undefined);
