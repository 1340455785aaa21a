import "@vscode-elements/elements/dist/vscode-icon/index.js";
import "@vscode-elements/elements/dist/vscode-toolbar-button/index.js";
import { css, html, nothing } from "lit";
import { listed, sentence } from "../../../server/language/words.ts";
import type { PanelFinding, WayOut } from "../../../server/wire/panel.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { WAY_NAMES } from "./wording.ts";

interface Notice {
  readonly icon: "error" | "warning" | "info";
  readonly text: string;
  /** Where in the text it stands. */
  readonly at?: PanelFinding;
  readonly ways: readonly WayOut[];
}

/** What keeps the picture from being that of the text, and what to do about it: laid over the picture, which stays as it is. */
export class PanelNotices extends PanelElement {
  /** Texts of the notices that were sent away. */
  readonly #away = new Set<string>();

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        pointer-events: none;
      }
      section {
        display: grid;
        gap: 6px;
        justify-items: start;
      }
      .notice {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr) auto;
        align-items: start;
        gap: 2px 8px;
        max-width: min(100%, 640px);
        padding: 3px 4px 3px 10px;
        border-radius: 4px;
        border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-editorWidget-background);
        color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
        box-shadow: 0 1px 6px var(--vscode-widget-shadow, transparent);
        pointer-events: auto;
      }
      .error vscode-icon {
        color: var(--vscode-editorError-foreground);
      }
      .warning vscode-icon {
        color: var(--vscode-editorWarning-foreground);
      }
      .info vscode-icon {
        color: var(--vscode-editorInfo-foreground);
      }
      vscode-icon {
        margin-top: 2px;
      }
      .ways {
        grid-column: 2 / -1;
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
        padding-bottom: 3px;
      }
      p {
        margin: 0;
        padding: 2px 0;
        overflow-wrap: anywhere;
      }
      button.way {
        padding: 1px 8px;
        color: var(--vscode-button-secondaryForeground);
        background: var(--vscode-button-secondaryBackground);
        border-color: var(--vscode-button-border, var(--vscode-contrastBorder, transparent));
      }
      button.way:hover {
        background: var(--vscode-button-secondaryHoverBackground);
      }
      button.line {
        padding: 0 2px;
        text-decoration: underline;
      }
    `,
  ];

  override render() {
    const notices = this.#notices().filter(({ text }) => !this.#away.has(text));
    return html`<section aria-label="Notices" aria-live="polite">${notices.map((notice) => this.#notice(notice))}</section>`;
  }

  #notices(): Notice[] {
    const { findings, problem, ways = [], stale, placed, job } = this.store;
    const errors = findings.filter(({ level }) => level === "error");
    const said: Notice[] = [];
    const helped = errors.find((finding) => finding.ways);
    const own = (problem === undefined && helped?.path[0] !== "shop" ? undefined : helped) ?? undefined;
    if (own?.path[0] === "shop")
      said.push({ icon: "warning", text: own.message, at: own, ways: own.ways ?? [] });
    if (job && job.unknownInks.length > 0)
      said.push({
        icon: "info",
        text: `not in this proof: ${listed(job.unknownInks)}, inks of that shop file; their plates are seen as films`,
        ways: [],
      });
    if (problem !== undefined)
      said.push({ icon: ways.includes("trust") ? "info" : "warning", text: problem, ways });
    const [first] = errors.filter((error) => error !== own);
    if (stale && first && problem === undefined) {
      const more = errors.length > 1 ? ` (and ${errors.length - 1} more)` : "";
      const before = placed ? "the picture is of the text before: " : "";
      said.push({ icon: "error", text: `${before}${first.message}${more}`, at: first, ways: [] });
    }
    return [...said, ...(placed?.notes ?? []).map((text): Notice => ({ icon: "info", text, ways: [] }))];
  }

  #notice({ icon, text, at, ways }: Notice) {
    return html`<div class="notice ${icon}">
      <vscode-icon name=${icon}></vscode-icon>
      <p>${sentence(text)}
        ${at ? html`<button class="line" @click=${() => this.store.reveal(at)}>${at.inShop ? "shop file, " : ""}line ${at.line}</button>` : nothing}</p>
      <vscode-toolbar-button icon="close" label="Dismiss" title="Dismiss" @click=${() => this.#dismiss(text)}></vscode-toolbar-button>
      ${
        ways.length > 0
          ? html`<div class="ways">${ways.map((way) => html`<button class="way" @click=${() => this.store.host.post({ kind: "go", way })}>${WAY_NAMES[way]}</button>`)}</div>`
          : nothing
      }
    </div>`;
  }

  #dismiss(text: string): void {
    this.#away.add(text);
    this.requestUpdate();
  }
}
customElements.define("panel-notices", PanelNotices);
