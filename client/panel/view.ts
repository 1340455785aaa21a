import type { Lab } from "../../server/engine/colour/cielab.ts";
import type { PrintConditions } from "../../server/engine/print/model.ts";
import type { Job, JobSetup, JobStep } from "../../server/features/panel/wire.ts";
import type { Printed, Printing, SetName, Shot } from "./pixels/shot.ts";

/** What the large picture is. */
export const MODES = ["proof", "wipe", "difference", "plate", "garments", "commit"] as const;
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
  /** Whether a glass shows the films' dots under the probe. */
  readonly loupe: boolean;
  /** CSS pixels a millimetre; null fits the window. */
  readonly scale: number | null;
  /** The place in the print that stands in the middle, in millimetres. */
  readonly centre: readonly [x: number, y: number] | null;
}

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
export function garmentOf(job: Job, view: View): Job["garments"][number] | undefined {
  return job.garments.find(({ name }) => name === view.garment) ?? job.garments[0];
}

/** Setups that print on a garment. */
export function setupsFor(job: Job, garment: string): JobSetup[] {
  return job.setups.filter(({ garments }) => garments.includes(garment));
}

/** The setup that is shown: the chosen one, else the first for the garment. */
export function setupOf(job: Job, view: View): JobSetup | undefined {
  const fitting = setupsFor(job, garmentOf(job, view)?.name ?? "");
  return fitting.find(({ name }) => name === view.setup) ?? fitting[0];
}

export function plateOfStep(step: JobStep): string | undefined {
  return typeof step === "string" ? undefined : step.plate;
}

/** Stations that have printed, at most all of them. */
export function stationsOf(setup: JobSetup | undefined, after: number | null): number {
  const all = setup?.order.length ?? 0;
  return after === null ? all : Math.min(after, all);
}

/** What has been printed on a garment after so many stations, the plates left out aside. */
export function printedOn(
  job: Job,
  set: SetName,
  garment: Lab,
  setup: JobSetup | undefined,
  stations: number,
  without: readonly string[],
): Printed {
  const printings = (setup?.order.slice(0, stations) ?? []).flatMap((step): Printing[] => {
    const plate = plateOfStep(step);
    if (plate === undefined || without.includes(plate)) return [];
    const ink = inkOf(job, plate);
    return ink ? [{ plate, ink: ink.film, gain: setup?.gains[plate], screen: screenOf(job, plate) }] : [];
  });
  return { set, conditions: conditionsOf(job, garment, setup), printings };
}

/** How a setup prints on a garment. */
export function conditionsOf(job: Job, garment: Lab, setup: JobSetup | undefined): PrintConditions {
  const { compensated, smallestDot, misregistrationMm } = job;
  return { garment, n: setup?.n ?? 1, compensated, smallestDot, misregistrationMm };
}

function screenOf(job: Job, plate: string): Printing["screen"] {
  return job.plates.find(({ name }) => name === plate)?.screening;
}

export function inkOf(job: Job, plate: string): Job["inks"][number] | undefined {
  const name = job.plates.find((other) => other.name === plate)?.ink;
  return job.inks.find((ink) => ink.name === name);
}

/** The plate that is shown alone: the selected one, on the screen that carries it, else the first of the setup. */
export function shownPlate(job: Job, view: View): string | undefined {
  const named = job.plates.find(({ name }) => name === view.plate);
  let host = named;
  for (let i = 0; host?.foldedInto !== undefined && i < job.plates.length; i++)
    host = job.plates.find(({ name }) => name === host?.foldedInto);
  if (host) return host.name;
  const first = setupOf(job, view)?.order.find((step) => typeof step !== "string");
  return first === undefined ? job.plates[0]?.name : plateOfStep(first);
}

/** The proof that the view is about, in one of the pictures. */
export function shownProof(job: Job, view: View, set: SetName): Printed | undefined {
  const garment = garmentOf(job, view);
  if (!garment) return undefined;
  const setup = setupOf(job, view);
  return printedOn(job, set, garment.colour, setup, stationsOf(setup, view.after), view.without);
}

/** The large picture of a view; `before` is the job of the last commit. */
export function shotOf(
  job: Job,
  before: Job | undefined,
  view: View,
  set: "now" | "piece",
): Shot | undefined {
  const proof = shownProof(job, view, set);
  const plate = shownPlate(job, view);
  if (!proof) return undefined;
  switch (view.mode) {
    case "proof":
    case "wipe":
      return { kind: "proof", ...proof };
    case "difference":
      return { kind: "difference", ...proof };
    case "plate":
      return plate === undefined ? undefined : plateShot(job, proof, plate, view, set);
    case "garments":
      return undefined;
    case "commit":
      return set === "piece" ? undefined : commitShot(job, before, view, proof, plate);
  }
}

function plateShot(job: Job, { conditions }: Printed, plate: string, view: View, set: SetName): Shot {
  const ink = inkOf(job, plate);
  if (view.plateAs === "film" || !ink) return { kind: "film", set, plate };
  const printings = [{ plate, ink: ink.film, gain: setupOf(job, view)?.gains[plate] }];
  return { kind: "proof", set, conditions, printings };
}

function commitShot(
  job: Job,
  before: Job | undefined,
  view: View,
  now: Printed,
  plate: string | undefined,
): Shot | undefined {
  if (!before) return undefined;
  const then = shownProof(before, { ...view, without: [] }, "before");
  if (view.commitOf === "plate") {
    if (plate === undefined) return undefined;
    if (view.commit === "difference") return { kind: "plateChange", set: "now", plate };
    const set = view.commit === "before" ? "before" : "now";
    return set === "now"
      ? plateShot(job, now, plate, view, set)
      : plateShot(before, then ?? now, plate, view, set);
  }
  if (view.commit === "after" || !then) return { kind: "proof", ...now };
  if (view.commit === "before") return { kind: "proof", ...then };
  return { kind: "change", set: "now", now, before: then };
}
