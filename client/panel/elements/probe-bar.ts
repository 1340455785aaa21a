import "@vscode-elements/elements/dist/vscode-button/index.js";
import "@vscode-elements/elements/dist/vscode-toolbar-button/index.js";
import { css, html, nothing } from "lit";
import { lengthIn, lengthText } from "../../../server/language/words.ts";
import type { Rgb } from "../../../server/wire/panel.ts";
import type { Probe } from "../probe.ts";
import { shownPlate } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { styled } from "./styled.ts";
import { hexText, labText } from "./wording.ts";

/** The colours under the pointer, and what a pinned one can be turned into. */
export class ProbeBar extends PanelElement {
  #ink: string | undefined;

  static override styles = [
    baseStyles,
    css`
      /* Of one height, pinned or not. */
      :host {
        display: block;
        position: relative;
        container-type: inline-size;
        height: 82px;
        border-top: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-editor-background);
      }
      .line {
        display: flex;
        align-items: center;
        gap: 4px 18px;
        height: 40px;
        padding: 4px 14px;
        overflow-x: auto;
        overflow-y: hidden;
        scrollbar-width: none;
      }
      .colour {
        display: inline-flex;
        align-items: center;
        gap: 8px;
        white-space: nowrap;
      }
      .patch {
        width: 26px;
        height: 26px;
        border-radius: 3px;
        border: 1px solid var(--vscode-contrastBorder, color-mix(in srgb, var(--vscode-foreground) 30%, transparent));
      }
      .two {
        display: grid;
        line-height: 1.25;
      }
      .two span {
        white-space: pre;
      }
      .two small {
        font-size: 11px;
        color: var(--vscode-descriptionForeground);
      }
      .difference b {
        font-size: 15px;
      }
      @container (max-width: 400px) {
        .line {
          column-gap: 8px;
          padding-inline: 8px;
        }
        .two span {
          white-space: nowrap;
        }
        .colour {
          gap: 5px;
          font-size: 11px;
        }
        .patch {
          width: 16px;
        }
        .difference {
          flex-direction: column;
          gap: 0;
        }
      }
      .where {
        margin-left: auto;
        color: var(--vscode-descriptionForeground);
      }
      .doing {
        padding-top: 0;
        /* That there is more to press is to be seen. */
        scrollbar-width: thin;
      }
      .give {
        display: inline-flex;
        align-items: center;
        gap: 6px;
      }
      select {
        font: inherit;
        max-width: 130px;
        padding: 3px;
        color: var(--vscode-dropdown-foreground);
        background: var(--vscode-dropdown-background);
        border: 1px solid var(--vscode-dropdown-border, var(--vscode-contrastBorder, transparent));
      }
      .why {
        position: absolute;
        left: 12px;
        bottom: calc(100% + 52px);
        max-width: calc(100% - 24px);
        max-height: 40vh;
        overflow: auto;
        padding: 6px 12px 8px;
        border-radius: 4px;
        border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-editorWidget-background);
        color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
        box-shadow: 0 2px 8px var(--vscode-widget-shadow, transparent);
        z-index: 2;
      }
      .doing > * {
        flex: none;
      }
      .why .title {
        margin: 2px 0 4px;
        font-size: inherit;
        font-weight: 600;
      }
      .why .close {
        float: right;
      }
      .why ul {
        margin: 0;
        padding: 0;
        list-style: none;
      }
      .why button {
        padding: 2px 6px;
        text-align: left;
        color: var(--vscode-textLink-foreground);
      }
      .why button:hover {
        text-decoration: underline;
      }
    `,
  ];

  override render() {
    const { job, pinned } = this.store;
    const probe = this.store.probe();
    if (!job) return nothing;
    if (!probe)
      return html`<div class="line quiet">Point at the picture to see its colours and the tone of every plate; a click pins the place.</div>`;
    const where = `${lengthIn(probe.x, job.unit)}, ${lengthText(probe.y, job.unit)}`;
    return html`<div class="line figures" aria-label="Probe" role="group">
        ${this.#colour("artwork", probe.artwork, probe.rgba[3] < 128)}
        ${this.#colour("proof", probe.proof, false)}
        <span class="colour difference"><b>${probe.difference.toFixed(1)}</b><span class="two"><span>ΔE00</span></span></span>
        <span class="where">${where}</span>
      </div>
      ${pinned ? this.#doing(probe) : nothing} ${this.#why()}`;
  }

