import { css, html, LitElement, nothing } from "lit";
import { baseStyles } from "./panel-element.ts";
import { styled } from "./styled.ts";

/** One of the buttons: what it stands for, and how it is shown. */
export interface ChoiceItem {
  readonly value: string;
  readonly label: string;
  /** A colour to show before the label. */
  readonly colour?: string;
  /** What it does, for people who wonder. */
  readonly hint?: string;
}

/** One of a few: a row of buttons of which one is chosen. Arrow keys choose, as radio buttons do. */
export class ChoiceBar extends LitElement {
  static override properties = {
    choices: { attribute: false },
    value: {},
    label: {},
  };
  declare choices: readonly ChoiceItem[];
  declare value: string;
  declare label: string;

  constructor() {
    super();
    this.choices = [];
    this.value = "";
    this.label = "";
  }

  static override styles = [
    baseStyles,
    css`
      div {
        display: flex;
        flex-wrap: wrap;
        gap: 2px;
      }
      button {
        display: inline-flex;
        align-items: center;
        gap: 6px;
        height: 26px;
        padding: 0 10px;
        white-space: nowrap;
      }
      button:hover {
        background: var(--vscode-toolbar-hoverBackground);
        outline: 1px dashed var(--vscode-contrastActiveBorder, transparent);
        outline-offset: -1px;
      }
      button[aria-checked="true"] {
        background: var(--vscode-inputOption-activeBackground);
        color: var(--vscode-inputOption-activeForeground, inherit);
        border-color: var(--vscode-inputOption-activeBorder, transparent);
      }
      @container (max-width: 400px) {
        button {
          padding: 0 6px;
        }
      }
      .swatch {
        width: 14px;
        height: 14px;
      }
    `,
  ];

  override render() {
    return html`<div role="radiogroup" aria-label=${this.label} @keydown=${this.#key}>
      ${this.choices.map(
        ({ value, label, colour, hint }) =>
          html`<button
            role="radio"
            aria-checked=${value === this.value}
            tabindex=${value === this.value ? 0 : -1}
            title=${hint ?? nothing}
            data-value=${value}
            @click=${() => this.#choose(value)}
          >${colour ? html`<span class="swatch" ${styled({ background: colour })}></span>` : nothing}${label}</button>`,
      )}
    </div>`;
  }

  #choose(value: string): void {
    if (value === this.value) return;
    this.dispatchEvent(new CustomEvent<string>("choose", { detail: value }));
  }

  #key(event: KeyboardEvent): void {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const at = this.choices.findIndex(({ value }) => value === this.value);
    const next = this.choices[(at + step + this.choices.length) % this.choices.length];
    if (!next) return;
    this.#choose(next.value);
    void this.updateComplete.then(() =>
      this.renderRoot.querySelector<HTMLElement>(`[data-value="${CSS.escape(next.value)}"]`)?.focus(),
    );
  }
}
customElements.define("choice-bar", ChoiceBar);
