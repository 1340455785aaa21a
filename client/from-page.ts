import { WAYS_OUT } from "../server/wire/panel.ts";
import { type FromPage, OUTPUTS } from "./panel/protocol.ts";

type Fields = Readonly<Record<string, unknown>>;

/** No message but a picture holds a longer text, list or number of levels than this. */
const LONGEST = 10_000;
const DEEPEST = 6;
const LARGEST_PNG = 200_000_000;

/** What each kind of message holds. What an edit means is for the server to judge, which reads it with the recipe. */
const KINDS: Readonly<Record<FromPage["kind"], (message: Fields) => boolean>> = {
  ready: () => true,
  want: ({ committed, crop }) =>
    typeof committed === "boolean" &&
    (crop === undefined || allFinite(crop, "x", "y", "width", "height", "ppi")),
  edit: ({ edit }) => typeof fields(edit).kind === "string" && isPlain(edit),
  try: ({ edit }) => edit === undefined || (typeof fields(edit).kind === "string" && isPlain(edit)),
  reveal: ({ path }) => Array.isArray(path) && path.every(isStep) && isPlain(path),
  revealShop: ({ line }) => Number.isSafeInteger(line) && (line as number) > 0,
  why: ({ plate, point }) =>
    typeof plate === "string" && allFinite(point, "x", "y") && isColour(fields(point).rgba) && isPlain(plate),
  left: () => true,
  output: ({ what }) => OUTPUTS.some((known) => known === what),
  go: ({ way }) => WAYS_OUT.some((known) => known === way),
  saveProof: ({ shown }) => {
    const { garment, setup, stations, without } = fields(shown);
    const names = [garment, setup, ...(Array.isArray(without) ? without : [undefined])];
    return (
      names.every((name) => typeof name === "string") && Number.isSafeInteger(stations) && isPlain(shown)
    );
  },
  saveSheet: ({ png }) => png instanceof Uint8Array && png.length <= LARGEST_PNG,
};

/** A message as the page sends it; undefined for anything else. */
export function fromPage(sent: unknown): FromPage | undefined {
  const message = fields(sent);
  const { kind } = message;
  if (typeof kind !== "string" || !Object.hasOwn(KINDS, kind)) return undefined;
  return KINDS[kind as FromPage["kind"]](message) ? (message as unknown as FromPage) : undefined;
}

function isStep(step: unknown): boolean {
  return typeof step === "string" || Number.isSafeInteger(step);
}

function isColour(value: unknown): boolean {
  return Array.isArray(value) && value.length === 4 && value.every((v) => v >= 0 && v <= 255);
}

function allFinite(value: unknown, ...keys: readonly string[]): boolean {
  return keys.every((key) => Number.isFinite(fields(value)[key]));
}

/** Data of JSON, and not much of it. */
function isPlain(value: unknown, depth = 0): boolean {
  if (depth > DEEPEST) return false;
  if (typeof value === "string") return value.length <= LONGEST;
  if (typeof value !== "object" || value === null) return typeof value !== "function";
  const parts = Object.values(value);
  return parts.length <= LONGEST && parts.every((part) => isPlain(part, depth + 1));
}

function fields(value: unknown): Fields {
  return typeof value === "object" && value !== null ? (value as Fields) : {};
}
