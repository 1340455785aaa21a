import { css, html, nothing } from "lit";
import type { Point } from "../../../server/engine/plan.ts";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import { lengthIn, lengthText, listed } from "../../../server/language/words.ts";
import type { Painted } from "../painted.ts";
import type { WorstPlace } from "../pixels/worst-places.ts";
import { isOnePrint } from "../seen-print.ts";
import { slipAt, slipText } from "../slips.ts";
import { shownProof } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { fineText } from "./wording.ts";

/** Tone from which a plate is named at a place. */
const PRINTS = 12;

/** Where the proof is farthest from the artwork, or one print from the same in register: what prints there, and the way to it. */
export class WorstPlaces extends PanelElement {
  #places: readonly WorstPlace[] = [];

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        padding: 0 8px 12px;
      }
      h2 {
        margin: 8px 6px 4px;
        font-size: 11px;
        font-weight: 600;
      }
      p {
        margin: 0 6px 4px;
      }
      ol {
        margin: 0;
        padding: 0;
        list-style: none;
      }
      button {
        display: grid;
        grid-template-columns: auto 34px minmax(0, 1fr);
        gap: 6px;
        width: 100%;
        padding: 1px 6px;
        text-align: left;
      }
      button:hover {
        background: var(--vscode-list-hoverBackground);
      }
      b {
        text-align: right;
      }
      button span {
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
    `,
  ];

  protected override firstUpdated(): void {
    this.store.addEventListener("painted", this.#painted);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.store.removeEventListener("painted", this.#painted);
  }

  readonly #painted = (event: Event): void => {
    this.#places = (event as CustomEvent<Painted>).detail.worst;
    this.requestUpdate();
  };

  override render() {
    const { job, view, placed, print } = this.store;
    if (!job || !placed || this.#places.length === 0) return nothing;
    const one = isOnePrint(view, print);
    return html`<h2 id="title">${one ? "Worst edges of this print, ΔE00 to one in register" : "Worst places, ΔE00"}</h2>
      ${one ? this.#moved() : nothing}<ol aria-labelledby="title" class="figures">
      ${this.#places.map((place, i) => {
        const at: Point = [(place.x * MM_PER_INCH) / placed.ppi, (place.y * MM_PER_INCH) / placed.ppi];
        const where = `${lengthIn(at[0], job.unit)}, ${lengthText(at[1], job.unit)}`;
        const what = one ? this.#slip(place) : listed(this.#printing(place)) || "no plate";
        return html`<li><button
          title="Goes to ${where}"
          @click=${() => this.#jump(at)}
        ><span class="quiet">${i + 1}</span><b>${place.difference.toFixed(1)}</b><span>${what}</span></button></li>`;
      })}
    </ol>`;
  }

  /** How far the plate lies off that keys move. */
  #moved() {
    const { job, print, moving } = this.store;
    if (!job || moving === undefined) return nothing;
    return html`<p class="figures" role="status">${moving} lies off by ${fineText(print.shifts.get(moving) ?? [0, 0], job.unit)}</p>`;
  }

  /** Pins a place, in the middle where only a part of the print is seen. */
  #jump([x, y]: Point): void {
    const { store } = this;
    store.point = { x, y };
    store.pinned = true;
    store.reasons = undefined;
    if (store.view.scale === null) store.changed();
    else store.setView({ centre: [x, y] });
  }

  /** What the print shows there. */
  #slip(place: WorstPlace): string {
    const { job, view, renderer } = this.store;
    const [inRegister, print] = [renderer.picture("now"), renderer.picture("slid")];
    const proof = job && shownProof(job, view, "now");
    if (!proof || !inRegister || !print) return "";
    const stations = proof.stations.map(({ plate }) => ({
      plate,
      isBase: job.plates.find(({ name }) => name === plate)?.purpose === "underbase",
    }));
    return slipText(slipAt(inRegister, print, inRegister.width, stations, place));
  }

  /** The plates that print there, the fullest first; the underbase last, which prints nearly everywhere. */
  #printing({ x, y }: WorstPlace): string[] {
    const { job, renderer } = this.store;
    const picture = renderer.picture("now");
    if (!job || !picture) return [];
    const i =
      Math.min(picture.height - 1, Math.floor(y)) * picture.width +
      Math.min(picture.width - 1, Math.floor(x));
    const base = (name: string) =>
      job.plates.find((plate) => plate.name === name)?.purpose === "underbase" ? 1 : 0;
    return [...picture.plates]
      .filter(([, tones]) => tones[i]! >= PRINTS)
      .sort(([a, one], [b, other]) => base(a) - base(b) || other[i]! - one[i]!)
      .map(([name]) => name);
  }
}
customElements.define("worst-places", WorstPlaces);
