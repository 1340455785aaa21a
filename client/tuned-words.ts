/** What `platewright tune --format json` says. */
interface TunedJson {
  readonly untouched?: string;
  readonly text?: string;
  readonly said?: readonly string[];
  readonly garments?: readonly {
    readonly garment: string;
    readonly setup: string;
    readonly before?: number;
    readonly after?: number;
  }[];
  readonly left?: readonly string[];
}

/** The recipe's new text, where there is one, and what a reader is shown; undefined where it is no such report. */
export function tunedWords(
  json: string,
): { readonly text: string | undefined; readonly words: string } | undefined {
  let told: TunedJson;
  try {
    told = JSON.parse(json);
  } catch {
    return undefined;
  }
  const figure = (value: number | undefined) => value?.toFixed(2) ?? "–";
  const garments = (told.garments ?? []).map(
    ({ garment, setup, before, after }) => `${garment} (${setup}): ΔE00 ${figure(before)} → ${figure(after)}`,
  );
  const parts = [
    told.untouched === undefined ? [] : [`The recipe is left as it is: ${told.untouched}`],
    garments,
    told.said ?? [],
    told.left ?? [],
  ];
  const words = parts
    .filter((lines) => lines.length > 0)
    .map((lines) => `${lines.join("\n")}\n`)
    .join("\n");
  return { text: told.text, words };
}
