import { css, html, nothing } from "lit";
import { PRINTS } from "../../../server/engine/print/steadiness.ts";
import { STEP_MM } from "../register-shift.ts";
import { drawnPrint, IN_REGISTER, MEAN_PRINT, type SeenPrint } from "../seen-print.ts";
import { shownProof } from "../view.ts";
import "./choice-bar.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { fineText } from "./wording.ts";

/** Which print is seen, the way to the next one, and the plate that arrow keys move in it. */
export class PrintBar extends PanelElement {
  static override properties = { ...PanelElement.properties, kinds: { attribute: false } };
  /** What can be told apart where this stands: a print seen as tones is in register, or as all are on average. */
  declare kinds: readonly SeenPrint["kind"][];

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex-wrap: inherit;
        align-items: center;
        gap: 2px;
        white-space: nowrap;
      }
      label {
        display: flex;
        align-items: center;
        gap: 6px;
        padding: 0 8px;
      }
      @container (max-width: 400px) {
        label {
          padding: 0;
        }
        button {
          padding-inline: 5px;
        }
        select {
          max-width: 84px;
        }
        .keys {
          display: none;
        }
      }
      select {
        font: inherit;
        color: var(--vscode-dropdown-foreground);
        background: var(--vscode-dropdown-background);
        border: 1px solid var(--vscode-dropdown-border, var(--vscode-contrastBorder, transparent));
      }
    `,
  ];

  override render() {
    const { job, print } = this.store;
    if (!job) return nothing;
    const draw = print.draw;
    const all = {
      mean: { label: "Mean print", hint: "What all prints look like on average" },
      register: { label: "In register", hint: "Dots of the films, all screens in register" },
      one: {
        label: draw === undefined ? "One print" : `Print ${draw + 1} of ${PRINTS}`,
        hint: "One print, its screens off as far as the shop's misregistration allows",
      },
    };
    const known = this.kinds.includes(print.kind) ? print.kind : this.kinds[0]!;
    return html`<choice-bar
        label="Print"
        .choices=${this.kinds.map((kind) => ({ value: kind, ...all[kind] }))}
        .value=${known}
        @choose=${({ detail }: CustomEvent<SeenPrint["kind"]>) => this.#choose(detail)}
      ></choice-bar>
      ${
        print.kind === "one"
          ? html`<button title="Previous print" aria-label="Previous print" @click=${() => this.#show((draw ?? 0) - 1)}>‹</button>
            <button title="Next print" aria-label="Next print" @click=${() => this.#show((draw ?? -1) + 1)}>›</button>`
          : nothing
      }
      ${known === "mean" ? nothing : this.#moving()}`;
  }

  #moving() {
    const { job, view, moving } = this.store;
    const plates = shownProof(job!, view, "now")?.stations.map(({ plate }) => plate) ?? [];
    const { unit } = job!;
    return html`<label title="In the picture and on the dots, each arrow key then moves this plate by ${fineText([STEP_MM], unit)}"><span class="keys">Keys move</span>
        <select aria-label="Arrow keys move" @change=${this.#move}>
          <option value="" ?selected=${moving === undefined}>probe</option>
          ${plates.map((plate) => html`<option ?selected=${plate === moving}>${plate}</option>`)}
        </select>
      </label>`;
  }

  readonly #move = (event: Event): void => {
    this.store.moving = (event.target as HTMLSelectElement).value || undefined;
    this.store.changed();
  };

  #choose(kind: SeenPrint["kind"]): void {
    if (kind === "one") this.#show(this.store.print.draw ?? 0);
    // Seen so small, prints in register look as all do on average; larger, they are dots again.
    else this.store.setPrint(kind === "mean" && this.kinds.includes("register") ? MEAN_PRINT : IN_REGISTER);
  }

  #show(draw: number): void {
    const { job, view } = this.store;
    if (job) this.store.setPrint(drawnPrint(job, view, draw));
  }
}

customElements.define("print-bar", PrintBar);
