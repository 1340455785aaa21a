import { fastLab } from "../../../server/engine/colour/fast-lab.ts";
import { type LengthUnit, MM_PER } from "../../../server/engine/units.ts";
import { percentage, perInchText } from "../../../server/language/words.ts";
import type { Enclosed, WayOut } from "../../../server/wire/panel.ts";
import type { Mode } from "../view.ts";

/** Labels of the kinds of picture, and what each shows. */
export const MODE_NAMES: Readonly<Record<Mode, { readonly label: string; readonly hint: string }>> = {
  proof: { label: "Proof", hint: "What the press is expected to give" },
  wipe: { label: "Wipe", hint: "The artwork on one side of a line, the proof on the other" },
  difference: { label: "ΔE00", hint: "How far the proof is from the artwork, pixel by pixel" },
  plate: { label: "Plate", hint: "One plate alone" },
  garments: { label: "All garments", hint: "The job on every garment of the recipe" },
  commit: { label: "Last commit", hint: "What changed since the last commit" },
};

/** `L* 54  a* −12  b* 3` of a colour 0xrrggbb. */
export function labText(colour: number): string {
  const lab = new Float64Array(3);
  fastLab(colour >> 16, (colour >> 8) & 255, colour & 255, lab);
  const [L, a, b] = Array.from(lab, (v) => `${v < -0.5 ? "−" : ""}${Math.abs(v).toFixed(0)}`);
  return `L* ${L}  a* ${a}  b* ${b}`;
}

/** `#rrggbb` of 0xrrggbb. */
export function hexText(colour: number): string {
  return `#${colour.toString(16).padStart(6, "0")}`;
}

/** "12.3 %"; what is printed but little does not read as nothing. */
export function percentText(share: number): string {
  if (share > 0 && share < 0.001) return "< 0.1 %";
  return percentage(share, 1);
}

const FINE_DECIMALS: Readonly<Record<LengthUnit, number>> = { in: 4, cm: 3, mm: 2 };

/** "0.31, −0.02 mm": small lengths, such as how far a plate lies off, to a hundredth of a millimetre or finer. */
export function fineText(mm: readonly number[], unit: LengthUnit): string {
  const text = (v: number) => String(Number((v / MM_PER[unit]).toFixed(FINE_DECIMALS[unit])));
  return `${mm.map(text).join(", ").replaceAll("-", "−")} ${unit}`;
}

/** "45 lpi", or "17.7 l/cm" where lengths are metric. */
export function rulingText(lpi: number, unit: LengthUnit): string {
  return `${perInchText(lpi, unit)} ${unit === "in" ? "lpi" : "l/cm"}`;
}

/** Buttons for the ways out. */
export const WAY_NAMES: Readonly<Record<WayOut, string>> = {
  readShop: "Read this shop file",
  addShopFolder: "Add its folder",
  chooseShop: "Choose another…",
  readArtwork: "Read this artwork",
  addArtworkFolder: "Add its folder",
  chooseArtwork: "Choose artwork…",
  trust: "Manage trust",
  beginGit: "Begin a repository",
};

/** What is enclosed by the drawing: how it stands, and what makes it so. */
export const ENCLOSED_NAMES: Readonly<Record<Enclosed, { readonly is: string; readonly does: string }>> = {
  kept: { is: "enclosed parts kept", does: "Keep enclosed parts" },
  cut: { is: "enclosed parts too", does: "Cut enclosed parts too" },
  "counters-cut": { is: "letters' counters too", does: "Cut letters' counters too" },
};
