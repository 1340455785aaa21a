import { ArtworkError } from "./artwork-error.ts";
import type { Header, Size } from "./decoder.ts";
import { MAX_FILE_PIXELS, megapixels } from "./limits.ts";

/** Width and height once the picture is upright: orientations 5–8 lie on their side. */
export function uprightSize({ width, height, orientation }: Header): Size {
  return orientation >= 5 ? { width: height, height: width } : { width, height };
}

export function refuseTooManyPixels(file: string, { width, height }: Size): void {
  const pixels = width * height;
  if (pixels <= MAX_FILE_PIXELS) return;
  throw new ArtworkError(
    file,
    "too-large",
    `the file has ${width} × ${height} pixels (${megapixels(pixels)}), ` +
      `the limit is ${megapixels(MAX_FILE_PIXELS)}; save it at a lower resolution`,
  );
}

/** Turns whatever a decoder throws into one ArtworkError with the decoder's reason in it. */
export async function sound<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error);
    if (/exceeds (?:the )?pixel limit/i.test(said)) {
      const problem = `the file has more pixels than the limit of ${megapixels(MAX_FILE_PIXELS)}; save it at a lower resolution`;
      throw new ArtworkError(file, "too-large", problem, { cause: error });
    }
    if (/exceeds channel limit/i.test(said)) {
      const problem = "the picture has more than 5 channels (spot colours?); flatten it to RGB, grey or CMYK";
      throw new ArtworkError(file, "format", problem, { cause: error });
    }
    const problem = `the picture is damaged or cut short (${reason(said)}); export or copy it again`;
    throw new ArtworkError(file, "corrupt", problem, { cause: error });
  }
}

/** The last line that says something is the one nearest to the cause. */
export function reason(said: string): string {
  const lines = said.split("\n").map((line) => line.replace(/^Input buffer (?:has|contains) /, "").trim());
  const last = lines.filter(Boolean).at(-1) ?? "no reason given";
  return last.length > 160 ? `${last.slice(0, 160)}…` : last;
}
