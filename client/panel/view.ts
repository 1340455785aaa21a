import type { Lab } from "../../server/engine/colour/cielab.ts";
import type { PrintConditions } from "../../server/engine/print/model.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import type { JobSetup, JobStep, PanelJob } from "../../server/wire/panel.ts";
import { USUAL_END } from "./pixels/colour-scale.ts";
import type { PictureName, PrintingStation, ProofSpec, RenderRequest } from "./pixels/render.ts";

/** What the large picture is. */
export const MODES = ["proof", "wipe", "difference", "plate", "garments", "commit"] as const;
/** One of the kinds of large picture. */
export type Mode = (typeof MODES)[number];

/** What the user has chosen to see. Kept through reloads; names that the recipe no longer has fall back. */
export interface View {
  readonly garment: string;
  readonly setup: string;
  readonly mode: Mode;
  /** Stations that have printed; null for all. */
  readonly after: number | null;
  /** Plates left out for a look; the recipe stays as it is. */
  readonly without: readonly string[];
  readonly plate: string;
  readonly plateAs: "film" | "ink";
  /** 0–1 from the left: artwork before it, proof behind it. */
  readonly wipe: number;
  readonly commit: "before" | "after" | "difference";
  /** With mode commit: the composite, or the selected plate. */
  readonly commitOf: "proof" | "plate";
  /** Whether a loupe shows the films' dots under the probe. */
  readonly loupe: boolean;
  /** CSS pixels a millimetre; null fits the window. */
  readonly scale: number | null;
  /** The place in the print that stands in the middle, in millimetres. */
  readonly centre: readonly [x: number, y: number] | null;
}

/** What is seen of a recipe that was never opened. */
export const FIRST_VIEW: View = {
  garment: "",
  setup: "",
  mode: "proof",
  after: null,
  without: [],
  plate: "",
  plateAs: "film",
  wipe: 0.5,
  commit: "difference",
  commitOf: "proof",
  loupe: false,
  scale: null,
  centre: null,
};

/** A view from what was kept; anything odd in it is as at first. */
export function viewOf(kept: unknown): View {
  if (typeof kept !== "object" || kept === null) return FIRST_VIEW;
  const given = kept as Record<string, unknown>;
  const text = (key: string) => (typeof given[key] === "string" ? (given[key] as string) : "");
  const one = <T extends string>(key: string, of: readonly T[], usual: T): T =>
    of.find((choice) => choice === given[key]) ?? usual;
  const number = (key: string, least: number, most: number): number | null => {
    const value = given[key];
    return typeof value === "number" && value >= least && value <= most ? value : null;
  };
  const centre = given.centre;
  return {
    garment: text("garment"),
    setup: text("setup"),
    mode: one("mode", MODES, FIRST_VIEW.mode),
    after: number("after", 0, 1000),
    without: Array.isArray(given.without) ? given.without.filter((name) => typeof name === "string") : [],
    plate: text("plate"),
    plateAs: one("plateAs", ["film", "ink"], FIRST_VIEW.plateAs),
    wipe: number("wipe", 0, 1) ?? FIRST_VIEW.wipe,
    commit: one("commit", ["before", "after", "difference"], FIRST_VIEW.commit),
    commitOf: one("commitOf", ["proof", "plate"], FIRST_VIEW.commitOf),
    loupe: given.loupe === true,
    scale: number("scale", 0.01, 1000),
    centre:
      Array.isArray(centre) &&
      centre.length === 2 &&
      centre.every((v) => typeof v === "number" && Number.isFinite(v))
        ? [centre[0], centre[1]]
        : null,
  };
}

/** The garment that is shown: the chosen one, else the first. */
export function garmentOf(job: PanelJob, view: View): PanelJob["garments"][number] | undefined {
  return job.garments.find(({ name }) => name === view.garment) ?? job.garments[0];
}

/** Setups that print on a garment. */
export function setupsFor(job: PanelJob, garment: string): JobSetup[] {
  return job.setups.filter(({ garments }) => garments.includes(garment));
}

/** The setup that is shown: the chosen one, else the first for the garment. */
export function setupOf(job: PanelJob, view: View): JobSetup | undefined {
  const fitting = setupsFor(job, garmentOf(job, view)?.name ?? "");
  return fitting.find(({ name }) => name === view.setup) ?? fitting[0];
}

/** CSS pixels to a film pixel from which dots can be told apart. */
const DOTS_FROM = 0.5;

/** Whether the picture is seen so large that it is one of dots. */
export function isSeenAsDots(job: PanelJob, view: View): boolean {
  const scale = view.scale ?? 0;
  return (view.mode === "proof" || view.mode === "plate") && (scale * MM_PER_INCH) / job.filmDpi >= DOTS_FROM;
}

/** The plate that a station prints; undefined for a flash or a cool-down. */
export function plateOfStep(step: JobStep): string | undefined {
  return typeof step === "string" ? undefined : step.plate;
}

