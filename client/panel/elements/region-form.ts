import "@vscode-elements/elements/dist/vscode-button/index.js";
import { css, html, nothing, svg } from "lit";
import { curveFunction } from "../../../server/engine/adjust/curve.ts";
import type { Region } from "../../../server/engine/plan.ts";
import { lengthText } from "../../../server/language/words.ts";
import type { PanelEdit } from "../../../server/wire/panel.ts";
import type { RegionShape } from "../region-draft.ts";
import { shownPlate } from "../view.ts";
import "./choice-bar.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";

const SHAPES: readonly { readonly value: RegionShape; readonly label: string; readonly hint: string }[] = [
  { value: "rectangle", label: "Rectangle", hint: "From one corner to the other" },
  { value: "ellipse", label: "Ellipse", hint: "Inside of the box that is drawn" },
  { value: "polygon", label: "Outline", hint: "Corner by corner; a double click or Shift+Enter closes it" },
];
/** Side of the curve's picture. */
const SIDE = 84;

/** What a drawn region is to do: which plate it adjusts, and how much. Seen at once, written when the user says so. */
export class RegionForm extends PanelElement {
  static override properties = {
    ...PanelElement.properties,
    region: { attribute: false },
    shape: { attribute: false },
    feather: { attribute: false },
  };
  /** Undefined until it is drawn. */
  declare region: Region | undefined;
  declare shape: RegionShape;
  /** Millimetres. */
  declare feather: number;
  #plate: string | undefined;
  #middle = 60;
  /** What the picture shows already. */
  #tried = "";

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        grid-template-columns: auto minmax(90px, 1fr) 44px ${SIDE}px;
        align-items: center;
        gap: 6px 8px;
        width: 420px;
        max-width: 100%;
        padding: 8px 12px 10px;
        border-radius: 4px;
        border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-editorWidget-background);
        color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
        box-shadow: 0 2px 8px var(--vscode-widget-shadow, transparent);
      }
      choice-bar {
        grid-column: 1 / -1;
      }
      svg {
        grid-column: 4;
        grid-row: 2 / 5;
        border: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, currentColor));
      }
      path {
        fill: none;
        stroke: currentColor;
      }
      path.straight {
        stroke-dasharray: 2 3;
        opacity: 0.6;
      }
      path.curve {
        stroke-width: 1.8;
      }
      select {
        grid-column: 2 / 4;
        font: inherit;
        min-width: 0;
        padding: 3px;
        color: var(--vscode-dropdown-foreground);
        background: var(--vscode-dropdown-background);
        border: 1px solid var(--vscode-dropdown-border, var(--vscode-contrastBorder, transparent));
      }
      input {
        min-width: 0;
        width: 100%;
        accent-color: var(--vscode-progressBar-background);
      }
      output {
        text-align: right;
      }
      @container (max-width: 400px) {
        form {
          grid-template-columns: auto minmax(60px, 1fr) auto;
        }
        svg {
          display: none;
        }
        .do {
          flex-wrap: wrap;
        }
        .do .quiet {
          flex-basis: 100%;
        }
      }
      .do {
        grid-column: 1 / -1;
        display: flex;
        align-items: center;
        gap: 8px;
        justify-content: flex-end;
      }
      .do .quiet {
        margin-right: auto;
      }
    `,
  ];

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    if (this.#tried !== "") this.store.host.post({ kind: "try" });
    this.#tried = "";
  }

  override render() {
    const { job } = this.store;
    if (!job) return html``;
    const plate = this.#chosen();
    return html`<form aria-label="Adjust tone here" @submit=${(e: Event) => e.preventDefault()}>
      <choice-bar
        label="Shape"
        .choices=${SHAPES}
        .value=${this.shape}
        @choose=${(e: CustomEvent<RegionShape>) => this.dispatchEvent(new CustomEvent("shape", { detail: e.detail }))}
      ></choice-bar>
      <label for="plate">Plate</label>
      <select id="plate" @change=${(e: Event) => this.#choose((e.target as HTMLSelectElement).value)}>
        ${job.plates.map(({ name }) => html`<option value=${name} ?selected=${name === plate}>${name}</option>`)}
      </select>
      ${this.#curve()}
      <label for="middle">50 % becomes</label>
      <input
        id="middle" type="range" min="0" max="100" .value=${String(this.#middle)}
        @input=${(e: Event) => this.#set(Number((e.target as HTMLInputElement).value))}
      />
      <output class="figures" for="middle">${this.#middle} %</output>
      <label for="feather">Feather</label>
      <input
        id="feather" type="range" min="0" max="30" .value=${String(this.feather)}
        @input=${(e: Event) => this.dispatchEvent(new CustomEvent("feather", { detail: Number((e.target as HTMLInputElement).value) }))}
      />
      <output class="figures" for="feather">${lengthText(this.feather, job.unit)}</output>
      <div class="do">
        ${this.region ? nothing : html`<span class="quiet">Draw it in the picture.</span>`}
        <vscode-button secondary @click=${() => this.dispatchEvent(new Event("done"))}>Discard</vscode-button>
        <vscode-button ?disabled=${!this.region} @click=${() => this.#write()}>Write into recipe</vscode-button>
      </div>
    </form>`;
  }

  /** Tone to tone, from clear at the left and below to solid. */
  #curve() {
    const at = curveFunction(curveOf(this.#middle));
    const points = Array.from({ length: 33 }, (_, i) => {
      const tone = i / 32;
      return `${(tone * SIDE).toFixed(1)} ${(SIDE - at(tone) * SIDE).toFixed(1)}`;
    });
    return html`<svg viewBox="0 0 ${SIDE} ${SIDE}" width=${SIDE} height=${SIDE} role="img" aria-label="Curve: 50 % becomes ${this.#middle} %">
      ${svg`<path class="straight" d="M0 ${SIDE}L${SIDE} 0"></path><path class="curve" d="M${points.join("L")}"></path>`}
    </svg>`;
  }

  protected override updated(): void {
    // It may be drawn once more after it was taken away.
    if (!this.isConnected) return;
    const edit = this.#edit();
    const tried = edit ? JSON.stringify(edit) : "";
    if (tried === this.#tried) return;
    this.#tried = tried;
    this.store.host.post({ kind: "try", ...(edit ? { edit } : {}) });
  }

  #chosen(): string {
    const { job, view } = this.store;
    return this.#plate ?? (job && shownPlate(job, view)) ?? "";
  }

  #edit(): PanelEdit | undefined {
    const { region } = this;
    return region && { kind: "adjust", plate: this.#chosen(), region, middle: this.#middle };
  }

  #choose(plate: string): void {
    this.#plate = plate;
    this.requestUpdate();
  }

  #set(middle: number): void {
    this.#middle = middle;
    this.requestUpdate();
  }

  #write(): void {
    const edit = this.#edit();
    if (!edit) return;
    this.#tried = "";
    this.store.host.post({ kind: "edit", edit });
    this.dispatchEvent(new Event("done"));
  }
}
customElements.define("region-form", RegionForm);

function curveOf(middle: number): [number, number][] {
  return [
    [0, 0],
    [0.5, middle / 100],
    [1, 1],
  ];
}
