import { css, html, nothing } from "lit";
import type { Difference } from "../../../server/engine/print/difference.ts";
import { changeColour, differenceColour, ticksOf, USUAL_END } from "../pixels/colour-scale.ts";
import type { SeenPrint } from "../seen-print.ts";
import { garmentOf, isSeenAsDots, shownPlate, type View } from "../view.ts";
import "./choice-bar.ts";
import type { Painted } from "../painted.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import "./print-bar.ts";
import { hexText } from "./wording.ts";

/** What belongs to the chosen kind of picture: how a plate is shown, the scale of a difference, which commit. */
export class ViewBar extends PanelElement {
  /** ΔE00 of the picture that was painted last, where it is about differences. */
  difference: Difference | undefined;
  /** Where its scale ends. */
  end = USUAL_END;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        align-items: center;
        gap: 2px 14px;
        min-width: 0;
        overflow: hidden;
      }
      /* What has buttons can be reached by them, too. */
      :host([scrolls]) {
        overflow-x: auto;
        scrollbar-width: none;
      }
      :host > * {
        flex: none;
      }
      .said {
        display: grid;
        line-height: 1.3;
        white-space: nowrap;
      }
      .scale {
        display: grid;
        width: 160px;
      }
      canvas {
        width: 100%;
        height: 10px;
        border: 1px solid var(--vscode-contrastBorder, color-mix(in srgb, var(--vscode-foreground) 30%, transparent));
      }
      .ticks {
        display: flex;
        justify-content: space-between;
        font-size: 11px;
      }
      .about {
        font-weight: 600;
      }
      @container (max-width: 400px) {
        :host {
          column-gap: 8px;
        }
        .scale {
          width: 96px;
        }
        .said {
          font-size: 12px;
        }
      }
    `,
  ];

  protected override firstUpdated(): void {
    this.store.addEventListener("painted", (event) => {
      const { difference, end } = (event as CustomEvent<Painted>).detail;
      this.difference = difference;
      this.end = end;
      this.requestUpdate();
    });
  }

  override render() {
    const { job, view } = this.store;
    if (!job) return nothing;
    this.toggleAttribute("scrolls", ["proof", "plate", "commit"].includes(view.mode));
    const plate = shownPlate(job, view) ?? "";
    if (view.mode === "difference") return this.#scale("ΔE00, artwork to proof", true);
    if (view.mode === "plate")
      return html`<span class="about">plate ${plate}</span>${this.#plateAs()}${isSeenAsDots(job, view) ? this.#print() : nothing}`;
    if (view.mode === "commit") return this.#commit(plate);
    if (isSeenAsDots(job, view)) return this.#print();
    const garment = garmentOf(job, view)?.name ?? "";
    if (view.mode === "proof") return this.#print(["mean", "one"]);
    return html`<span class="quiet">Artwork | proof on ${garment}</span>`;
  }

  #print(kinds: readonly SeenPrint["kind"][] = ["mean", "register", "one"]) {
    return html`<print-bar .store=${this.store} .kinds=${kinds}></print-bar>`;
  }

  #commit(plate: string) {
    const { view, committed } = this.store;
    if (!committed) return html`<span class="quiet" role="status">Reading the last commit…</span>`;
    if (!committed.job) return nothing;
    const of = view.commitOf === "plate";
    const same = of && this.store.isUnchanged(plate);
    return html`
      <choice-bar
        label="What to compare"
        .choices=${[{ value: "proof", label: "Composite" }, { value: "plate", label: `Plate ${plate}` }]}
        .value=${view.commitOf}
        @choose=${(e: CustomEvent<View["commitOf"]>) => this.store.setView({ commitOf: e.detail })}
      ></choice-bar>
      <choice-bar
        label="Before, after or the difference"
        .choices=${[
          { value: "before", label: "Before", hint: `As commit ${committed.commit?.slice(0, 8)} has it` },
          { value: "after", label: "After", hint: "As the text has it now" },
          { value: "difference", label: "Difference" },
        ]}
        .value=${view.commit}
        @choose=${(e: CustomEvent<View["commit"]>) => this.store.setView({ commit: e.detail })}
      ></choice-bar>
      ${of && view.commit !== "difference" ? this.#plateAs() : nothing}
      ${view.commit === "difference" ? (of ? this.#changeScale() : this.#scale("ΔE00, before to after", !same)) : nothing}
      <span class="quiet">commit ${committed.commit?.slice(0, 8)}</span>
    `;
  }

  #plateAs() {
    return html`<choice-bar
      label="How the plate is shown"
      .choices=${[
        { value: "film", label: "As film", hint: "Black on clear" },
        { value: "ink", label: "In ink", hint: "In its ink on the garment" },
      ]}
      .value=${this.store.view.plateAs}
      @choose=${(e: CustomEvent<View["plateAs"]>) => this.store.setView({ plateAs: e.detail })}
    ></choice-bar>`;
  }

  #figures() {
    if (!this.difference) return nothing;
    return html`<span class="figures" role="status">mean ${this.difference.mean.toFixed(2)}, 95 % within ${this.difference.p95.toFixed(2)}</span>`;
  }

  #scale(label: string, figures: boolean) {
    return html`<span class="scale" role="img" aria-label="Scale of ${label}, 0 to ${this.end} and more">
        <canvas width="240" height="1" data-scale="difference"></canvas>
        <span class="ticks figures" aria-hidden="true">${ticksOf(this.end).map((tick) => html`<span>${tick}${tick === this.end ? "+" : ""}</span>`)}</span>
      </span>
      <span class="said"><span class="quiet">${label}</span>${figures ? this.#figures() : nothing}</span>`;
  }

  #changeScale() {
    return html`<span class="scale" role="img" aria-label="Scale from less ink to more ink">
      <canvas width="240" height="1" data-scale="change"></canvas>
      <span class="ticks figures" aria-hidden="true"><span>less ink</span><span>same</span><span>more ink</span></span>
    </span>`;
  }

  protected override updated(): void {
    const canvas = this.renderRoot.querySelector("canvas");
    const context = canvas?.getContext("2d");
    if (!canvas || !context) return;
    for (let x = 0; x < canvas.width; x++) {
      const share = x / (canvas.width - 1);
      const colour =
        canvas.dataset.scale === "change"
          ? changeColour(Math.round((share * 2 - 1) * 255))
          : differenceColour(share, 1);
      context.fillStyle = hexText(colour);
      context.fillRect(x, 0, 1, 1);
    }
  }
}
customElements.define("view-bar", ViewBar);
