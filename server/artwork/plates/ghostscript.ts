import { execFile } from "node:child_process";
import { mkdtemp, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { programOnPath } from "../../files/program.ts";
import { ArtworkError } from "../artwork-error.ts";
import type { Size } from "../decoder.ts";
import { MAX_FILE_BYTES, MAX_FILE_PIXELS } from "../limits.ts";

/** A page to be drawn ink by ink. */
export interface PageToDraw {
  readonly bytes: Uint8Array;
  /** From 1. */
  readonly page: number;
  /** The box of the page that is drawn, and its size in points as it stands upright. */
  readonly box: "TrimBox" | "CropBox" | "MediaBox";
  readonly points: Size;
}

/** How long Ghostscript may take for a page. */
const DEADLINE_MS = 120_000;
/** Pixels drawn for each pixel wanted, along each side: edges come as shares of a pixel. */
const FINER = 4;

/**
 * A page's separations by colorant, as grey TIFFs in which black is solid, of about `size` pixels, drawn by an installed
 * Ghostscript: by absolute path, in a folder of its own, with no access to other files (-dSAFER), with a deadline.
 * Throws ArtworkError, also where there is none.
 */
export async function drawnSeparations(
  file: string,
  { bytes, page, box, points }: PageToDraw,
  size: Size,
): Promise<Map<string, Uint8Array>> {
  const program = await programOnPath("gs", "gswin64c.exe");
  if (program === undefined)
    throw new ArtworkError(
      file,
      "format",
      "this separation holds drawings or text, which Ghostscript draws, and there is none on this machine; install Ghostscript, or ask for the plate as a TIFF",
    );
  const finer = [FINER, 2, 1].find((f) => size.width * size.height * f * f <= MAX_FILE_PIXELS) ?? 1;
  const resolution = (["width", "height"] as const).map((side) =>
    ((size[side] * 72 * finer) / points[side]).toFixed(4),
  );
  const folder = await mkdtemp(join(tmpdir(), "platewright-"));
  try {
    await writeFile(join(folder, "page.pdf"), bytes);
    await run(file, program, folder, [
      "-q",
      "-dSAFER",
      "-dBATCH",
      "-dNOPAUSE",
      "-dNOPROMPT",
      "-sDEVICE=tiffsep",
      "-sCompression=lzw",
      ...(box === "MediaBox" ? [] : [`-dUse${box}`]),
      `-r${resolution.join("x")}`,
      `-dDownScaleFactor=${finer}`,
      `-dFirstPage=${page}`,
      `-dLastPage=${page}`,
      "-sOutputFile=plate.tif",
      "page.pdf",
    ]);
    const made = new Map<string, Uint8Array>();
    for (const name of await readdir(folder)) {
      // The name stands in brackets, its signs as a URL has them.
      const colorant = /^plate\((.+)\)\.tif$/.exec(name)?.[1];
      if (colorant === undefined || (await stat(join(folder, name))).size > MAX_FILE_BYTES) continue;
      made.set(unquoted(colorant), await readFile(join(folder, name)));
    }
    return made;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function unquoted(name: string): string {
  try {
    return decodeURIComponent(name);
  } catch {
    return name;
  }
}

function run(file: string, program: string, folder: string, args: readonly string[]): Promise<void> {
  const { GS_OPTIONS: _, GS_LIB: __, ...env } = process.env;
  return new Promise((done, fail) => {
    execFile(
      program,
      [...args],
      {
        cwd: folder,
        env,
        timeout: DEADLINE_MS,
        killSignal: "SIGKILL",
        maxBuffer: 1 << 20,
        windowsHide: true,
      },
      (error) => {
        if (!error) return done();
        const late = error.killed === true;
        const problem = late
          ? `Ghostscript takes longer than ${DEADLINE_MS / 60_000} minutes for this page; ask for the plate as a TIFF`
          : "Ghostscript cannot draw this page; export the PDF again, or ask for the plate as a TIFF";
        fail(new ArtworkError(file, late ? "too-large" : "corrupt", problem, { cause: error }));
      },
    ).stdin?.end();
  });
}
