import { counted } from "../../../server/language/words.ts";
import "@vscode-elements/elements/dist/vscode-icon/index.js";
import "@vscode-elements/elements/dist/vscode-toolbar-button/index.js";
import { html, nothing } from "lit";
import { repeat } from "lit/directives/repeat.js";
import {
  ENCLOSED,
  type JobPlate,
  type JobSetup,
  type JobStep,
  type PanelEdit,
  type PanelJob,
} from "../../../server/wire/panel.ts";
import type { Probe } from "../probe.ts";
import { garmentOf, plateOfStep, setupOf, setupsFor, shownPlate, stationCount } from "../view.ts";
import "./action-menu.ts";
import type { MenuAction } from "./action-menu.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { plateCells } from "./plate-cells.ts";
import { StationDrag } from "./station-drag.ts";
import { stationListStyles } from "./station-list.styles.ts";
import { styled } from "./styled.ts";
import { ENCLOSED_NAMES } from "./wording.ts";

/** The press: the setup's stations in print order, and how far the shirt has come. */
export class StationList extends PanelElement {
  static override styles = [baseStyles, stationListStyles];
  readonly #drag = new StationDrag(this, (from, to) => {
    const { job, view } = this.store;
    const setup = job && setupOf(job, view);
    if (setup) this.#move(setup, from, to);
  });

  override render() {
    const { job, view } = this.store;
    if (!job) return nothing;
    const setup = setupOf(job, view);
    const garment = garmentOf(job, view)?.name ?? "";
    const setups = setupsFor(job, garment);
    if (!setup) return html`<p class="none">No setup prints on ${garment}.</p>`;
    const probe = this.store.probe();
    const stations = stationCount(setup, view.after);
    const screens = setup.order.filter((step) => typeof step !== "string").length;
    return html`
      <header>
        <h2>Press</h2>
        ${
          setups.length > 1
            ? html`<choice-bar
                label="Setup"
                .choices=${setups.map(({ name }) => ({ value: name, label: name }))}
                .value=${setup.name}
                @choose=${(e: CustomEvent<string>) => this.store.setView({ setup: e.detail, after: null })}
              ></choice-bar>`
            : html`<span class="setup">setup ${setup.name}</span>`
        }
        <span class="quiet figures">${counted(screens, "screen")} · ${counted(setup.order.length, "station")}</span>
      </header>
      ${this.#background(job)} ${this.#carriage(setup, stations)}
      <p class="columns quiet" aria-hidden="true"><span>plate, ink</span><span>mesh, screen</span><span>${probe ? "tone here" : "coverage"}</span></p>
      <ol @dragleave=${this.#drag.leave} @drop=${this.#drag.drop} @dragover=${(e: DragEvent) => e.preventDefault()}>
        ${repeat(
          setup.order,
          (step, i) =>
            `${plateOfStep(step) ?? step} ${setup.order.slice(0, i).filter((s) => same(s, step)).length}`,
          (step, i) => this.#station(job, setup, step, i, stations, probe),
        )}
      </ol>
      ${this.#elsewhere(job, setup)}
    `;
  }

  /** The stage before all stations: what is cut out of the artwork. */
  #background({ background }: PanelJob) {
    if (!background) return nothing;
    const edit = (to: (PanelEdit & { kind: "background" })["to"]) => () =>
      this.store.host.post({ kind: "edit", edit: { kind: "background", to } });
    return html`<div class="background" role="group" aria-label="Background">
      <span class="swatch" ${styled({ background: background.hex })}></span>
      <button
        title="Shows its line"
        @click=${() => this.store.host.post({ kind: "reveal", path: ["artwork", "background"] })}
      >Background ${background.hex} cut out, ${ENCLOSED_NAMES[background.enclosed].is}</button>
      <action-menu
        label="Background"
        .actions=${[
          ...ENCLOSED.filter((enclosed) => enclosed !== background.enclosed).map((enclosed) => ({
            label: ENCLOSED_NAMES[enclosed].does,
            act: edit({ enclosed }),
          })),
          { label: "Leave the background in", act: edit("none") },
        ]}
      ></action-menu>
    </div>`;
  }

  /** Moves the shirt along the press. */
  #carriage(setup: JobSetup, stations: number) {
    const all = setup.order.length;
    const last = setup.order[stations - 1];
    const where =
      stations === all
        ? `all ${all} stations`
        : stations === 0
          ? "bare garment"
          : `after station ${stations} of ${all}, ${last === undefined ? "" : (plateOfStep(last) ?? last)}`;
    const go = (to: number) => this.store.setView({ after: to >= all ? null : Math.max(0, to) });
    return html`<div class="carriage" role="group" aria-label="Build-up">
      <vscode-toolbar-button
        icon="arrow-up" label="Back one station" title="Back one station  [" ?disabled=${stations === 0}
        @click=${() => go(stations - 1)}
      ></vscode-toolbar-button>
      <vscode-toolbar-button
        icon="arrow-down" label="On one station" title="On one station  ]" ?disabled=${stations === all}
        @click=${() => go(stations + 1)}
      ></vscode-toolbar-button>
      <input
        type="range" min="0" max=${all} step="1" aria-label="Stations that have printed" aria-valuetext=${where}
        .value=${String(stations)}
        @input=${(e: Event) => go(Number((e.target as HTMLInputElement).value))}
      />
      <span class="where" role="status">${where}</span>
    </div>`;
  }

  #station(
    job: PanelJob,
    setup: JobSetup,
    step: JobStep,
    i: number,
    stations: number,
    probe: Probe | undefined,
  ) {
    const name = plateOfStep(step);
    const plate = job.plates.find((other) => other.name === name);
    const classes = [
      "station",
      name === undefined ? "between" : "prints",
      i >= stations ? "ahead" : "",
      i === stations - 1 && stations < setup.order.length ? "here" : "",
      this.#drag.target === i ? "before" : "",
      this.#drag.target === i + 1 && i === setup.order.length - 1 ? "behind" : "",
    ];
    return html`<li
      class=${classes.join(" ")}
      @dragend=${this.#drag.end}
      @dragover=${(e: DragEvent) => this.#drag.over(e, i)}
    >
      <span
        class="number"
        draggable="true"
        title="Drag to move this station"
        aria-hidden="true"
        @dragstart=${(e: DragEvent) => this.#drag.start(e, i)}
      >${i + 1}</span>
      ${plate ? this.#plate(job, setup, plate, i, probe) : this.#between(setup, step as string, i)}
    </li>`;
  }

  #between(setup: JobSetup, step: string, i: number) {
    const says = step === "flash" ? "gels the ink printed so far" : "lets the garment cool";
    return html`<button
      class="row"
      title="Alt+↑ and Alt+↓ move this station"
      @click=${() => this.store.host.post({ kind: "reveal", path: ["setups", setup.name, "order", i] })}
      @keydown=${(e: KeyboardEvent) => this.#key(e, setup, i)}
    >
      <span class="unseen">Station ${i + 1}: </span><vscode-icon name=${step === "flash" ? "zap" : "watch"}></vscode-icon>
      <span class="name">${step}</span><span class="quiet says">${says}</span>
    </button>
    <span class="marks"><action-menu label="Station ${i + 1}, ${step}" .actions=${this.#moves(setup, i)}></action-menu></span>`;
  }

  #moves(setup: JobSetup, i: number): MenuAction[] {
    return [
      { label: "Move up", keys: "Alt+↑", disabled: i === 0, act: () => this.#move(setup, i, i - 1) },
      {
        label: "Move down",
        keys: "Alt+↓",
        disabled: i === setup.order.length - 1,
        act: () => this.#move(setup, i, i + 2),
      },
    ];
  }

  #plate(job: PanelJob, setup: JobSetup, plate: JobPlate, i: number, probe: Probe | undefined) {
    const { name } = plate;
    const { view, figures, findings } = this.store;
    const folded = job.plates.filter((other) => carriedBy(job, other) === name).map(({ name }) => name);
    const own = findings.filter(
      ({ plates }) => plates.includes(name) || plates.some((p) => folded.includes(p)),
    );
    const selected = shownPlate(job, view) === name && view.plate !== "";
    const changed = figures.has(name) && this.#changed(name);
    const off = view.without.includes(name);
    return html`<button
        class="row ${off ? "off" : ""}"
        aria-current=${selected}
        data-plate=${name}
        title="Shows the plate alone and its lines. Alt+↑ and Alt+↓ move the station, Delete leaves it out."
        @click=${() => this.#select(name)}
        @keydown=${(e: KeyboardEvent) => this.#key(e, setup, i, name)}
      >
        ${plateCells(this.store, job, plate, i, folded, probe)}
      </button>
      <span class="marks">
        ${changed ? html`<span class="changed" title="changed since the last commit">±</span>` : nothing}
        ${own.length > 0 ? this.#findings(own) : nothing}
        ${off ? html`<button class="back" title="Left out of the picture; the recipe stays as it is" @click=${() => this.#toggle(name)}>put back</button>` : nothing}
        <action-menu label="Station ${i + 1}, ${name}" .actions=${this.#doings(setup, name, i)}></action-menu>
      </span>`;
  }

  #doings(setup: JobSetup, name: string, i: number): MenuAction[] {
    const off = this.store.view.without.includes(name);
    return [
      { label: off ? "Put back" : "Leave out", keys: "Delete", act: () => this.#toggle(name) },
      ...this.#moves(setup, i),
      {
        label: "Show its lines",
        act: () => this.store.host.post({ kind: "reveal", path: ["plates", name] }),
      },
    ];
  }

  #findings(own: StationList["store"]["findings"]) {
    const [worst] = own;
    const icon = worst?.level === "error" ? "error" : worst?.level === "warning" ? "warning" : "info";
    return html`<button
      class="findings ${worst?.level ?? ""}"
      title=${own.map(({ message, line }) => `line ${line}: ${message}`).join("\n")}
      aria-label="${counted(own.length, "finding")}: ${worst?.message ?? ""}"
      @click=${() => worst && this.store.reveal(worst)}
    ><vscode-icon name=${icon}></vscode-icon>${own.length > 1 ? own.length : nothing}</button>`;
  }

  #elsewhere(job: PanelJob, setup: JobSetup) {
    const here = new Set(setup.order.map(plateOfStep));
    const others = job.plates.filter((plate) => plate.foldedInto === undefined && !here.has(plate.name));
    if (others.length === 0) return nothing;
    return html`<section class="elsewhere">
      <h3>No station in this setup</h3>
      ${others.map(
        ({ name }) =>
          html`<button data-plate=${name} aria-current=${this.store.view.plate === name} @click=${() => this.#select(name)}>${name}</button>`,
      )}
    </section>`;
  }

  #changed(name: string): boolean {
    const { committed, view } = this.store;
    return view.mode === "commit" && committed?.job !== undefined && !this.store.isUnchanged(name);
  }

  #select(plate: string): void {
    const { mode } = this.store.view;
    if (mode === "commit") this.store.setView({ plate, commitOf: "plate" });
    else this.store.setView({ plate, mode: mode === "proof" || mode === "garments" ? "plate" : mode });
    this.store.host.post({ kind: "reveal", path: ["plates", plate] });
  }

  #toggle(plate: string): void {
    const { without } = this.store.view;
    this.store.setView({
      without: without.includes(plate) ? without.filter((name) => name !== plate) : [...without, plate],
    });
  }

  #key(event: KeyboardEvent, setup: JobSetup, i: number, plate?: string): void {
    if (event.key === "Delete" && plate !== undefined) this.#toggle(plate);
    const step = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    if (event.altKey) {
      this.#move(setup, i, step < 0 ? i - 1 : i + 2);
      return;
    }
    const rows = [...this.renderRoot.querySelectorAll<HTMLElement>(".row")];
    rows[rows.indexOf(event.currentTarget as HTMLElement) + step]?.focus();
  }

  /** Puts a station in front of the one that stands at `to` now. */
  #move(setup: JobSetup, from: number, to: number): void {
    if (to < 0 || to > setup.order.length || to === from || to === from + 1) return;
    const order = setup.order.map((_, i) => i).filter((i) => i !== from);
    order.splice(to > from ? to - 1 : to, 0, from);
    this.store.host.post({ kind: "edit", edit: { kind: "order", setup: setup.name, order } });
  }
}
customElements.define("station-list", StationList);

function same(a: JobStep, b: JobStep): boolean {
  return (plateOfStep(a) ?? a) === (plateOfStep(b) ?? b);
}

/** The plate on whose screen a folded one prints at last. */
function carriedBy(job: PanelJob, plate: JobPlate): string | undefined {
  let at: JobPlate | undefined = plate;
  for (let i = 0; at?.foldedInto !== undefined && i < job.plates.length; i++)
    at = job.plates.find(({ name }) => name === at?.foldedInto);
  return at === plate ? undefined : at?.name;
}
