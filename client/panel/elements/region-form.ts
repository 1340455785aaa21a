import "@vscode-elements/elements/dist/vscode-button/index.js";
import { css, html } from "lit";
import type { Region } from "../../../server/engine/plan.ts";
import { shownPlate } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";

/** What a drawn region is to do: which plate it adjusts, and how much. Writes it into the recipe. */
export class RegionForm extends PanelElement {
  static override properties = { ...PanelElement.properties, region: { attribute: false } };
  declare region: Region;
  #plate: string | undefined;
  #middle = 60;

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        grid-template-columns: auto minmax(90px, 1fr) 44px;
        align-items: center;
        gap: 6px 8px;
        width: 300px;
        max-width: 100%;
        padding: 10px 12px;
        border-radius: 4px;
        border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-editorWidget-background);
        color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
        box-shadow: 0 2px 8px var(--vscode-widget-shadow, transparent);
      }
      select {
        grid-column: 2 / -1;
        font: inherit;
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
      .do {
        grid-column: 1 / -1;
        display: flex;
        gap: 8px;
        justify-content: flex-end;
      }
    `,
  ];

  override render() {
    const { job, view } = this.store;
    if (!job) return html``;
    const plate = this.#plate ?? shownPlate(job, view) ?? "";
    return html`<form aria-label="Adjust a region" @submit=${(e: Event) => e.preventDefault()}>
      <label for="plate">Plate</label>
      <select id="plate" @change=${(e: Event) => this.#choose((e.target as HTMLSelectElement).value)}>
        ${job.plates.map(({ name }) => html`<option value=${name} ?selected=${name === plate}>${name}</option>`)}
      </select>
      <label for="middle">50 % becomes</label>
      <input
        id="middle" type="range" min="0" max="100" .value=${String(this.#middle)}
        @input=${(e: Event) => this.#set(Number((e.target as HTMLInputElement).value))}
      />
      <output class="figures" for="middle">${this.#middle} %</output>
      <label for="feather">Feather</label>
      <input
        id="feather" type="range" min="0" max="30" .value=${String(this.region.feather)}
        @input=${(e: Event) => this.dispatchEvent(new CustomEvent("feather", { detail: Number((e.target as HTMLInputElement).value) }))}
      />
      <output class="figures" for="feather">${this.region.feather} mm</output>
      <div class="do">
        <vscode-button secondary @click=${() => this.dispatchEvent(new Event("done"))}>Discard</vscode-button>
        <vscode-button @click=${() => this.#write(plate)}>Write into recipe</vscode-button>
      </div>
    </form>`;
  }

  #choose(plate: string): void {
    this.#plate = plate;
    this.requestUpdate();
  }

  #set(middle: number): void {
    this.#middle = middle;
    this.requestUpdate();
  }

  #write(plate: string): void {
    const edit = { kind: "adjust", plate, region: this.region, middle: this.#middle } as const;
    this.store.host.post({ kind: "edit", edit });
    this.dispatchEvent(new Event("done"));
  }
}
customElements.define("region-form", RegionForm);
