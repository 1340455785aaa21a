import { css, html, nothing } from "lit";
import { counted } from "../../../server/language/words.ts";
import type { PanelJob } from "../../../server/wire/panel.ts";
import { USUAL_END } from "../pixels/colour-scale.ts";
import { proofOn, setupsFor } from "../view.ts";
import { paint } from "./paint.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { styled } from "./styled.ts";

/** The job on every garment of the recipe, with each setup that prints on it. */
export class GarmentSheet extends PanelElement {
  protected override readonly news = ["change", "picture"] as const;
  #shown = new Map<string, string>();
  /** ΔE00 to the artwork. */
  readonly #mean = new Map<string, number>();

  static override styles = [
    baseStyles,
    css`
      :host {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(240px, 100%), 1fr));
        /* As high as their pictures, which scroll rather than be cut off. */
        grid-auto-rows: max-content;
        gap: 16px;
        align-content: start;
        padding: 16px;
        overflow: auto;
      }
      button {
        display: grid;
        gap: 8px;
        padding: 0 0 10px;
        text-align: left;
        border-radius: 6px;
        border-color: var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
        overflow: hidden;
      }
      button:hover {
        border-color: var(--vscode-focusBorder);
      }
      .garment {
        display: grid;
        place-items: center;
        padding: 8%;
      }
      canvas {
        width: 100%;
        max-height: 60vh;
        object-fit: contain;
      }
      .under {
        display: flex;
        flex-wrap: wrap;
        gap: 2px 10px;
        padding: 0 12px;
      }
      b {
        font-weight: 600;
      }
    `,
  ];

  #pairs(job: PanelJob) {
    return job.garments.flatMap((garment) => {
      const setups = setupsFor(job, garment.name);
      return (setups.length > 0 ? setups : [undefined]).map((setup) => ({ garment, setup }));
    });
  }

  override render() {
    const { job } = this.store;
    if (!job) return nothing;
    return this.#pairs(job).map(({ garment, setup }) => {
      const mean = this.#mean.get(`${garment.name} ${setup?.name ?? ""}`);
      const screens = setup?.order.filter((step) => typeof step !== "string").length ?? 0;
      return html`<button
        title="Shows ${garment.name} large"
        @click=${() => this.store.setView({ garment: garment.name, setup: setup?.name ?? "", mode: "proof" })}
      >
        <span class="garment" ${styled({ background: garment.hex })}>
          <canvas width="1" height="1" role="img" aria-label="Proof on ${garment.name}" data-print=${`${garment.name} ${setup?.name ?? ""}`}></canvas>
        </span>
        <span class="under">
          <b>${garment.name}</b>
          ${mean === undefined ? nothing : html`<span class="figures" title="ΔE00 to the artwork, on average">mean ΔE00 ${mean.toFixed(1)}</span>`}
          <span class="quiet">${setup ? `setup ${setup.name}, ${counted(screens, "screen")}` : "no setup prints on it"}</span>
        </span>
      </button>`;
    });
  }

  protected override updated(): void {
    const { job, renderer, edition, view } = this.store;
    if (!job || !renderer.picture("now")) return;
    for (const { garment, setup } of this.#pairs(job)) {
      const name = `${garment.name} ${setup?.name ?? ""}`;
      const proof = proofOn(job, "now", garment.colour, setup, setup?.order.length ?? 0, view.without);
      const request = { kind: "proof", ...proof } as const;
      const state = `${JSON.stringify(request)} ${edition}`;
      if (this.#shown.get(name) === state) continue;
      this.#shown.set(name, state);
      renderer.render(`garment ${name}`, request, (print) => {
        const canvas = this.renderRoot.querySelector<HTMLCanvasElement>(
          `canvas[data-print="${CSS.escape(name)}"]`,
        );
        if (canvas && print) paint(canvas, print);
      });
      // Seen first, then measured.
      const measure = { kind: "difference", end: USUAL_END, ...proof } as const;
      renderer.whenResting(() =>
        renderer.render(`mean ${name}`, measure, (print) => {
          if (print?.difference) this.#mean.set(name, print.difference.mean);
          this.requestUpdate();
        }),
      );
    }
  }
}
customElements.define("garment-sheet", GarmentSheet);
