import type { Recipe, Setup, Step } from "../recipe.ts";
import { listed } from "../words.ts";
import { type Change, keysOf, numbers, same } from "./change.ts";

/** Which plates print where: print orders, garments on a setup. */
export function setupChanges(before: Recipe, after: Recipe): Change[] {
  const { gone, come, kept } = keysOf(before.setups, after.setups);
  const change = (setup: string, text: string, plates: readonly string[] = []): Change => ({
    subject: `setup ${setup}`,
    plates,
    text,
    prints: true,
  });
  return [
    ...come.map((name) => {
      const { garments, order } = after.setups.get(name)!;
      return change(name, `new, for ${listed(garments)}: ${order.map(stepName).join(", ")}`);
    }),
    ...gone.map((name) =>
      change(name, `taken out; it printed on ${listed(before.setups.get(name)!.garments)}`),
    ),
    ...kept.flatMap((name) => {
      const [was, is] = [before.setups.get(name)!, after.setups.get(name)!];
      return [
        ...garmentChanges(was, is).map((text) => change(name, text)),
        ...orderChanges(was.order, is.order).map(
          ({ step, text }): Change => ({
            // A plate's move is told as the plate's, a flash's as the setup's.
            subject: typeof step === "string" ? `setup ${name}` : step.plate,
            plates: typeof step === "string" ? [] : [step.plate],
            text: text.replace("…", () => `on ${name}`),
            prints: true,
          }),
        ),
        ...(same(was.yuleNielsen, is.yuleNielsen)
          ? []
          : [change(name, `Yule–Nielsen n ${numbers(was.yuleNielsen, is.yuleNielsen)}`)]),
      ];
    }),
  ];
}

function garmentChanges(was: Setup, is: Setup): string[] {
  const come = is.garments.filter((name) => !was.garments.includes(name));
  const gone = was.garments.filter((name) => !is.garments.includes(name));
  return [
    ...(come.length > 0 ? [`now also prints on ${listed(come)}`] : []),
    ...(gone.length > 0 ? [`no longer prints on ${listed(gone)}`] : []),
  ];
}

interface Move {
  readonly step: Step;
  /** The setup's name goes where the dots are. */
  readonly text: string;
}

/** The fewest moves that make one order of the other; stations count from 1, flashes among them. */
export function orderChanges(was: readonly Step[], is: readonly Step[]): Move[] {
  const { gone, come } = leftOver(was.map(stepName), is.map(stepName));
  const said: Move[] = [];
  for (const to of come) {
    const step = is[to]!;
    const name = stepName(step);
    const from = gone.find((at) => stepName(was[at]!) === name);
    const subject = typeof step === "string" ? `${name} ` : "";
    if (from === undefined) {
      const text =
        typeof step === "string"
          ? `${name} added at station ${to + 1} …`
          : `now printed at station ${to + 1} …`;
      said.push({ step, text });
      continue;
    }
    gone.splice(gone.indexOf(from), 1);
    said.push({ step, text: `${subject}moved from station ${from + 1} to ${to + 1} …` });
  }
  for (const from of gone) {
    const step = was[from]!;
    const text =
      typeof step === "string"
        ? `${step} taken out of station ${from + 1} …`
        : `no longer printed … (was at station ${from + 1})`;
    said.push({ step, text });
  }
  return said;
}

/** Indexes of what is not part of the longest common sequence. */
function leftOver(a: readonly string[], b: readonly string[]): { gone: number[]; come: number[] } {
  const width = b.length + 1;
  const longest = new Uint16Array((a.length + 1) * width);
  for (let i = a.length - 1; i >= 0; i--)
    for (let k = b.length - 1; k >= 0; k--)
      longest[i * width + k] =
        a[i] === b[k]
          ? longest[(i + 1) * width + k + 1]! + 1
          : Math.max(longest[(i + 1) * width + k]!, longest[i * width + k + 1]!);
  const [gone, come]: [number[], number[]] = [[], []];
  let [i, k] = [0, 0];
  while (i < a.length || k < b.length) {
    if (i < a.length && k < b.length && a[i] === b[k]) {
      i++;
      k++;
    } else if (
      k >= b.length ||
      (i < a.length && longest[(i + 1) * width + k]! >= longest[i * width + k + 1]!)
    )
      gone.push(i++);
    else come.push(k++);
  }
  return { gone, come };
}

function stepName(step: Step): string {
  return typeof step === "string" ? step : step.plate;
}
