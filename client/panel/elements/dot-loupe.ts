import { css, html, nothing } from "lit";
import { PRINTS, PrintToPrint } from "../../../server/engine/print/steadiness.ts";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import { type DotPlate, Dots, type FilmSize, printDots } from "../pixels/dots.ts";
import { filmColour } from "../pixels/film.ts";
import { printModel } from "../pixels/print-model.ts";
import { movedBy, type PlateShifts, shiftsOfDraw } from "../register-shift.ts";
import { shownPlate, shownProof } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";

/** Film pixels across the loupe, and its size on the screen in CSS pixels. */
const SIDE = 180;
const SHOWN = 252;

/**
 * A loupe over the place under the probe: the dots of the films in print order, at their ruling, angle and resolution, in
 * register or as the screens of one print lie.
 */
export class DotLoupe extends PanelElement {
  static override properties = {
    ...PanelElement.properties,
    draw: { state: true },
    shifts: { state: true },
    moving: { state: true },
  };
  /** Which of the prints is seen; undefined in register. */
  declare draw: number | undefined;
  declare shifts: PlateShifts;
  /** The plate that arrow keys move. */
  declare moving: string | undefined;
  readonly #dots = new Dots();
  #seen: { readonly x: number; readonly y: number } | undefined;

  constructor() {
    super();
    this.draw = undefined;
    this.shifts = new Map();
  }

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
      .print button[aria-pressed="true"] {
        background: var(--vscode-inputOption-activeBackground);
        color: var(--vscode-inputOption-activeForeground, inherit);
        border-color: var(--vscode-inputOption-activeBorder, transparent);
      }
      label {
        display: flex;
        align-items: center;
        gap: 6px;
        padding: 0 8px;
      }
      select {
        font: inherit;
        color: var(--vscode-dropdown-foreground);
        background: var(--vscode-dropdown-background);
        border: 1px solid var(--vscode-dropdown-border, var(--vscode-contrastBorder, transparent));
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
      <div class="print" role="group" aria-label="Register">
        <button aria-pressed=${this.shifts.size === 0} title="All screens in register" @click=${() => this.#show(undefined)}>In register</button>
        <button title="Previous print" aria-label="Previous print" @click=${() => this.#show(((this.draw ?? 0) + PRINTS - 1) % PRINTS)}>‹</button>
        <button
          aria-pressed=${this.draw !== undefined}
          title="One print, its screens off as far as the shop's misregistration allows"
          @click=${() => this.#show(this.draw ?? 0)}
        >${this.draw === undefined ? "One print" : `Print ${this.draw + 1} of ${PRINTS}`}</button>
        <button title="Next print" aria-label="Next print" @click=${() => this.#show(this.draw === undefined ? 0 : (this.draw + 1) % PRINTS)}>›</button>
        <label title="Click the dots: each arrow key then moves this plate by 0.01 mm">Arrow keys move
          <select @change=${(event: Event) => this.#choose(event)}>
            ${this.#plates().map((plate) => html`<option ?selected=${plate === this.#moving()}>${plate}</option>`)}
          </select>
        </label>
      </div>
      <p class="quiet">${text}</p>`;
  }

  /** Where the probe is, or was before the pointer went to the loupe's own buttons. */
  #place(): { readonly x: number; readonly y: number } | undefined {
    this.#seen = this.store.point ?? this.#seen;
    return this.#seen;
  }

  #plates(): string[] {
    const { job, view } = this.store;
    return (job && shownProof(job, view, "now")?.stations.map(({ plate }) => plate)) ?? [];
  }

  #moving(): string | undefined {
    const plates = this.#plates();
    return plates.find((plate) => plate === this.moving) ?? plates.at(-1);
  }

  #choose(event: Event): void {
    this.moving = (event.target as HTMLSelectElement).value;
  }

  #show(draw: number | undefined): void {
    const { job } = this.store;
    if (!job) return;
    this.draw = draw;
    this.shifts = shiftsOfDraw(this.#plates(), draw, job.misregistrationMm);
  }

  #key(event: KeyboardEvent): void {
    const plate = this.#moving();
    const shifts = plate === undefined ? undefined : movedBy(this.shifts, plate, event.key);
    if (!shifts) return;
    event.preventDefault();
    event.stopPropagation();
    this.shifts = shifts;
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
        ? `${Number(screening.rulingLpi.toFixed(1))} lpi, ${screening.angle}°, ${screening.dot}`
        : `${screening.method}, ${screening.grainMm} mm`;
    const mm = ((SIDE * MM_PER_INCH) / job.filmDpi).toFixed(1);
    return `${view.mode === "plate" ? `${plate.name}: ${how}` : how}; ${job.filmDpi} dpi, ${mm} mm across${view.mode === "plate" ? "" : this.#steadiness()}`;
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
    const { job, view, placed, renderer } = this.store;
    const point = this.#place();
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
      const [dx, dy] = this.shifts.get(name) ?? [0, 0];
      const there = { ...area, x: area.x - Math.round(dx * perMm), y: area.y - Math.round(dy * perMm) };
      return this.#dots.of(dotted, picture.width, picture.height, film, there);
    };
    const alone = view.mode === "plate" ? shownPlate(job, view) : undefined;
    if (alone !== undefined && view.plateAs === "film") {
      const dots = dotsOf(alone);
      for (let i = 0; i < SIDE * SIDE; i++) rgba.set(filmColour(dots?.[i] ? 255 : 0), i * 4);
      return;
    }
    const proof = shownProof(job, view, "now");
    if (!proof) return;
    const stations = proof.stations.filter(({ plate }) => alone === undefined || plate === alone);
    printDots({ ...proof, stations }, dotsOf, rgba);
  }
}
customElements.define("dot-loupe", DotLoupe);
