import type { Lab } from "../../server/engine/colour/cielab.ts";
import { PixelDifference } from "../../server/engine/print/difference.ts";
import { withDifference } from "../../server/engine/tone-difference.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import type {
  Job,
  PanelFinding,
  PanelPlace,
  PreviewAnswer,
  Reason,
  WirePicture,
} from "../../server/features/panel/wire.ts";
import { inflate } from "./pixels/inflate.ts";
import type { Press } from "./pixels/press.ts";
import { colourAt, type SetName } from "./pixels/shot.ts";
import type { FromPage, PointOnPrint, ToPage } from "./protocol.ts";
import { garmentOf, setupOf, shownProof, stationsOf, type View, viewOf } from "./view.ts";

/** The editor at the other end: what the page may ask of it. */
export interface Host {
  post(message: FromPage): void;
  /** What was kept when the page was last here. */
  kept(): unknown;
  keep(state: unknown): void;
}

/** Events of the store: something is to be seen; or another picture is, and what stands around it will be said later. */
export type StoreNews = "change" | "picture";

/** What stands around a picture waits for it no longer than this. */
const LATEST_MS = 200;

export interface PlateFacts {
  readonly key: string;
  readonly coverage: number;
  readonly filmMm: { readonly width: number; readonly height: number };
}

/** A picture as it lies on the print. */
export interface Placed {
  readonly key: string;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
  readonly xMm: number;
  readonly yMm: number;
  readonly heightMm: number;
  readonly ownPpi: number | undefined;
  readonly notes: readonly string[];
  /** A better picture is on its way. */
  readonly glance?: true;
}

export interface Probe extends PointOnPrint {
  /** 0xrrggbb: the artwork on the garment, and the proof. */
  readonly artwork: number;
  readonly proof: number;
  /** ΔE00 of the two. */
  readonly difference: number;
  readonly tones: ReadonlyMap<string, number>;
}

/** The last commit, as far as it was read. */
export interface Committed {
  readonly job: Job | undefined;
  readonly commit: string | undefined;
  readonly problem: string | undefined;
  readonly keys: ReadonlyMap<string, string>;
}

/**
 * All that the page knows, and the one place where it changes. Messages are taken one after the other; what is not
 * wanted any more when its bytes are unpacked is let go.
 */
export class Store extends EventTarget {
  readonly press: Press;
  readonly host: Host;
  /** The latest job that could be read. */
  job: Job | undefined;
  findings: readonly PanelFinding[] = [];
  /** Why there is no picture of the text as it is. */
  problem: string | undefined;
  /** The text has errors, and the picture is that of an earlier one. */
  stale = false;
  placed: Placed | undefined;
  piece: Placed | undefined;
  facts: ReadonlyMap<string, PlateFacts> = new Map();
  committed: Committed | undefined;
  place: PanelPlace = {};
  reasons: { readonly plate: string; readonly reasons: readonly Reason[] } | undefined;
  /** Under the pointer, or where it was pinned. */
  point: { readonly x: number; readonly y: number } | undefined;
  pinned = false;
  said = "";
  /** Counts pictures: what was made of an older one is out of date. */
  edition = 0;
  view: View;
  #queue: Promise<void> = Promise.resolve();

  constructor(press: Press, host: Host) {
    super();
    this.press = press;
    this.host = host;
    this.view = viewOf(host.kept());
  }

  /** Shows where a finding stands in the text. */
  reveal({ path, line, inShop }: PanelFinding): void {
    this.host.post(inShop ? { kind: "revealShop", line } : { kind: "reveal", path });
  }

  /** Changes what is seen, and keeps it for the next time. */
  see(change: Partial<View>): void {
    this.view = { ...this.view, ...change };
    this.host.keep({ ...(this.host.kept() as object), ...this.view });
    this.want();
    this.changed();
  }

  changed(): void {
    this.#say("change");
  }

