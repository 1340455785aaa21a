import { css, html, nothing } from "lit";
import { sheetPng } from "../contact-sheet.ts";
import type { Output } from "../protocol.ts";
import { isOnePrint } from "../seen-print.ts";
import { garmentOf, MODES, type Mode, setupOf, stationCount } from "../view.ts";
import "./action-menu.ts";
import type { MenuAction } from "./action-menu.ts";
import "./choice-bar.ts";
import "./garment-sheet.ts";
import "./notices.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import "./picture-view.ts";
import "./station-list.ts";
import "./probe-bar.ts";
import { MODE_NAMES } from "./wording.ts";
import "./what-is-left.ts";
import "./worst-places.ts";

/** Before the first picture: a large artwork takes a while to be read. */
const MAKING = html`<div>
  <p>Reading the artwork, making the plates…</p>
  <progress aria-label="The first picture is being made"></progress>
</div>`;

/** The whole panel: garments above, the print on its garment, the press beside it, the probe below. */
export class ProofPanel extends PanelElement {
  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex-direction: column;
        height: 100vh;
        container-type: inline-size;
        background: var(--vscode-editor-background);
      }
      .head {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: 4px 20px;
        padding: 8px 14px 6px;
        border-bottom: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
      }
      h1 {
        margin: 0;
        font-size: 13px;
        font-weight: 600;
        max-width: 100%;
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .modes {
        margin-left: auto;
      }
      .body {
        flex: 1;
        display: grid;
        grid-template-columns: minmax(0, 1fr) clamp(300px, 34%, 380px);
        min-height: 0;
      }
      .left {
        display: grid;
        /* As wide as there is room, whatever stands under the picture. */
        grid-template: minmax(0, 1fr) auto / minmax(0, 1fr);
        min-height: 0;
        min-width: 0;
        position: relative;
      }
      .left panel-notices {
        position: absolute;
        inset: 10px 12px auto;
        z-index: 2;
      }
      :host > panel-notices {
        padding: 12px;
      }
      .press {
        overflow: auto;
        min-height: 0;
        border-left: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-sideBar-background, var(--vscode-editor-background));
      }
      .waiting {
        flex: 1;
        display: grid;
        place-items: center;
        padding: 24px;
        text-align: center;
        color: var(--vscode-descriptionForeground);
      }
      @container (max-width: 590px) {
        .body {
          grid-template-columns: minmax(0, 1fr);
          grid-template-rows: minmax(380px, 62vh) max-content;
          overflow: auto;
        }
        .press {
          overflow: visible;
          border-left: none;
          border-top: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
        }
      }
      @container (max-width: 860px) {
        .modes {
          order: 1;
          margin-left: 0;
        }
        .output {
          margin-left: auto;
        }
      }
      /* Beside the text there is room for one column: the picture stays in sight while the stations scroll under it. */
      @container (max-width: 590px) {
        @media (min-height: 620px) {
          .body {
            grid-template-rows: 56vh max-content;
          }
          .left {
            position: sticky;
            top: 0;
            z-index: 1;
            background: var(--vscode-editor-background);
          }
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener("keydown", this.#key);
    this.store.addEventListener("save", this.#save);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener("keydown", this.#key);
    this.store.removeEventListener("save", this.#save);
  }

  override render() {
    const { store } = this;
    const { job, view, problem, findings } = store;
    if (!job) {
      const first = findings.find(({ level }) => level === "error");
      return html`<panel-notices .store=${store}></panel-notices>
        <main class="waiting">${problem || first ? "There is no proof yet." : MAKING}</main>`;
    }
    const garment = garmentOf(job, view);
    return html`
      <header class="head">
        <h1 title=${job.title}>${job.title || "Proof"}</h1>
        <choice-bar
          class="garments"
          label="Garment"
          .choices=${job.garments.map(({ name, hex }) => ({ value: name, label: name, colour: hex }))}
          .value=${garment?.name ?? ""}
          @choose=${(e: CustomEvent<string>) => store.setView({ garment: e.detail, ...(view.mode === "garments" ? { mode: "proof" as const } : {}) })}
        ></choice-bar>
        <choice-bar
          class="modes"
          label="Picture"
          .choices=${MODES.map((mode) => ({ value: mode, ...MODE_NAMES[mode] }))}
          .value=${view.mode}
          @choose=${(e: CustomEvent<Mode>) => store.setView({ mode: e.detail })}
        ></choice-bar>
        <action-menu class="output" label="Output" text="Output" icon="chevron-down" .actions=${this.#outputs()}></action-menu>
      </header>
      <div class="body">
        <main class="left" aria-label="Picture">
          ${this.#picture()}
          <probe-bar .store=${store}></probe-bar>
          <panel-notices .store=${store}></panel-notices>
        </main>
        <aside class="press" aria-label="Press">
          <station-list .store=${store}></station-list>
          ${view.mode === "difference" || isOnePrint(view, store.print) ? html`<worst-places .store=${store}></worst-places>` : nothing}
          ${view.mode === "difference" ? html`<what-is-left .store=${store}></what-is-left>` : nothing}
          ${store.said ? html`<p class="unseen" role="status">${store.said}</p>` : nothing}
        </aside>
      </div>
    `;
  }

  #picture() {
    const { store } = this;
    const { mode } = store.view;
    if (!store.placed)
      return html`<div class="waiting">${store.problem ? "There is no picture to show." : MAKING}</div>`;
    if (mode === "garments") return html`<garment-sheet .store=${store}></garment-sheet>`;
    return html`<picture-view .store=${store}></picture-view>`;
  }

  #outputs(): MenuAction[] {
    const { host, placed } = this.store;
    const none = !placed;
    const write = (what: Output) => () => host.post({ kind: "output", what });
    return [
      { label: "Films…", disabled: none, act: write("films") },
      { label: "Job ticket…", disabled: none, act: write("ticket") },
      { label: "Proof as shown…", disabled: none, act: () => this.#saveProof() },
      { label: "Plate sheet…", disabled: none, act: () => void this.#saveSheet() },
      { label: "Plates…", disabled: none, act: write("plates") },
      { label: "TIFF of inks…", disabled: none, act: write("inksTiff") },
      { label: "Composite PDF…", disabled: none, act: write("compositePdf") },
      { label: "Page for review…", disabled: none, act: write("reviewPage") },
    ];
  }

  readonly #save = (event: Event): void => {
    if ((event as CustomEvent<string>).detail === "proof") this.#saveProof();
    else void this.#saveSheet();
  };

  #saveProof(): void {
    const shown = this.store.shown();
    if (shown) this.store.host.post({ kind: "saveProof", shown });
  }

  async #saveSheet(): Promise<void> {
    const png = await sheetPng(this.store);
    if (png) this.store.host.post({ kind: "saveSheet", png });
  }

  /** The shirt goes on and back from everywhere but text fields. */
  readonly #key = (event: KeyboardEvent): void => {
    const { job, view } = this.store;
    const step = { "[": -1, "]": 1 }[event.key];
    if (step === undefined || !job || event.ctrlKey || event.metaKey) return;
    const setup = setupOf(job, view);
    const all = setup?.order.length ?? 0;
    const to = stationCount(setup, view.after) + step;
    if (to < 0 || to > all) return;
    event.preventDefault();
    this.store.setView({ after: to >= all ? null : to });
  };
}
customElements.define("proof-panel", ProofPanel);
