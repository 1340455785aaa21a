import { PRINTS } from "../../server/engine/print/steadiness.ts";
import type { PanelJob } from "../../server/wire/panel.ts";
import { type PlateShifts, shiftsOfDraw } from "./register-shift.ts";
import { shownProof, type View } from "./view.ts";

/** The print that is seen. */
export interface SeenPrint {
  /** All prints on average, which has no dots; the films in register; or one print. */
  readonly kind: "mean" | "register" | "one";
  /** Which one of a row of prints it began as; undefined for none of them. */
  readonly draw: number | undefined;
  readonly shifts: PlateShifts;
}

export const MEAN_PRINT: SeenPrint = { kind: "mean", draw: undefined, shifts: new Map() };
export const IN_REGISTER: SeenPrint = { kind: "register", draw: undefined, shifts: new Map() };

/** One of a row of prints, its screens off as far as the shop's misregistration allows. */
export function drawnPrint(job: PanelJob, view: View, draw: number): SeenPrint {
  const plates = shownProof(job, view, "now")?.stations.map(({ plate }) => plate) ?? [];
  const one = ((draw % PRINTS) + PRINTS) % PRINTS;
  return { kind: "one", draw: one, shifts: shiftsOfDraw(plates, one, job.misregistrationMm) };
}

/** Whether the large picture is that of one print. */
export function isOnePrint(view: View, print: SeenPrint): boolean {
  return view.mode === "proof" && print.kind === "one";
}