  #say(news: StoreNews): void {
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
    this.press.whenResting(around);
    setTimeout(around, LATEST_MS);
  }

  /** Takes a message of the host, after those that came before it. */
  take(message: ToPage): Promise<void> {
    this.#queue = this.#queue.then(() => this.#take(message)).catch((error) => console.error(error));
    return this.#queue;
  }

  #wanted = "";
  #pieceWanted: Extract<FromPage, { kind: "want" }>["piece"];

  /** Tells the host what is wanted besides the picture of the text. */
  want(piece: Extract<FromPage, { kind: "want" }>["piece"] | null = this.#pieceWanted): void {
    this.#pieceWanted = piece ?? undefined;
    const committed = this.view.mode === "commit";
    const message: FromPage = { kind: "want", committed, ...(piece ? { piece } : {}) };
    const text = JSON.stringify(message);
    if (text === this.#wanted) return;
    this.#wanted = text;
    this.host.post(message);
  }

  async #take(message: ToPage): Promise<void> {
    switch (message.kind) {
      case "preview": {
        const shown = this.placed !== undefined;
        await this.#preview(message.answer);
        if (!shown || this.stale) break;
        this.#pictured();
        return;
      }
      case "committed":
        await this.#committed(message.answer);
        break;
      case "piece":
        if (!message.answer.picture || JSON.stringify(message.piece) !== JSON.stringify(this.#pieceWanted))
          return;
        this.piece = await this.#picture("piece", message.answer.picture);
        break;
      case "place":
        this.#moveTo(message.place);
        break;
      case "why":
        this.reasons = { plate: message.plate, reasons: message.reasons };
        break;
      case "show":
        this.see({
          garment: message.garment,
          mode: this.view.mode === "garments" ? "proof" : this.view.mode,
        });
        break;
      case "save":
        this.dispatchEvent(new CustomEvent("save", { detail: message.what }));
        return;
      case "said":
        this.said = message.text;
    }
    this.changed();
  }

  async #preview({ findings, job, picture, problem }: PreviewAnswer<Uint8Array>): Promise<void> {
    this.findings = findings;
    this.problem = problem;
    this.stale = job === undefined || picture === undefined;
    if (!job || !picture) {
      // Names and colours of a sound text are shown even where its artwork cannot be.
      if (job && !this.placed) {
        this.job = job;
        const proof = shownProof(job, this.view, "now");
        if (proof) this.press.warm(proof);
      }
      return;
    }
    this.placed = await this.#picture("now", picture);
    this.job = job;
    // Figures of a glance would be corrected a moment later.
    const measured = picture.glance ? [] : picture.plates;
    this.facts = new Map(measured.map(({ name, key, figures }) => [name, { key, ...figures }]));
    // A piece of the picture before this one would show what is no more.
    if (this.piece && picture.plates.some(({ bytes }) => bytes)) this.dropPiece();
    this.edition++;
  }

  dropPiece(): void {
    this.piece = undefined;
    this.press.drop("piece");
  }

  async #committed({ job, commit, problem, picture }: PreviewAnswer<Uint8Array>): Promise<void> {
    if (picture) await this.#picture("before", picture);
    const keys = new Map(picture?.plates.map(({ name, key }) => [name, key]));
    this.committed = { job: picture ? job : undefined, commit, problem, keys };
    this.edition++;
  }

  /** Keys of the plates that the press holds. */
  readonly #held = new Map<SetName, Map<string, string>>();

  /** Unpacks what was sent, and hands it on. */
  async #picture(set: SetName, { artwork, plates, glance }: WirePicture<Uint8Array>): Promise<Placed> {
    const { bytes, ...artworkPlace } = artwork;
    const placed = { ...artworkPlace, ...(glance ? { glance } : {}) };
    const unpacked = await Promise.all(
      [artwork, ...plates].map((part) =>
        part.bytes && !("differsFrom" in part) ? inflate(part.bytes) : part.bytes,
      ),
    );
    const [rgba, ...tones] = unpacked;
    // All plates follow new artwork: their keys depend on its.
    if (rgba) this.press.setArtwork(set, placed.width, placed.height, rgba);
    const held = rgba ? undefined : this.#held.get(set);
    for (const [i, { name, differsFrom }] of plates.entries()) {
      const sent = tones[i];
      if (!sent) continue;
      const before = differsFrom === undefined ? undefined : this.press.picture(set)?.plates.get(name);
      if (differsFrom !== undefined && (!before || held?.get(name) !== differsFrom))
        throw new Error(`plate ${name} was sent as what differs from one that is not here`);
      this.press.setPlate(set, name, before ? withDifference(before, sent) : sent);
    }
    this.#held.set(set, new Map(plates.map(({ name, key }) => [name, key])));
    for (const name of [...(this.press.picture(set)?.plates.keys() ?? [])])
      if (!plates.some((plate) => plate.name === name)) this.press.drop(set, name);
    return placed;
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

  /** Colours and tones at the point; undefined off the print. */
  probe(): Probe | undefined {
    const { job, placed, point } = this;
    const picture = this.press.picture("now");
    if (!job || !placed || !point || !picture) return undefined;
    const x = Math.floor((point.x / MM_PER_INCH) * placed.ppi);
    const y = Math.floor((point.y / MM_PER_INCH) * placed.ppi);
    if (x < 0 || y < 0 || x >= picture.width || y >= picture.height) return undefined;
    const i = y * picture.width + x;
    const proof = shownProof(job, this.view, "now");
    const garment = garmentOf(job, this.view);
    if (!proof || !garment) return undefined;
    const [r, g, b, a] = picture.artwork.subarray(i * 4, i * 4 + 4) as unknown as [
      number,
      number,
      number,
      number,
    ];
    const meter = this.#meterFor(garment.colour);
    const artwork = meter.onGarment(picture.artwork, i);
    const printed = colourAt(picture, proof, i);
    return {
      ...point,
      rgba: [r, g, b, a],
      artwork,
      proof: printed,
      difference: meter.between(artwork, printed),
      tones: new Map([...picture.plates].map(([name, tones]) => [name, tones[i]! / 255])),
    };
  }

  /** Kept from one probe to the next: it remembers differences. */
  #meter: { readonly garment: Lab; readonly meter: PixelDifference } | undefined;

  #meterFor(garment: Lab): PixelDifference {
    if (this.#meter?.garment !== garment) this.#meter = { garment, meter: new PixelDifference(garment) };
    return this.#meter.meter;
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
      stations: stationsOf(setup, view.after),
      without: view.without,
    };
  }
}