  #colour(name: string, colour: number, clear: boolean) {
    return html`<span class="colour">
      <span class="patch" ${styled({ background: hexText(colour) })}></span>
      <span class="two"><span>${labText(colour)}</span><small>${name}${clear ? ", clear here" : ""}</small></span>
    </span>`;
  }

  #doing(probe: Probe) {
    const { job, view, place, host } = this.store;
    if (!job) return nothing;
    const colour: Rgb = [probe.rgba[0], probe.rgba[1], probe.rgba[2]];
    const clear = probe.rgba[3] === 0;
    // The cursor may stand at a name that is no plate's, or is no more.
    const into = [place.plate, view.plate].find((plate) => job.plates.some(({ name }) => name === plate));
    const asked = this.#asked(probe);
    const inks = [...new Set(job.plates.map(({ ink }) => ink))];
    const ink = this.#ink ?? job.plates.find(({ name }) => name === asked)?.ink ?? inks[0] ?? "";
    const extract = (plate: string | undefined) =>
      host.post({ kind: "edit", edit: { kind: "extract", colour, into: plate } });
    return html`<div class="line doing" role="group" aria-label="With this colour">
      ${
        into === undefined
          ? nothing
          : html`<vscode-button secondary ?disabled=${clear} title="Writes a near range into plate ${into}" @click=${() => extract(into)}>Extract into ${into}</vscode-button>`
      }
      <vscode-button secondary ?disabled=${clear} title="Writes a plate that takes this colour" @click=${() => extract(undefined)}>Extract as new plate</vscode-button>
      ${
        job.background
          ? nothing
          : html`<vscode-button secondary ?disabled=${clear} title="Cuts this colour out of the artwork, from the border inward" @click=${() => host.post({ kind: "edit", edit: { kind: "background", to: { colour } } })}>Cut as background</vscode-button>`
      }
      <span class="give">
        <vscode-button secondary ?disabled=${clear} @click=${() => host.post({ kind: "edit", edit: { kind: "ink", colour, ink } })}>Give to ink</vscode-button>
        <select aria-label="Ink that gets this colour" @change=${(e: Event) => this.#choose((e.target as HTMLSelectElement).value)}>
          ${inks.map((name) => html`<option value=${name} ?selected=${name === ink}>${name}</option>`)}
        </select>
      </span>
      ${
        asked === undefined
          ? nothing
          : html`<vscode-button secondary @click=${() => host.post({ kind: "why", plate: asked, point: probe })}>Why is ${asked} here?</vscode-button>`
      }
    </div>`;
  }

  #why() {
    const { reasons, host, pinned } = this.store;
    if (!reasons || !pinned) return nothing;
    return html`<div class="why" role="region" aria-label="Why ${reasons.plate} is here">
      <vscode-toolbar-button class="close" icon="close" label="Dismiss" title="Dismiss" @click=${() => this.#forget()}></vscode-toolbar-button>
      <p class="title">${reasons.reasons.length > 0 ? `${reasons.plate} is here because` : `nothing puts ${reasons.plate} here`}</p>
      <ul>
        ${reasons.reasons.map(
          ({ says, path, line }) =>
            html`<li><button @click=${() => host.post({ kind: "reveal", path })}>line ${line}</button> ${says}</li>`,
        )}
      </ul>
    </div>`;
  }

  #forget(): void {
    this.store.reasons = undefined;
    this.store.changed();
  }

  /** The plate to ask about: the selected one if it prints here, else the one that prints most. */
  #asked(probe: Probe): string | undefined {
    const { job, view } = this.store;
    const selected = job && view.plate !== "" ? shownPlate(job, view) : undefined;
    if (selected !== undefined && (probe.tones.get(selected) ?? 0) > 0) return selected;
    const printing = [...probe.tones].filter(([, tone]) => tone > 0).sort(([, a], [, b]) => b - a);
    // The underbase prints nearly everywhere: what lies on it is asked about more often.
    const purpose = (name: string) => job?.plates.find((plate) => plate.name === name)?.purpose;
    return (printing.find(([name]) => purpose(name) !== "underbase") ?? printing[0])?.[0];
  }

  #choose(ink: string): void {
    this.#ink = ink;
    this.requestUpdate();
  }
}
customElements.define("probe-bar", ProbeBar);
