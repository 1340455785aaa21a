import { css, html, LitElement } from "lit";
import { filmColour } from "../pixels/film.ts";
import type { Store } from "../store.ts";

/** Longer side, in pixels of the picture; shown at half that. */
const SIDE = 88;

/** A small picture of a plate as its film: what prints is dark, on any garment. */
export class PlateThumbnail extends LitElement {
  static override properties = {
    store: { attribute: false },
    plate: { attribute: false },
    edition: { attribute: false },
  };
  declare store: Store;
  declare plate: string;
  /** Changes with all that the picture is made of. */
  declare edition: string;
  #shown = "";

  static override styles = css`
    :host {
      flex: none;
      display: grid;
      width: 28px;
      height: 32px;
      place-items: center;
    }
    canvas {
      max-width: 100%;
      max-height: 100%;
      border-radius: 2px;
      outline: 1px solid var(--vscode-contrastBorder, color-mix(in srgb, var(--vscode-foreground) 18%, transparent));
    }
  `;

  override render() {
    return html`<canvas width="1" height="1" aria-hidden="true"></canvas>`;
  }

  protected override updated(): void {
    // The large picture goes first.
    this.store.renderer.whenResting(() => this.#paint());
  }

  #paint(): void {
    const { renderer } = this.store;
    const picture = renderer.picture("now");
    const tones = picture?.plates.get(this.plate);
    const canvas = this.renderRoot.querySelector("canvas");
    if (!picture || !tones || !canvas) return;
    if (this.edition === this.#shown) return;
    this.#shown = this.edition;
    const shrink = Math.max(1, Math.max(picture.width, picture.height) / SIDE);
    const width = Math.max(1, Math.round(picture.width / shrink));
    const height = Math.max(1, Math.round(picture.height / shrink));
    const small = downscaled(tones, picture.width, picture.height, width, height);
    const image = new ImageData(width, height);
    for (const [i, tone] of small.entries()) image.data.set(filmColour(tone), i * 4);
    canvas.width = width;
    canvas.height = height;
    canvas.getContext("2d")?.putImageData(image, 0, 0);
  }
}
customElements.define("plate-thumbnail", PlateThumbnail);

/** Means over the pixels that each small one stands for. */
export function downscaled(
  tones: Uint8Array,
  width: number,
  height: number,
  w: number,
  h: number,
): Uint8Array {
  const out = new Uint8Array(w * h);
  for (let y = 0; y < h; y++) {
    const y0 = Math.floor((y * height) / h);
    const y1 = Math.max(y0 + 1, Math.floor(((y + 1) * height) / h));
    for (let x = 0; x < w; x++) {
      const x0 = Math.floor((x * width) / w);
      const x1 = Math.max(x0 + 1, Math.floor(((x + 1) * width) / w));
      let sum = 0;
      for (let v = y0; v < y1; v++) for (let u = x0; u < x1; u++) sum += tones[v * width + u]!;
      out[y * w + x] = Math.round(sum / ((x1 - x0) * (y1 - y0)));
    }
  }
  return out;
}
