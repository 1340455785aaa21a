import { MM_PER_INCH } from "../../engine/units.ts";
import type { ArtworkSettings, Background, Garment, Recipe, Size } from "../recipe.ts";
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
  if ((was.madeOf === undefined) !== (is.madeOf === undefined))
    said.push(
      change(is.madeOf === undefined ? `now the picture ${is.file}` : "now what its plates print", true),
    );
  else if (was.file !== is.file && is.madeOf === undefined)
    said.push(change(`file ${was.file} → ${is.file}`, false));
  if (!same(was.widthMm, is.widthMm))
    said.push(change(`printed width ${sizeText(was.widthMm)} → ${sizeText(is.widthMm)}`, true));
  for (const text of viewChanges(was, is)) said.push(change(text, true));
  for (const text of backgroundChanges(was.background, is.background)) said.push(change(text, true));
  if (was.smooth !== is.smooth)
    said.push(change(`smoothing ${was.smooth ?? "off"} → ${is.smooth ?? "off"}`, true));
  for (const text of flatChanges(was.flat, is.flat)) said.push(change(text, true));
  return said;
}

function viewChanges(before: ArtworkSettings, after: ArtworkSettings): string[] {
  const pages = [before.view?.page ?? 1, after.view?.page ?? 1];
  return [
    ...(pages[0] === pages[1] ? [] : [`page ${pages[0]} → ${pages[1]}`]),
    ...(["left", "top", "right", "bottom"] as const).flatMap((side) => {
      const [was, is] = [before.margins[side], after.margins[side]];
      return same(was, is) ? [] : [`margin ${side} ${numbers(was * 100, is * 100, " %")}`];
    }),
  ];
}

function backgroundChanges(was: Background | undefined, is: Background | undefined): string[] {
  if (!was && !is) return [];
  if (!is) return ["background is no longer cut out"];
  if (!was)
    return [
      `background of ${colourText(is.colour.lab)} is cut out, its colour inside the drawing is ${is.enclosed}`,
    ];
  return [
    ...(sameColour(was.colour.lab, is.colour.lab)
      ? []
      : [`background's colour ${colourChange(was.colour.lab, is.colour.lab)}`]),
    ...(same(was.within, is.within) ? [] : [`background within ΔE00 ${numbers(was.within, is.within)}`]),
    ...(was.enclosed === is.enclosed
      ? []
      : [`background's colour inside the drawing ${was.enclosed} → ${is.enclosed}`]),
  ];
}

function flatChanges(was: ArtworkSettings["flat"], is: ArtworkSettings["flat"]): string[] {
  if (!was && !is) return [];
  if (!is) return ["no longer treated as flat art"];
  const texts = (flat: ArtworkSettings["flat"]) => (flat?.colours ?? []).map(({ lab }) => colourText(lab));
  if (!was) return [`treated as flat art: ${texts(is).join(", ")}`];
  const gone = was.colours.filter((old) => !is.colours.some((own) => sameColour(old.lab, own.lab)));
  const come = is.colours.filter((own) => !was.colours.some((old) => sameColour(old.lab, own.lab)));
  return [
    ...gone.map(({ lab }) => `flat colour ${colourText(lab)} taken out`),
    ...come.map(({ lab }) => `flat colour ${colourText(lab)} added`),
    ...(same(was.speckMm, is.speckMm) ? [] : [`smallest pieces ${numbers(was.speckMm, is.speckMm, " mm")}`]),
  ];
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
      const [was, is] = [before.garments.get(name)!, after.garments.get(name)!];
      const [a, b] = [was.colour.lab, is.colour.lab];
      return [
        ...(sameColour(a, b) ? [] : [change(name, `colour ${colourChange(a, b)}`)]),
        ...garmentColourChanges(was, is).map((one) => ({ ...change(name, one.text), prints: one.prints })),
      ];
    }),
  ];
}

function garmentColourChanges(was: Garment, is: Garment): Pick<Change, "text" | "prints">[] {
  const said: Pick<Change, "text" | "prints">[] = [];
  if (was.fabric !== is.fabric)
    said.push({ text: `fabric ${was.fabric ?? "not said"} → ${is.fabric ?? "not said"}`, prints: false });
  if (!alike(was.weight, is.weight))
    said.push({ text: `weight ${grams(was.weight, " g/m²")} → ${grams(is.weight, " g/m²")}`, prints: false });
  const [a, b] = [was.discharged?.lab, is.discharged?.lab];
  // Where a discharge ink prints, it prints on this colour.
  if (a && b ? !sameColour(a, b) : a !== b)
    said.push({
      text:
        a && b
          ? `discharged colour ${colourChange(a, b)}`
          : b
            ? `discharges to ${colourText(b)}`
            : "no longer discharges",
      prints: true,
    });
  return said;
}

