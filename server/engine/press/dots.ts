import { MM_PER_INCH } from "../units.ts";

/** Arithmetic of halftone dots. Rulings in lines an inch, film resolutions in dots an inch, tones 0–1. */

/** Tone steps that one cell of the ruling holds at a film resolution: (dpi ÷ lpi)² + 1. */
export function toneSteps(filmDpi: number, rulingLpi: number): number {
  return Math.floor((filmDpi / rulingLpi) ** 2) + 1;
}

/** Distance between two rows of dots, in mm. */
export function rowMm(rulingLpi: number): number {
  return MM_PER_INCH / rulingLpi;
}

/** Tone whose round dot is as wide as the pitch of a mesh (one opening and one thread): π/4 · (lpi ÷ mesh count)². */
export function toneOfMeshPitch(meshPerInch: number, rulingLpi: number): number {
  return Math.min(1, (Math.PI / 4) * (rulingLpi / meshPerInch) ** 2);
}
