import { css, html } from "lit";
import type { Viewport } from "../viewport.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { styled } from "./styled.ts";

/** The line between artwork and proof, drawn to and fro by pointer and keys. */
export class WipeHandle extends PanelElement {
  static override properties = { ...PanelElement.properties, viewport: { attribute: false } };
  declare viewport: Viewport;

  static override styles = [
    baseStyles,
    css`
      :host {
        position: absolute;
        inset: 0;
        pointer-events: none;
      }
      .handle {
        position: absolute;
        top: 0;
        bottom: 0;
        width: 15px;
        margin-left: -7px;
        cursor: ew-resize;
        pointer-events: auto;
      }
      .handle::before {
        content: "";
        position: absolute;
        inset: 0 6px;
        background: #fff;
        box-shadow: 0 0 0 1px rgb(0 0 0 / 60%);
      }
      .handle:focus-visible {
        outline: none;
      }
      .handle:focus-visible::before {
        background: var(--vscode-focusBorder);
        inset: 0 5px;
      }
      .side {
        position: absolute;
        top: 12px;
        padding: 2px 8px;
        border-radius: 3px;
        font-size: 11px;
        color: #fff;
        background: rgb(0 0 0 / 65%);
        white-space: nowrap;
        pointer-events: none;
      }
      .side.left {
        right: 20px;
      }
      .side.right {
        left: 20px;
      }
    `,
  ];

  override render() {
    const share = this.store.view.wipe;
    const { left, printMm, scale } = this.viewport;
    return html`<div
      class="handle"
      role="slider"
      tabindex="0"
      aria-label="Wipe between artwork and proof"
      aria-valuemin="0"
      aria-valuemax="100"
      aria-valuenow=${Math.round(share * 100)}
      aria-valuetext="artwork left of ${Math.round(share * 100)} %"
      ${styled({ left: `${left + share * printMm.width * scale}px` })}
      @pointerdown=${this.#down}
      @pointermove=${this.#move}
      @keydown=${this.#key}
    ><span class="side left">artwork</span><span class="side right">proof</span></div>`;
  }

  #set(wipe: number): void {
    this.store.setView({ wipe: Math.min(1, Math.max(0, wipe)) });
  }

  readonly #down = (event: PointerEvent): void => {
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    event.stopPropagation();
  };

  readonly #move = (event: PointerEvent): void => {
    if (!(event.currentTarget as HTMLElement).hasPointerCapture(event.pointerId)) return;
    event.stopPropagation();
    const x = event.clientX - this.getBoundingClientRect().left;
    this.#set(this.viewport.toPrint(x, 0)[0] / this.viewport.printMm.width);
  };

  readonly #key = (event: KeyboardEvent): void => {
    const { wipe } = this.store.view;
    const to = { ArrowLeft: wipe - 0.02, ArrowRight: wipe + 0.02, Home: 0, End: 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    this.#set(to);
  };
}
customElements.define("wipe-handle", WipeHandle);
