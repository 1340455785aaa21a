const MM_PER: Readonly<Record<string, number>> = { in: 25.4, cm: 10, mm: 1 };
/** Under so many pixels an inch edges show; the rule artwork-coarse says the same. */
const LEAST_PPI = 150;

/** What an answer to the question for the printed width comes to. */
export interface WidthAnswer {
  readonly level: "error" | "warning" | "info";
  readonly text: string;
}

/**
 * What is shown beside a width while it is typed: what is wrong with it, else the resolution that it gives. `pixels` are the
 * file's own across what prints, "drawing" where there are none; undefined where that is not known.
 */
export function widthAnswer(typed: string, pixels: number | "drawing" | undefined): WidthAnswer | undefined {
  const text = typed.trim();
  if (text === "") return undefined;
  const [, figure, unit] = /^(\d+(?:\.\d+)?)\s*(in|mm|cm)$/.exec(text) ?? [];
  const mm = Number(figure) * MM_PER[unit ?? ""]!;
  if (!(mm > 0)) return { level: "error", text: "Write a length with its unit, such as 10 in or 250 mm." };
  if (pixels === undefined) return undefined;
  const width = `${figure} ${unit}`;
  if (pixels === "drawing") return { level: "info", text: `${width}: a drawing is sharp at any width.` };
  const ppi = Math.round((pixels * 25.4) / mm);
  const said = `${width} is ${ppi} ppi of this picture`;
  if (ppi >= LEAST_PPI) return { level: "info", text: `${said}.` };
  return { level: "warning", text: `${said}; under ${LEAST_PPI} edges are soft.` };
}
