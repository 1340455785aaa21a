import { fileState } from "../files/file-state.ts";
import { isHeld, type Preview, withoutBytes } from "../wire/preview.ts";
import type { PreviewWork } from "./work-messages.ts";

const KEPT = 8;

/**
 * Whole previews made last, without their bytes. An edit of an ink or a garment changes no plate: who holds the picture
 * already is told so at once, without asking the process that makes pictures.
 */
export class LatestPreviews {
  readonly #made = new Map<string, Preview<never>>();

  /** Has the preview made by `make`, unless the one that would be made is known, and held as a whole. */
  async of(work: PreviewWork, make: () => Promise<Preview<Uint8Array>>): Promise<Preview<Uint8Array>> {
    const key = await keyOf(work);
    const known = key === undefined ? undefined : this.#made.get(key);
    if (known && isHeld(known, work.held)) return known;
    const preview = await make();
    if (key !== undefined && !preview.lowResolution) this.#keep(key, withoutBytes(preview));
    return preview;
  }

  #keep(key: string, preview: Preview<never>): void {
    this.#made.delete(key);
    if (this.#made.size >= KEPT) this.#made.delete(this.#made.keys().next().value!);
    this.#made.set(key, preview);
  }
}

/** All that the preview depends on; undefined where it is a crop, of a commit's artwork, or of one that is not there. */
async function keyOf({ plan, widthMm, artwork, crop }: PreviewWork): Promise<string | undefined> {
  if (crop || artwork.blob !== undefined) return undefined;
  const states: string[] = [];
  for (const { file } of [artwork, ...(artwork.plates ?? [])]) {
    const state = await fileState(file);
    if (state === undefined) return undefined;
    states.push(state);
  }
  return JSON.stringify([artwork, states, widthMm, plan]);
}
