import type * as Formats from "./generated/formats.ts";
import {
  DEFAULT_INK_USE,
  DEFAULT_MISREGISTRATION_MM,
  DEFAULT_SCREENING,
  DEFAULT_WET_LAYERS,
  type InkUse,
  type Mesh,
  type Press,
  type Screening,
  type Size,
} from "./recipe.ts";
import { parseLength } from "./values/length.ts";
import { read } from "./values/parsed.ts";
import { parsePercentage } from "./values/percentage.ts";
import { parseMeshCount, parseResolution, parseRuling } from "./values/screen.ts";

/** How a shop's jobs are screened where they say nothing else. The document must be free of errors. */
export function shopScreening(shop: Formats.Shop): Omit<Screening, "gain"> {
  return resolveScreening({ ...DEFAULT_SCREENING, ...shop.screening });
}

/** The shop's press, where it says one. */
export function shopPress({ press }: Formats.Shop): Press | undefined {
  return press && resolvePress(press);
}

export type UsualScreening = Required<Pick<Formats.Screening, keyof typeof DEFAULT_SCREENING>> &
  Formats.Screening;

export function resolveScreening(screening: UsualScreening): Omit<Screening, "gain"> {
  return {
    compensate: screening.compensate ?? true,
    rulingLpi: read(parseRuling(screening.ruling)),
    angle: screening.angle,
    dot: screening.dot,
    method: screening.method,
    grainMm: read(parseLength(screening.grain)),
    squares: undefined,
    filmDpi: read(parseResolution(screening.film)),
    smallestDot: read(parsePercentage(screening["smallest-dot"])),
    smallestMarkMm: optionalLength(screening["smallest-mark"]),
    smallestLineMm: optionalLength(screening["smallest-line"]),
    smallestGapMm: optionalLength(screening["smallest-gap"]),
  };
}

export function resolvePress(press: Formats.Press): Press {
  return {
    stations: press.stations,
    flashes: press.flashes ?? 0,
    areaMm: press.area && resolveSize(press.area),
    screenMm: press.screen && resolveSize(press.screen),
    misregistrationMm: optionalLength(press.misregistration) ?? DEFAULT_MISREGISTRATION_MM,
    wetLayers: press["wet-layers"] ?? DEFAULT_WET_LAYERS,
    darkPlate: press["dark-plate"] ?? "first",
  };
}

function resolveSize({ width, height }: Formats.Size): Size {
  return { width: read(parseLength(width)), height: read(parseLength(height)) };
}

export function resolveInkUse(use: Formats.InkUse | undefined): InkUse {
  const { transfer, spoilage } = { ...DEFAULT_INK_USE, ...use };
  return { transfer: read(parsePercentage(transfer)), spoilage: read(parsePercentage(spoilage)) };
}

export function resolveMesh(mesh: Formats.Mesh): Mesh {
  return {
    count: read(parseMeshCount(mesh.count)),
    threadMm: optionalLength(mesh.thread),
    openingMm: optionalLength(mesh.opening),
    thicknessMm: optionalLength(mesh.thickness),
  };
}

export function optionalLength(text: string | undefined): number | undefined {
  return text === undefined ? undefined : read(parseLength(text));
}
