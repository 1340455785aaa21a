import "@vscode-elements/elements/dist/vscode-toolbar-button/index.js";
import { css, html, svg } from "lit";
import type { RegionShape } from "../region-draft.ts";
import { PRINT_SIZE, type Viewport } from "../viewport.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";

/** Dots that grow along a row. */
const DOTS = [1, 1.6, 2.2].map((r, i) =>
  [3, 8, 13].map((y) => svg`<circle cx=${3 + i * 5} cy=${y} r=${r}></circle>`),
);

/** What stands in the bar under the picture: shapes to draw, and how large the print is seen. */
export class PictureTools extends PanelElement {
  static override properties = {
    ...PanelElement.properties,
    viewport: { attribute: false },
    shape: { attribute: false },
  };
  declare viewport: Viewport | undefined;
  /** The shape that is being drawn. */
  declare shape: RegionShape | undefined;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex: none;
        align-items: center;
        gap: 2px;
      }
      .set {
        display: flex;
        align-items: center;
        gap: 2px;
        padding: 2px 4px;
      }
      .set + .set {
        border-left: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
      }
      .set button:hover {
        background: var(--vscode-toolbar-hoverBackground);
      }
      .set button[aria-pressed="true"] {
        background: var(--vscode-inputOption-activeBackground);
        color: var(--vscode-inputOption-activeForeground, inherit);
        border-color: var(--vscode-inputOption-activeBorder, transparent);
      }
      .shape {
        display: grid;
        place-items: center;
        padding: 3px 5px;
      }
      .shape svg {
        fill: none;
      }
      .shape svg.dots {
        fill: currentColor;
        stroke: none;
      }
      .percent {
        min-width: 46px;
        text-align: center;
      }
      @container (max-width: 400px) {
        .here {
          display: none;
        }
        .set,
        .set button {
          padding-inline: 3px;
        }
        .percent {
          min-width: 38px;
        }
      }
    `,
  ];

  override render() {
    const { viewport, store } = this;
    const percent = viewport ? Math.round((viewport.scale / PRINT_SIZE) * 100) : 100;
    const zoom = (factor: number) => viewport && store.setView(viewport.zoomed(factor));
    return html`
      <div class="set">
        <button
          aria-label="Adjust tone here…"
          aria-pressed=${this.shape !== undefined}
          title="Draw a part of the picture, and see another curve there before it is written into adjust"
          @click=${() => this.#draw(this.shape === undefined ? "rectangle" : undefined)}
        >Adjust tone<span class="here"> here</span>…</button>
      </div>
      <div class="set">
        <button
          class="shape"
          aria-label="Dots under the probe"
          aria-pressed=${store.view.loupe}
          title="Dots of the films under the probe  D"
          @click=${() => store.setView({ loupe: !store.view.loupe })}
        ><svg class="dots" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">${DOTS}</svg></button>
      </div>
      <div class="set" role="group" aria-label="Zoom">
        <vscode-toolbar-button icon="zoom-out" label="Smaller" title="Smaller  −" @click=${() => zoom(1 / 1.25)}></vscode-toolbar-button>
        <span class="percent figures" title="of print size, on a screen of 96 pixels an inch">${percent} %</span>
        <vscode-toolbar-button icon="zoom-in" label="Larger" title="Larger  +" @click=${() => zoom(1.25)}></vscode-toolbar-button>
        <button title="All of the print  0" aria-pressed=${store.view.scale === null} @click=${() => store.setView({ scale: null, centre: null })}>Fit</button>
        <button title="Print size  1" @click=${() => viewport && zoom(PRINT_SIZE / viewport.scale)}>1:1</button>
      </div>
    `;
  }

  #draw(shape: RegionShape | undefined): void {
    this.dispatchEvent(new CustomEvent<RegionShape | undefined>("draw", { detail: shape }));
  }
}
customElements.define("picture-tools", PictureTools);
