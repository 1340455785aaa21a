import { css, html, nothing } from "lit";
import { sentence } from "../../../server/language/words.ts";
import { garmentOf } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";

/** What keeps the print on the shown garment from being nearer to the artwork, once somebody asks. */
export class WhatIsLeft extends PanelElement {
  #asked = false;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        padding: 0 14px 12px;
      }
      p {
        margin: 4px 0;
      }
    `,
  ];

  override render() {
    const { job, view, left } = this.store;
    if (!job) return nothing;
    if (!left)
      return html`<button ?disabled=${this.#asked} @click=${this.#ask}>${this.#asked ? "Looking for what is left…" : "Why no nearer?"}</button>`;
    this.#asked = false;
    const own = left.garments.find(({ garment }) => garment === garmentOf(job, view)?.name);
    return html`<div role="status">
      ${own ? html`<p class="figures">${own.text}</p>` : nothing}
      ${left.most === undefined ? nothing : html`<p>${sentence(left.most)}</p>`}
    </div>`;
  }

  readonly #ask = (): void => {
    this.#asked = true;
    this.store.host.post({ kind: "left" });
    this.requestUpdate();
  };
}
customElements.define("what-is-left", WhatIsLeft);
