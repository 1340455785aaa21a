import "@vscode-elements/elements/dist/vscode-icon/index.js";
import { css, html, LitElement, nothing } from "lit";
import { baseStyles } from "./panel-element.ts";

/** One thing that a menu does. */
export interface MenuAction {
  readonly label: string;
  /** Keys that do the same. */
  readonly keys?: string;
  readonly disabled?: boolean;
  readonly act: () => void;
}

/** A button with a menu: arrow keys go through it, Escape closes it. */
export class ActionMenu extends LitElement {
  static override properties = {
    label: {},
    icon: {},
    text: {},
    actions: { attribute: false },
    open: { state: true },
  };
  /** What it is for, to be read aloud. */
  declare label: string;
  declare icon: string;
  /** What stands on the button beside the icon. */
  declare text: string;
  declare actions: readonly MenuAction[];
  declare open: boolean;

  constructor() {
    super();
    this.label = "";
    this.icon = "ellipsis";
    this.text = "";
    this.actions = [];
    this.open = false;
  }

  static override styles = [
    baseStyles,
    css`
      :host {
        position: relative;
        display: inline-block;
      }
      .opens {
        display: inline-flex;
        align-items: center;
        gap: 4px;
        height: 24px;
        padding: 0 4px;
      }
      .opens:hover,
      .opens[aria-expanded="true"] {
        background: var(--vscode-toolbar-hoverBackground);
      }
      .menu {
        position: absolute;
        right: 0;
        top: 100%;
        z-index: 5;
        display: grid;
        min-width: 190px;
        padding: 4px;
        border-radius: 5px;
        border: 1px solid var(--vscode-menu-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-menu-background);
        color: var(--vscode-menu-foreground);
        box-shadow: 0 2px 8px var(--vscode-widget-shadow, transparent);
      }
      .menu.rightwards {
        right: auto;
        left: 0;
      }
      .menu.up {
        top: auto;
        bottom: 100%;
      }
      .menu button {
        display: flex;
        justify-content: space-between;
        gap: 24px;
        padding: 4px 10px;
        text-align: left;
        white-space: nowrap;
      }
      .menu button:focus,
      .menu button:not(:disabled):hover {
        background: var(--vscode-menu-selectionBackground);
        color: var(--vscode-menu-selectionForeground);
        outline: 1px solid var(--vscode-menu-selectionBorder, transparent);
        outline-offset: -1px;
      }
    `,
  ];

  override render() {
    return html`<button
        class="opens"
        aria-haspopup="menu"
        aria-expanded=${this.open}
        aria-label=${this.label}
        title=${this.label}
        @click=${() => this.#set(!this.open)}
        @keydown=${this.#openByKey}
      >${this.text === "" ? nothing : this.text}<vscode-icon name=${this.icon}></vscode-icon></button>
      ${
        this.open
          ? html`<div class="menu ${this.#towards()}" role="menu" aria-label=${this.label} @keydown=${this.#key} @focusout=${this.#left}>
              ${this.actions.map(
                ({ label, keys, disabled, act }) =>
                  html`<button role="menuitem" tabindex="-1" ?disabled=${disabled} @click=${() => this.#do(act)}>
                    <span>${label}</span>${keys === undefined ? nothing : html`<span class="quiet">${keys}</span>`}
                  </button>`,
              )}
            </div>`
          : nothing
      }`;
  }

  /** Towards the sides with more room. */
  #towards(): string {
    const { top, right } = this.getBoundingClientRect();
    const sides = [
      top > window.innerHeight / 2 ? "up" : "",
      right < window.innerWidth / 2 ? "rightwards" : "",
    ];
    return sides.join(" ");
  }

  #items(): HTMLElement[] {
    return [...this.renderRoot.querySelectorAll<HTMLElement>("[role=menuitem]:not(:disabled)")];
  }

  #set(open: boolean): void {
    this.open = open;
    if (open) void this.updateComplete.then(() => this.#items()[0]?.focus());
  }

  #close(): void {
    this.open = false;
    this.renderRoot.querySelector<HTMLElement>(".opens")?.focus();
  }

  #do(act: () => void): void {
    this.#close();
    act();
  }

  readonly #openByKey = (event: KeyboardEvent): void => {
    if (event.key !== "ArrowDown" || event.altKey) return;
    event.preventDefault();
    event.stopPropagation();
    this.#set(true);
  };

  readonly #key = (event: KeyboardEvent): void => {
    event.stopPropagation();
    if (event.key === "Escape") this.#close();
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const items = this.#items();
    const at = items.indexOf(event.target as HTMLElement);
    items[(at + step + items.length) % items.length]?.focus();
  };

  readonly #left = (event: FocusEvent): void => {
    if (!this.renderRoot.contains(event.relatedTarget as Node | null)) this.open = false;
  };
}
customElements.define("action-menu", ActionMenu);
