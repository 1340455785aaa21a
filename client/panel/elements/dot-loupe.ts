import { css, html, nothing } from "lit";
import { PrintToPrint } from "../../../server/engine/print/steadiness.ts";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import { lengthText } from "../../../server/language/words.ts";
import { FilmDots } from "../film-dots.ts";
import { printModel } from "../pixels/print-model.ts";
import { shownPlate, shownProof } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import "./print-bar.ts";
import { movePlate } from "./stage-hand.ts";
import { fineText, rulingText } from "./wording.ts";

/** Film pixels across the loupe, and its size on the screen in CSS pixels. */
const SIDE = 180;
const SHOWN = 252;

/**
 * A loupe over the place under the probe: the dots of the films in print order, at their ruling, angle and resolution, in
 * register or as the screens of one print lie.
 */
export class DotLoupe extends PanelElement {
  readonly #films = new FilmDots();
  #seen: { readonly x: number; readonly y: number } | undefined;

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
      .print {
        display: flex;
        flex-wrap: wrap;
        gap: 2px;
        margin-top: 4px;
        max-width: ${SHOWN}px;
      }
      p {
        margin: 4px 0 0;
        max-width: ${SHOWN}px;
        font-size: 11px;
      }
    `,
  ];

  override render() {
    const { job } = this.store;
    if (!job) return nothing;
    const text = this.#place() ? this.#about() : "Point at the picture to see its dots.";
    return html`<canvas
        width=${SIDE}
        height=${SIDE}
        role="img"
        tabindex="0"
        aria-label="Dots of the films under the probe"
        @keydown=${(event: KeyboardEvent) => this.#key(event)}
      ></canvas>
      <print-bar class="print" .store=${this.store} .kinds=${["register", "one"]}></print-bar>
      <p class="quiet">${text}</p>`;
  }

  /** Where the probe is, or was before the pointer went to the loupe's own buttons. */
  #place(): { readonly x: number; readonly y: number } | undefined {
    this.#seen = this.store.point ?? this.#seen;
    return this.#seen;
  }

  #key(event: KeyboardEvent): void {
    if (!movePlate(this.store, event.key)) return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** How the colour under the probe changes from print to print, in words. */
  #steadiness(): string {
    const { job, view, placed, renderer } = this.store;
    const point = this.#place();
    const picture = renderer.picture("now");
    const proof = job && shownProof(job, view, "now");
    if (!proof || !picture || !point || !placed) return "";
    const x = Math.floor((point.x / MM_PER_INCH) * placed.ppi);
    const y = Math.floor((point.y / MM_PER_INCH) * placed.ppi);
    if (x < 0 || y < 0 || x >= picture.width || y >= picture.height) return "";
    const stations = proof.stations.filter(({ plate }) => picture.plates.has(plate));
    const print = printModel(proof.conditions, stations);
    if (!print.table) return "";
    const i = y * picture.width + x;
    const areas = stations.map(({ plate }, s) => print.areas[s]![picture.plates.get(plate)![i]!]!);
    const change = new PrintToPrint(print, proof.conditions.n).look(areas);
    return `; varies by ${change.toFixed(1)} ΔE00 from print to print`;
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
        ? `${rulingText(screening.rulingLpi, job.unit)}, ${screening.angle}°, ${screening.dot}`
        : `${screening.method}, ${fineText([screening.grainMm], job.unit)}`;
    const across = lengthText((SIDE * MM_PER_INCH) / job.filmDpi, job.unit);
    return `${view.mode === "plate" ? `${plate.name}: ${how}` : how}; ${job.filmDpi} dpi, ${across} across${view.mode === "plate" ? "" : this.#steadiness()}`;
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
    const { job, print } = this.store;
    const point = this.#place();
    if (!job || !point) return;
    const perMm = job.filmDpi / MM_PER_INCH;
    const area = {
      x: Math.round(point.x * perMm - SIDE / 2),
      y: Math.round(point.y * perMm - SIDE / 2),
      side: SIDE,
    };
    this.#films.draw(this.store, area, print.shifts, rgba);
  }
}
customElements.define("dot-loupe", DotLoupe);
