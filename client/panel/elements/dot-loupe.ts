import { css, html, nothing } from "lit";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import { type DotPlate, Dots, type FilmSize, printDots } from "../pixels/dots.ts";
import { shownPlate, shownProof } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";

/** Film pixels across the loupe, and its size on the screen in CSS pixels. */
const SIDE = 180;
const SHOWN = 252;

/** A loupe over the place under the probe: the dots of the films, at their ruling, angle and resolution. */
export class DotLoupe extends PanelElement {
  readonly #dots = new Dots();

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        padding: 6px;
        border-radius: 6px;
        border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-editorWidget-background);
        color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
        box-shadow: 0 2px 8px var(--vscode-widget-shadow, transparent);
      }
      canvas {
        display: block;
        width: ${SHOWN}px;
        height: ${SHOWN}px;
        image-rendering: pixelated;
        border-radius: 3px;
      }
      p {
        margin: 4px 0 0;
        max-width: ${SHOWN}px;
        font-size: 11px;
      }
    `,
  ];

  override render() {
    const { job, point } = this.store;
    if (!job) return nothing;
    const text = point ? this.#about() : "Point at the picture to see its dots.";
    return html`<canvas width=${SIDE} height=${SIDE} role="img" aria-label="Dots of the films under the probe"></canvas>
      <p class="quiet">${text}</p>`;
  }

  #about(): string {
    const { job, view } = this.store;
    const plate =
      job && view.mode === "plate"
        ? job.plates.find(({ name }) => name === shownPlate(job, view))
        : job?.plates[0];
    if (!job || !plate) return "";
    const { screening } = plate;
    const how =
      screening.method === "am"
        ? `${Number(screening.rulingLpi.toFixed(1))} lpi, ${screening.angle}°, ${screening.dot}`
        : `${screening.method}, ${screening.grainMm} mm`;
    const mm = ((SIDE * MM_PER_INCH) / job.filmDpi).toFixed(1);
    return `${view.mode === "plate" ? `${plate.name}: ${how}` : how}; ${job.filmDpi} dpi, ${mm} mm across`;
  }

  protected override updated(): void {
    const canvas = this.renderRoot.querySelector("canvas");
    const context = canvas?.getContext("2d");
    if (!context) return;
    const image = context.createImageData(SIDE, SIDE);
    this.#draw(image.data);
    context.putImageData(image, 0, 0);
  }

  #draw(rgba: Uint8ClampedArray): void {
    const { job, view, point, placed, renderer } = this.store;
    const picture = renderer.picture("now");
    if (!job || !point || !placed || !picture) return;
    const perMm = job.filmDpi / MM_PER_INCH;
    const film: FilmSize = {
      dpi: job.filmDpi,
      width: Math.max(1, Math.round(job.widthMm * perMm)),
      height: Math.max(1, Math.round(placed.heightMm * perMm)),
    };
    const area = {
      x: Math.round(point.x * perMm - SIDE / 2),
      y: Math.round(point.y * perMm - SIDE / 2),
      side: SIDE,
    };
    const dotsOf = (name: string) => {
      const tones = picture.plates.get(name);
      const plate = job.plates.find((other) => other.name === name);
      if (!tones || !plate) return undefined;
      const dotted: DotPlate = { ...plate, key: picture.keys.plates[name], tones };
      return this.#dots.of(dotted, picture.width, picture.height, film, area);
    };
    const alone = view.mode === "plate" ? shownPlate(job, view) : undefined;
    if (alone !== undefined && view.plateAs === "film") {
      const dots = dotsOf(alone);
      for (let i = 0; i < SIDE * SIDE; i++)
        rgba.set(dots?.[i] ? [17, 17, 17, 255] : [238, 241, 242, 255], i * 4);
      return;
    }
    const proof = shownProof(job, view, "now");
    if (!proof) return;
    const stations = proof.stations.filter(({ plate }) => alone === undefined || plate === alone);
    printDots({ ...proof, stations }, dotsOf, rgba);
  }
}
customElements.define("dot-loupe", DotLoupe);
