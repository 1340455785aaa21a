import type {
  LeftOver,
  PanelFinding,
  PanelJob,
  PanelPlace,
  PreviewResult,
  Reason,
  WayOut,
} from "../../server/wire/panel.ts";
import type { PlateFigures, Preview, PreviewArtwork } from "../../server/wire/preview.ts";
import { inflate } from "./pixels/inflate.ts";
import type { SentName } from "./pixels/render.ts";
import type { Renderer } from "./pixels/renderer.ts";
import { type Probe, Prober } from "./probe.ts";
import type { FromPage, ToPage } from "./protocol.ts";
import { IN_REGISTER, type SeenPrint } from "./seen-print.ts";
import { garmentOf, setupOf, shownProof, stationCount, type View, viewOf } from "./view.ts";

/** The editor at the other end: what the page may ask of it. */
export interface Host {
  post(message: FromPage): void;
  /** What was kept when the page was last here. */
  kept(): unknown;
  keep(state: unknown): void;
}

/** Events of the store: something is to be seen; or another picture is, and what stands around it will be said later. */
export type StoreEvent = "change" | "picture";

/** What stands around a picture waits for it no longer than this. */
const LATEST_MS = 200;

/** A picture as it lies on the print. */
export interface PlacedPicture extends PreviewArtwork {
  /** A better picture is on its way. */
  readonly lowResolution?: true;
}

/** The last commit, as far as it was read. */
export interface Committed {
  readonly job: PanelJob | undefined;
  readonly commit: string | undefined;
  readonly problem: string | undefined;
  readonly ways: readonly WayOut[] | undefined;
}

/**
 * All that the page knows, and the one place where it changes. Messages are taken one after the other; what is not
 * wanted any more when its bytes are inflated is let go.
 */
export class Store extends EventTarget {
  readonly renderer: Renderer;
  readonly host: Host;
  /** The latest job that could be read. */
  job: PanelJob | undefined;
  findings: readonly PanelFinding[] = [];
  /** Why there is no picture of the text as it is. */
  problem: string | undefined;
  ways: readonly WayOut[] | undefined;
  /** The text has errors, and the picture is that of an earlier one. */
  stale = false;
  placed: PlacedPicture | undefined;
  crop: PlacedPicture | undefined;
  /** Of the plates, by name. */
  figures: ReadonlyMap<string, PlateFigures> = new Map();
  committed: Committed | undefined;
  place: PanelPlace = {};
  reasons: { readonly plate: string; readonly reasons: readonly Reason[] } | undefined;
  /** What keeps the prints from being nearer, once it was asked for. */
  left: LeftOver | undefined;
  /** Under the pointer, or where it was pinned. */
  point: { readonly x: number; readonly y: number } | undefined;
  pinned = false;
  said = "";
  print: SeenPrint = IN_REGISTER;
  /** The plate that arrow keys move in one print; undefined where they move the probe. */
  moving: string | undefined;
  /** Counts pictures: what was made of an older one is out of date. */
  edition = 0;
  view: View;
  #queue: Promise<void> = Promise.resolve();

  constructor(renderer: Renderer, host: Host) {
    super();
    this.renderer = renderer;
    this.host = host;
    this.view = viewOf(host.kept());
  }

  /** Shows where a finding stands in the text. */
  reveal({ path, line, inShop }: PanelFinding): void {
    this.host.post(inShop ? { kind: "revealShop", line } : { kind: "reveal", path });
  }

  /** Changes what is seen, and keeps it for the next time. */
  setView(change: Partial<View>): void {
    this.view = { ...this.view, ...change };
    this.host.keep({ ...(this.host.kept() as object), ...this.view });
    this.want();
    this.changed();
  }

  setPrint(print: SeenPrint): void {
    this.print = print;
    if (print.kind !== "one") for (const name of ["slid", "slidCrop"] as const) this.renderer.drop(name);
    this.changed();
  }

  changed(): void {
    this.#say("change");
  }

