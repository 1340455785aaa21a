import { fileState } from "../files/file-state.ts";
import type { Preview } from "../render/preview.ts";
import type { PreviewWork } from "./work-messages.ts";

const KEPT = 8;

/**
 * Whole pictures made last, without their bytes. An edit of an ink or a garment changes no plate: who holds the picture
 * already is told so at once, without asking the process that makes pictures.
 */
export class LatestPictures {
  readonly #made = new Map<string, Preview>();

  /** Has the picture made by `make`, unless the one that would be made is known, and held as a whole. */
  async of(work: PreviewWork, make: () => Promise<Preview>): Promise<Preview> {
    const key = await keyOf(work);
    const known = key === undefined ? undefined : this.#made.get(key);
    if (known && holds(work, known)) return known;
    const preview = await make();
    if (key !== undefined && !preview.glance) this.#keep(key, preview);
    return preview;
  }

  #keep(key: string, { artwork, plates }: Preview): void {
    this.#made.delete(key);
    if (this.#made.size >= KEPT) this.#made.delete(this.#made.keys().next().value!);
    this.#made.set(key, { artwork: unpacked(artwork), plates: plates.map(unpacked) });
  }
}

/** All that the picture depends on; undefined where it is a piece, of a commit's artwork, or of one that is not there. */
async function keyOf({ plan, widthMm, artwork, piece }: PreviewWork): Promise<string | undefined> {
  if (piece || artwork.blob !== undefined) return undefined;
  const state = await fileState(artwork.file);
  return state && JSON.stringify([artwork.file, state, widthMm, plan]);
}

function holds({ held }: PreviewWork, { artwork, plates }: Preview): boolean {
  return held.artwork === artwork.key && plates.every(({ name, key }) => held.plates[name] === key);
}

function unpacked<T extends { readonly bytes?: Uint8Array; readonly differsFrom?: string }>(part: T) {
  const { bytes: _, differsFrom: _of, ...rest } = part;
  return rest;
}