/** How many stations have printed, at most all of them. */
export function stationCount(setup: JobSetup | undefined, after: number | null): number {
  const all = setup?.order.length ?? 0;
  return after === null ? all : Math.min(after, all);
}

/** The proof of a garment after so many stations, the plates left out aside. */
export function proofOn(
  job: PanelJob,
  source: PictureName,
  garment: Lab,
  setup: JobSetup | undefined,
  after: number,
  without: readonly string[],
): ProofSpec {
  const stations = (setup?.order.slice(0, after) ?? []).flatMap((step): PrintingStation[] => {
    const plate = plateOfStep(step);
    if (plate === undefined || without.includes(plate)) return [];
    const ink = inkOf(job, plate);
    return ink ? [{ plate, ink: ink.film, gain: setup?.gains[plate], screen: screenOf(job, plate) }] : [];
  });
  return { source, conditions: conditionsOf(job, garment, setup), stations };
}

/** How a setup prints on a garment. */
export function conditionsOf(job: PanelJob, garment: Lab, setup: JobSetup | undefined): PrintConditions {
  const { compensated, smallestDot, misregistrationMm } = job;
  return { garment, n: setup?.n ?? 1, compensated, smallestDot, misregistrationMm };
}

function screenOf(job: PanelJob, plate: string): PrintingStation["screen"] {
  return job.plates.find(({ name }) => name === plate)?.screening;
}

/** The ink of a plate. */
export function inkOf(job: PanelJob, plate: string): PanelJob["inks"][number] | undefined {
  const name = job.plates.find((other) => other.name === plate)?.ink;
  return job.inks.find((ink) => ink.name === name);
}

/** The plate that is shown alone: the selected one, on the screen that carries it, else the first of the setup. */
export function shownPlate(job: PanelJob, view: View): string | undefined {
  const named = job.plates.find(({ name }) => name === view.plate);
  let host = named;
  for (let i = 0; host?.foldedInto !== undefined && i < job.plates.length; i++)
    host = job.plates.find(({ name }) => name === host?.foldedInto);
  if (host) return host.name;
  const first = setupOf(job, view)?.order.find((step) => typeof step !== "string");
  return first === undefined ? job.plates[0]?.name : plateOfStep(first);
}

/** The proof that the view is about, in one of the pictures. */
export function shownProof(job: PanelJob, view: View, source: PictureName): ProofSpec | undefined {
  const garment = garmentOf(job, view);
  if (!garment) return undefined;
  const setup = setupOf(job, view);
  return proofOn(job, source, garment.colour, setup, stationCount(setup, view.after), view.without);
}

/** The large picture of a view; `before` is the job of the last commit. Of a proof it may be one print, its plates slid. */
export function requestOf(
  job: PanelJob,
  before: PanelJob | undefined,
  view: View,
  source: "now" | "crop",
  end: number = USUAL_END,
  onePrint = false,
): RenderRequest | undefined {
  const proof = shownProof(job, view, source);
  const plate = shownPlate(job, view);
  if (!proof) return undefined;
  switch (view.mode) {
    case "proof":
      if (!onePrint) return { kind: "proof", ...proof };
      return source === "crop"
        ? { kind: "proof", ...proof, source: "slidCrop" }
        : { kind: "onePrint", ...proof, source: "slid", inRegister: proof };
    case "wipe":
      return { kind: "proof", ...proof };
    case "difference":
      return { kind: "difference", end, ...proof };
    case "plate":
      return plate === undefined ? undefined : plateRequest(job, proof, plate, view, source);
    case "garments":
      return undefined;
    case "commit":
      return source === "crop" ? undefined : commitRequest(job, before, view, proof, plate, end);
  }
}

function plateRequest(
  job: PanelJob,
  { conditions }: ProofSpec,
  plate: string,
  view: View,
  source: PictureName,
): RenderRequest {
  const ink = inkOf(job, plate);
  if (view.plateAs === "film" || !ink) return { kind: "film", source, plate };
  const stations = [{ plate, ink: ink.film, gain: setupOf(job, view)?.gains[plate] }];
  return { kind: "proof", source, conditions, stations };
}

function commitRequest(
  job: PanelJob,
  before: PanelJob | undefined,
  view: View,
  now: ProofSpec,
  plate: string | undefined,
  end: number,
): RenderRequest | undefined {
  if (!before) return undefined;
  const then = shownProof(before, { ...view, without: [] }, "before");
  if (view.commitOf === "plate") {
    if (plate === undefined) return undefined;
    if (view.commit === "difference") return { kind: "plateChange", source: "now", plate };
    const source = view.commit === "before" ? "before" : "now";
    return source === "now"
      ? plateRequest(job, now, plate, view, source)
      : plateRequest(before, then ?? now, plate, view, source);
  }
  if (view.commit === "after" || !then) return { kind: "proof", ...now };
  if (view.commit === "before") return { kind: "proof", ...then };
  return { kind: "change", source: "now", end, now, before: then };
}
