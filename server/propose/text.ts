import { flowText } from "../language/flow-text.ts";
import type { Draft, DraftPlate } from "./draft.ts";

/** Lines longer than this are broken. */
const WIDTH = 118;

/** A draft as the recipe's text. */
export function recipeText(draft: Draft): string {
  const allowed = (part: string, indent: string) =>
    draft.allowances
      .filter((allowance) => allowance.part === part)
      .map(({ rule, reason }) => `${indent}# allow ${rule}: ${reason}`);
  const sections: string[][] = [
    [
      ...draft.head.flatMap((sentence) => wrapped(sentence, "# ")),
      "recipe: 1",
      `title: ${flowText(draft.title)}`,
      ...(draft.shop === undefined ? [] : [`shop: ${flowText(draft.shop)}`]),
      ...allowed("artwork", ""),
      `artwork: ${flowText(draft.artwork)}`,
    ],
    ["garments:", ...draft.garments.map(({ name, colour }) => `  ${name}: ${flowText({ colour })}`)],
    draft.inks.length === 0
      ? []
      : [
          "inks:",
          ...draft.inks.flatMap(({ name, colour, opacity, comment }) => [
            ...(comment === undefined ? [] : wrapped(comment, "  # ")),
            ...allowed(`inks.${name}`, "  "),
            `  ${name}: ${flowText({ colour, opacity })}`,
          ]),
        ],
    ["plates:", ...draft.plates.flatMap((plate) => plateLines(plate, allowed(`plates.${plate.name}`, "  ")))],
    list("knockouts", draft.knockouts, allowed),
    list("traps", draft.traps, allowed),
    [
      ...(draft.screening ? [...allowed("screening", ""), `screening: ${flowText(draft.screening)}`] : []),
      ...(draft.solve ? [`solve: ${flowText(draft.solve)}`] : []),
    ],
    [
      "setups:",
      ...draft.setups.flatMap(({ name, garments, order, comment }) => [
        ...wrapped(comment, "  # "),
        ...allowed(`setups.${name}`, "  "),
        `  ${name}:`,
        `    garments: ${flowText(garments)}`,
        `    order: ${flowText(order)}`,
      ]),
    ],
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`;
}

function list(name: string, items: readonly object[], allowed: Allowed): string[] {
  if (items.length === 0) return [];
  const lines = items.flatMap((item, i) => [...allowed(`${name}.${i}`, "  "), `  - ${flowText(item)}`]);
  return [`${name}:`, ...lines];
}

type Allowed = (part: string, indent: string) => string[];

function plateLines({ name, comment, ...plate }: DraftPlate, allowances: string[]): string[] {
  const lines = [...wrapped(comment, "  # "), ...allowances];
  const fields = Object.fromEntries(Object.entries(plate).filter(([, value]) => value !== undefined));
  const short = `  ${name}: ${flowText(fields)}`;
  return short.length <= WIDTH ? [...lines, short] : [...lines, `  ${name}:`, ...block(fields, "    ")];
}

/** A map over several lines; what is short stays on one. */
function block(value: object, indent: string): string[] {
  return Object.entries(value).flatMap(([key, field]) => {
    const short = `${indent}${key}: ${flowText(field)}`;
    if (short.length <= WIDTH || typeof field !== "object") return [short];
    const inner = `${indent}  `;
    if (!Array.isArray(field)) return [`${indent}${key}:`, ...block(field, inner)];
    return [`${indent}${key}:`, ...field.map((item) => `${inner}- ${flowText(item)}`)];
  });
}

function wrapped(sentence: string, start: string): string[] {
  const lines: string[] = [];
  let line = start.trimEnd();
  for (const word of sentence.split(" ")) {
    if (line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = start.trimEnd();
    }
    line += ` ${word}`;
  }
  return [...lines, line];
}
