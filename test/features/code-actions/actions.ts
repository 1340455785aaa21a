import { codeActions } from "../../../server/features/code-actions.ts";
import { type Beside, cursor, edited, read } from "../model.ts";

/** Title → text after the action, for the actions of one kind at the cursor; allowing has tests of its own. */
export function actions(marked: string, kind: string, beside: Beside = {}): Record<string, string> {
  const place = read(marked, beside);
  const found = codeActions(place.model, cursor(place), { only: [kind] }).filter(
    ({ title }) => !title.startsWith("Allow "),
  );
  return Object.fromEntries(found.map(({ title, edit }) => [title, edited(place.model, edit)]));
}

export const fixes = (marked: string, beside?: Beside) => actions(marked, "quickfix", beside);

export function preferred(marked: string): string[] {
  const place = read(marked);
  return codeActions(place.model, cursor(place), { only: ["quickfix"] })
    .filter(({ isPreferred }) => isPreferred)
    .map(({ title }) => title);
}

/** The findings that are left in a text. */
export const left = (text: string) =>
  read(text).model.findings.map(({ rule, message }) => `${rule}: ${message}`);

/** The sound recipe with setups in block style and a highlight. */
export const BLOCKS = `recipe: 1
artwork:
  file: art.png # the moth
  width: 2 in
garments:
  black: { colour: "#17171a" }
  white: { colour: "#f4f3ef" }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  sand: { colour: lab(80 4 20), opacity: 70% }
  night: { colour: "#131316", opacity: 97% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50] } }
  sand: { ink: sand, extract: { hue: [60, 90] } }
  dark: { ink: night, purpose: shadow, extract: { lightness: [0, 18] } }
  glint: { ink: white, purpose: highlight, extract: { lightness: [92, 100] } }
setups:
  on-black:
    garments: [black]
    order:
      - base
      - flash
      - sand
      - ember # wet-on-wet
      - dark
      - glint
  on-white: { garments: [white], order: [dark, ember, sand] }
`;