function grams(value: number | undefined, unit: string): string {
  return value === undefined ? "not said" : `${number(value)}${unit}`;
}

/** What plates are solved for; it prints only where a plate is solved or matched. */
export function solveChanges(before: Recipe, after: Recipe): Change[] {
  const prints = [...after.plates.values()].some(
    ({ extract, strength }) => extract.solve !== undefined || strength === "match",
  );
  const change = (text: string): Change => ({ subject: "solving", plates: [], text, prints });
  const [was, is] = [before.solve, after.solve];
  const said: Change[] = [];
  const [from, to] = [solvedForText(was.garments), solvedForText(is.garments)];
  if (from !== to) said.push(change(`for ${from} → ${to}`));
  if (!same(was.wetInk, is.wetInk))
    said.push(change(`wet ink ${numbers(was.wetInk * 100, is.wetInk * 100, " %")}`));
  if (!same(was.smoothness, is.smoothness))
    said.push(change(`smoothness ${numbers(was.smoothness, is.smoothness)}`));
  if (!same(was.halftonePrice, is.halftonePrice))
    said.push(change(`price of halftones ${numbers(was.halftonePrice, is.halftonePrice)}`));
  return said;
}

/** Garments that plates are solved for, with their weights where there are several. */
function solvedForText(garments: ReadonlyMap<string, number> | undefined): string {
  if (!garments) return "the first setup's garment";
  const names = [...garments].map(([name, weight]) =>
    garments.size === 1 ? name : `${name} × ${number(weight)}`,
  );
  return `${garments.size === 1 ? "garment" : "garments"} ${names.join(", ")}`;
}

/** Process colour: its plates, and how much black they take. */
export function processChanges({ process: was }: Recipe, { process: is }: Recipe): Change[] {
  const change = (text: string): Change => ({ subject: "process", plates: [], text, prints: true });
  if (!was || !is) {
    if (!was && !is) return [];
    return [change(is ? `now process colour, black from ${is.black}` : "no longer process colour")];
  }
  const said = (["cyan", "magenta", "yellow", "black"] as const)
    .filter((key) => was[key] !== is[key])
    .map((key) => change(`${key} from ${was[key]} → ${is[key]}`));
  if (!alike(was.blackGeneration, is.blackGeneration)) {
    const text = (curve: typeof is.blackGeneration) => curve.map((pair) => pair.join("→")).join(", ");
    said.push(change(`black generation ${text(was.blackGeneration)} is now ${text(is.blackGeneration)}`));
  }
  return said;
}

/** How indexed plates share the print; it prints only where a plate is indexed. */
export function indexChanges(before: Recipe, after: Recipe): Change[] {
  const prints = [...after.plates.values()].some(({ extract }) => extract.index !== undefined);
  const [was, is] = [before.index, after.index];
  const said: string[] = [];
  if (!same(was.squareMm, is.squareMm))
    said.push(`grid ${numbers(MM_PER_INCH / was.squareMm, MM_PER_INCH / is.squareMm, "/in")}`);
  if (was.dither !== is.dither) said.push(`dither ${was.dither} → ${is.dither}`);
  if (!same(was.growMm, is.growMm)) said.push(`squares grow by ${numbers(was.growMm, is.growMm, " mm")}`);
  return prints ? said.map((text) => ({ subject: "index", plates: [], text, prints })) : [];
}

/** What a press man reads and a shop owns: but for the register it prints nothing by itself. */
export function besideChanges(before: Recipe, after: Recipe): Change[] {
  const said: Change[] = [];
  const change = (subject: string, text: string, prints = false) =>
    said.push({ subject, plates: [], text, prints });
  if (before.title !== after.title) change("title", `“${before.title}” → “${after.title}”`);
  const [was, is] = [before.press, after.press];
  if (!was !== !is) change("press", is ? `now known, ${is.stations} stations` : "no longer known");
  if (was && is) {
    if (was.stations !== is.stations) change("press", `stations ${was.stations} → ${is.stations}`);
    if (was.flashes !== is.flashes) change("press", `flashes ${was.flashes} → ${is.flashes}`);
    if (was.wetLayers !== is.wetLayers) change("press", `wet layers ${was.wetLayers} → ${is.wetLayers}`);
    if (was.darkPlate !== is.darkPlate)
      change("press", `dark plate on light garments ${was.darkPlate} → ${is.darkPlate}`);
    if (!same(was.misregistrationMm, is.misregistrationMm))
      // Dots nest as far as it lets them.
      change("press", `misregistration ${numbers(was.misregistrationMm, is.misregistrationMm, " mm")}`, true);
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
  for (const key of ["transfer", "spoilage"] as const) {
    const [a, b] = [before.inkUse[key], after.inkUse[key]];
    if (!same(a, b)) change("ink use", `${key} ${numbers(a * 100, b * 100, " %")}`);
  }
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
