import { css, html } from "lit";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import { FilmDots, filmSize } from "../film-dots.ts";
import { shownProof } from "../view.ts";
import type { Viewport } from "../viewport.ts";
import { PanelElement } from "./panel-element.ts";
import { styled } from "./styled.ts";

/** Side of the squares that are drawn one after the other, in film pixels. */
const SIDE = 192;

/** What stands in the window of the films, in film pixels. */
interface Part {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The large picture as dots, at the films' own resolution; square by square, so that nobody waits for all of them. */
export class FilmView extends PanelElement {
  static override properties = { ...PanelElement.properties, viewport: { attribute: false } };
  protected override readonly news = ["change", "picture"] as const;
  declare viewport: Viewport;
  readonly #films = new FilmDots();
  /** What is drawn, or being drawn. */
  #shown = "";

  static override styles = css`
    :host {
      position: absolute;
      inset: 0;
      pointer-events: none;
    }
    canvas {
      position: absolute;
      image-rendering: pixelated;
    }
  `;

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#shown = "";
  }

  override render() {
    const part = this.#part();
    if (!part) return html``;
    const { left, top, scale } = this.viewport;
    const css = (scale * MM_PER_INCH) / this.store.job!.filmDpi;
    return html`<canvas
      width=${part.width}
      height=${part.height}
      aria-hidden="true"
      ${styled({
        left: `${left + part.x * css}px`,
        top: `${top + part.y * css}px`,
        width: `${part.width * css}px`,
        height: `${part.height * css}px`,
      })}
    ></canvas>`;
  }

  #part(): Part | undefined {
    const film = filmSize(this.store);
    if (!film) return undefined;
    const perMm = film.dpi / MM_PER_INCH;
    const { viewport } = this;
    const [x0, y0] = viewport.toPrint(0, 0).map((mm) => Math.max(0, Math.floor(mm * perMm))) as [
      number,
      number,
    ];
    const [x1, y1] = viewport.toPrint(viewport.window.width, viewport.window.height);
    const width = Math.min(film.width, Math.ceil(x1 * perMm)) - x0;
    const height = Math.min(film.height, Math.ceil(y1 * perMm)) - y0;
    return width > 0 && height > 0 ? { x: x0, y: y0, width, height } : undefined;
  }

  protected override updated(): void {
    const { job, view, edition, print } = this.store;
    const part = this.#part();
    const context = this.renderRoot.querySelector("canvas")?.getContext("2d");
    if (!job || !part || !context) return;
    const proof = shownProof(job, view, "now");
    const look = JSON.stringify([
      part,
      edition,
      view.mode,
      view.plate,
      view.plateAs,
      proof,
      [...print.shifts],
    ]);
    if (look === this.#shown) return;
    this.#shown = look;
    context.clearRect(0, 0, part.width, part.height);
    const squares: { readonly x: number; readonly y: number }[] = [];
    for (let y = 0; y < part.height; y += SIDE)
      for (let x = 0; x < part.width; x += SIDE) squares.push({ x, y });
    // From the middle outwards, where one looks.
    const far = ({ x, y }: { readonly x: number; readonly y: number }) =>
      Math.hypot(x + (SIDE - part.width) / 2, y + (SIDE - part.height) / 2);
    squares.sort((a, b) => far(b) - far(a));
    const next = () => {
      const square = squares.pop();
      if (!square || this.#shown !== look) return;
      const image = context.createImageData(SIDE, SIDE);
      const area = { x: part.x + square.x, y: part.y + square.y, side: SIDE };
      this.#films.draw(this.store, area, print.shifts, image.data);
      context.putImageData(image, square.x, square.y);
      setTimeout(next);
    };
    this.store.renderer.whenResting(next);
  }
}
customElements.define("film-view", FilmView);
