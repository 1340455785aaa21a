import type { Recipe, Size } from "../recipe.ts";
import {
  alike,
  type Change,
  colourChange,
  colourText,
  keysOf,
  number,
  numbers,
  same,
  sameColour,
  sizeText,
} from "./change.ts";

/** Artwork and garments. */
export function artworkChanges(before: Recipe, after: Recipe): Change[] {
  const change = (text: string, prints: boolean): Change => ({
    subject: "artwork",
    plates: [],
    text,
    prints,
  });
  const [was, is] = [before.artwork, after.artwork];
  const said: Change[] = [];
  // Another name is not another picture: its pixels are compared by themselves.
  if (was.file !== is.file) said.push(change(`file ${was.file} → ${is.file}`, false));
  if (!same(was.widthMm, is.widthMm))
    said.push(change(`printed width ${sizeText(was.widthMm)} → ${sizeText(is.widthMm)}`, true));
  return said;
}

export function garmentChanges(before: Recipe, after: Recipe): Change[] {
  const { gone, come, kept } = keysOf(before.garments, after.garments);
  const change = (name: string, text: string): Change => ({
    subject: `garment ${name}`,
    plates: [],
    text,
    prints: true,
  });
  return [
    ...come.map((name) => change(name, `new, ${colourText(after.garments.get(name)!.colour.lab)}`)),
    ...gone.map((name) => change(name, "taken out")),
    ...kept.flatMap((name) => {
      const [was, is] = [before.garments.get(name)!.colour.lab, after.garments.get(name)!.colour.lab];
      return sameColour(was, is) ? [] : [change(name, `colour ${colourChange(was, is)}`)];
    }),
  ];
}

/** What plates are solved for; it prints only where a plate is solved or matched. */
export function solveChanges(before: Recipe, after: Recipe): Change[] {
  const prints = [...after.plates.values()].some(
    ({ extract, strength }) => extract.solve !== undefined || strength === "match",
  );
  const change = (text: string): Change => ({ subject: "solving", plates: [], text, prints });
  const [was, is] = [before.solve, after.solve];
  const said: Change[] = [];
  if (was.garment !== is.garment)
    said.push(
      change(`for garment ${was.garment ?? "of the first setup"} → ${is.garment ?? "of the first setup"}`),
    );
  if (!same(was.wetInk, is.wetInk))
    said.push(change(`wet ink ${numbers(was.wetInk * 100, is.wetInk * 100, " %")}`));
  if (!same(was.smoothness, is.smoothness))
    said.push(change(`smoothness ${numbers(was.smoothness, is.smoothness)}`));
  if (!same(was.halftonePrice, is.halftonePrice))
    said.push(change(`price of halftones ${numbers(was.halftonePrice, is.halftonePrice)}`));
  return said;
}

/** What a press man reads and a shop owns: it prints nothing by itself. */
export function besideChanges(before: Recipe, after: Recipe): Change[] {
  const said: Change[] = [];
  const change = (subject: string, text: string) => said.push({ subject, plates: [], text, prints: false });
  if (before.title !== after.title) change("title", `“${before.title}” → “${after.title}”`);
  const [was, is] = [before.press, after.press];
  if (!was !== !is) change("press", is ? `now known, ${is.stations} stations` : "no longer known");
  if (was && is) {
    if (was.stations !== is.stations) change("press", `stations ${was.stations} → ${is.stations}`);
    if (was.flashes !== is.flashes) change("press", `flashes ${was.flashes} → ${is.flashes}`);
    if (was.wetLayers !== is.wetLayers) change("press", `wet layers ${was.wetLayers} → ${is.wetLayers}`);
    if (!same(was.misregistrationMm, is.misregistrationMm))
      change("press", `misregistration ${numbers(was.misregistrationMm, is.misregistrationMm, " mm")}`);
    if (!alike(was.areaMm, is.areaMm))
      change("press", `largest print ${size(was.areaMm)} → ${size(is.areaMm)}`);
    if (!alike(was.screenMm, is.screenMm))
      change("press", `largest image on a screen ${size(was.screenMm)} → ${size(is.screenMm)}`);
  }
  if (!alike(before.rollMm, after.rollMm))
    change(
      "film roll",
      `width ${before.rollMm ? number(before.rollMm) : "not said"} → ${after.rollMm ? `${number(after.rollMm)} mm` : "not said"}`,
    );
  for (const key of new Set([...Object.keys(before.pressNotes), ...Object.keys(after.pressNotes)])) {
    const at = key as keyof Recipe["pressNotes"];
    const [a, b] = [before.pressNotes[at], after.pressNotes[at]];
    if (a !== b) change("press notes", `${key}: ${b === undefined ? "taken out" : `“${b}”`}`);
  }
  return said;
}

function size(of: Size | undefined): string {
  return of ? `${sizeText(of.width)} × ${sizeText(of.height)}` : "not said";
}