  #say(news: StoreEvent): void {
    this.dispatchEvent(new Event(news));
  }

  /** The picture goes first: were the parts around it drawn before, a frame would show them, and it would be in the next. */
  #pictured(): void {
    this.#say("picture");
    let said = false;
    const around = () => {
      if (!said) this.changed();
      said = true;
    };
    this.renderer.whenResting(around);
    setTimeout(around, LATEST_MS);
  }

  /** Takes a message of the host, after those that came before it. */
  receive(message: ToPage): Promise<void> {
    this.#queue = this.#queue.then(() => this.#receive(message)).catch((error) => console.error(error));
    return this.#queue;
  }

  /** Asked for before there was a picture. */
  #toSave: "proof" | "sheet" | undefined;
  #wanted = "";
  #cropWanted: Extract<FromPage, { kind: "want" }>["crop"];

  /** Tells the host what is wanted besides the picture of the text. */
  want(crop: Extract<FromPage, { kind: "want" }>["crop"] | null = this.#cropWanted): void {
    this.#cropWanted = crop ?? undefined;
    const committed = this.view.mode === "commit";
    const message: FromPage = { kind: "want", committed, ...(crop ? { crop } : {}) };
    const text = JSON.stringify(message);
    if (text === this.#wanted) return;
    this.#wanted = text;
    this.host.post(message);
  }

  async #receive(message: ToPage): Promise<void> {
    switch (message.kind) {
      case "preview": {
        const shown = this.placed !== undefined;
        await this.#preview(message.result);
        if (this.placed && !this.placed.lowResolution && this.#toSave) {
          this.dispatchEvent(new CustomEvent("save", { detail: this.#toSave }));
          this.#toSave = undefined;
        }
        if (!shown || this.stale) break;
        this.#pictured();
        return;
      }
      case "committed":
        await this.#committed(message.result);
        break;
      case "crop":
        if (!message.result.picture || JSON.stringify(message.crop) !== JSON.stringify(this.#cropWanted))
          return;
        this.crop = await this.#picture("crop", message.result.picture);
        break;
      case "place":
        this.#moveTo(message.place);
        break;
      case "why":
        this.reasons = { plate: message.plate, reasons: message.reasons };
        break;
      case "left":
        this.left = message.left;
        break;
      case "show":
        this.setView({
          garment: message.garment,
          mode: this.view.mode === "garments" ? "proof" : this.view.mode,
        });
        break;
      case "save":
        if (this.placed) this.dispatchEvent(new CustomEvent("save", { detail: message.what }));
        else this.#toSave = message.what;
        return;
      case "said":
        this.said = message.text;
    }
    this.changed();
  }

  async #preview({ findings, job, picture, problem, ways }: PreviewResult<Uint8Array>): Promise<void> {
    this.left = undefined;
    this.findings = findings;
    this.problem = problem;
    this.ways = ways;
    this.stale = job === undefined || picture === undefined;
    if (!job || !picture) {
      // Names and colours of a sound text are shown even where its artwork cannot be.
      if (job && !this.placed) {
        this.job = job;
        const proof = shownProof(job, this.view, "now");
        if (proof) this.renderer.warm(proof);
      }
      return;
    }
    this.placed = await this.#picture("now", picture);
    this.job = job;
    // Figures of few pixels would be corrected a moment later.
    const measured = picture.lowResolution ? [] : picture.plates;
    this.figures = new Map(measured.map(({ name, figures }) => [name, figures]));
    // A crop of the picture before this one would show what is no more.
    if (this.crop && picture.plates.some(({ bytes }) => bytes)) this.dropCrop();
    this.edition++;
  }

  dropCrop(): void {
    this.crop = undefined;
    for (const name of ["crop", "slidCrop"] as const) this.renderer.drop(name);
  }

  async #committed({ job, commit, problem, ways, picture }: PreviewResult<Uint8Array>): Promise<void> {
    if (picture) await this.#picture("before", picture);
    this.committed = { job: picture ? job : undefined, commit, problem, ways };
    this.edition++;
  }

  /** Inflates what was sent, and hands it on. */
  async #picture(
    source: SentName,
    { artwork, plates, ...rest }: Preview<Uint8Array>,
  ): Promise<PlacedPicture> {
    const { bytes, ...placed } = artwork;
    const [rgba, ...inflated] = await Promise.all([
      bytes && inflate(bytes),
      ...plates.map(async (plate) =>
        plate.bytes && plate.differsFrom === undefined
          ? { ...plate, bytes: await inflate(plate.bytes) }
          : plate,
      ),
    ]);
    this.renderer.update(source, {
      ...rest,
      artwork: { ...placed, ...(rgba ? { bytes: rgba } : {}) },
      plates: inflated,
    });
    return { ...placed, ...rest };
  }

  /** Whether a plate is as the last commit has it. */
  isUnchanged(plate: string): boolean {
    const [now, before] = [this.renderer.picture("now"), this.renderer.picture("before")];
    return now !== undefined && now.keys.plates[plate] === before?.keys.plates[plate];
  }

  #moveTo(place: PanelPlace): void {
    this.place = place;
    const { job } = this;
    if (!job) return;
    if (place.plate !== undefined && job.plates.some(({ name }) => name === place.plate))
      this.view = { ...this.view, plate: place.plate };
    if (place.garment !== undefined && job.garments.some(({ name }) => name === place.garment))
      this.view = { ...this.view, garment: place.garment };
  }

  readonly #prober = new Prober();

  /** Colours and tones at the point; undefined off the print. */
  probe(): Probe | undefined {
    return this.#prober.probe(this);
  }

  /** What the composite shows, for saving. */
  shown() {
    const { job, view } = this;
    const setup = job && setupOf(job, view);
    const garment = job && garmentOf(job, view);
    if (!setup || !garment) return undefined;
    return {
      garment: garment.name,
      setup: setup.name,
      stations: stationCount(setup, view.after),
      without: view.without,
    };
  }
}
