import { BYTE_OF_STEP, ENCODE_STEPS } from "../../server/engine/colour/srgb.ts";
import { bytesPerRow } from "../../server/engine/screen/bits.ts";
import type { Scan } from "../../server/engine/target/place-sheet.ts";
import type { Box, Sheet } from "../../server/engine/target/sheet.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import type { Bits } from "../../server/output/films/film.ts";
import { scannedLight } from "../engine/target/scanned.ts";
import { random } from "../property.ts";
import { type InventedPress, patchColour, printed, shareOfInk } from "./invented-press.ts";

export interface Scanner {
  readonly ppi: number;
  /** How the print lies on it. */
  readonly degrees: number;
  /** Greatest error of a byte. */
  readonly noise: number;
}

/** Pixels of film round the sheet, so that a shifted plate still lies on it. */
const RIM = 40;

/**
 * The print of a sheet of two inks on a scanner. Patches are of the colour that their share of ink on film prints as;
 * all else is the films' bits, each plate where the press puts it. Lines and gaps that the press does not hold break.
 */
export function scanSheet(
  press: InventedPress,
  sheet: Sheet,
  films: readonly Bits[],
  dpi: number,
  { ppi, degrees, noise }: Scanner,
): Scan {
  const perMm = dpi / MM_PER_INCH;
  const { width, height } = films[0]!;
  const [across, down] = [width + 2 * RIM, height + 2 * RIM];
  const cells = new Uint8Array(across * down);
  const light: number[][] = [];
  const inks = [...press.inks.keys()];
  for (let bits = 0; bits < 4; bits++)
    light.push(
      scannedLight(printed(press, press.garment, new Map(inks.map((ink, i) => [ink, (bits >> i) & 1])))),
    );
  const fill = ({ x, y, width: w, height: h }: Box, value: number, into: Uint8Array) => {
    const px = (mm: number) => RIM + Math.round(mm * perMm);
    for (let row = px(y); row < px(y + h); row++)
      into.fill(value, row * across + px(x), row * across + px(x + w));
  };
  for (const { sample, box } of sheet.patches) {
    if (!sample) continue;
    const film = films[sheet.inks.indexOf(sample.ink)]!;
    light.push(scannedLight(patchColour(press, sheet, sample, shareOfInk(film, box, dpi))));
    fill(box, light.length - 1, cells);
  }
  const plates = films.map((film, plate) => {
    const ink = unpacked(film, across, down);
    for (const bar of sheet.bars) {
      if (bar.plate !== plate) continue;
      const field = sheet.fields.find(({ box }) => within(bar, box));
      if (!field || field.sample.kind === "register") continue;
      const { lean = 0 } = bar;
      const thick = Math.min(bar.width, bar.height) / Math.hypot(1, lean / bar.height);
      if (thick > (field.sample.kind === "line" ? press.line : press.gap) - 1e-9) continue;
      // What is too narrow holds here and there alone.
      const [along, long] = bar.width < bar.height ? (["y", "height"] as const) : (["x", "width"] as const);
      for (let at = 0.5; at < bar[long]; at += 1.5)
        fill(
          { ...bar, ...wider(bar, (lean * (at + 0.3)) / bar.height), [along]: bar[along] + at, [long]: 0.6 },
          field.sample.kind === "gap" ? 1 : 0,
          ink,
        );
    }
    const shift = press.off.get(inks[plate]!) ?? { x: 0, y: 0 };
    return { ink, x: shift.x * perMm, y: shift.y * perMm };
  });
  return laid(
    (x, y) => {
      const at = Math.floor(y) * across + Math.floor(x);
      if (cells[at]! > 0) return cells[at]!;
      let bits = 0;
      for (let i = 0; i < plates.length; i++) {
        const plate = plates[i]!;
        bits |= plate.ink[Math.floor(y - plate.y) * across + Math.floor(x - plate.x)]! << i;
      }
      return bits;
    },
    light,
    { width, height, scale: ppi / dpi, degrees, noise },
  );
}

function within(bar: Box, box: Box): boolean {
  return bar.x >= box.x && bar.x < box.x + box.width && bar.y >= box.y && bar.y < box.y + box.height;
}

/** A bar's rims on both sides too, which films round to pixels; it stands so far to the left there. */
function wider({ x, y, width, height }: Box, left: number): Partial<Box> {
  const rim = left > 0 ? 0.25 : 0.05;
  return width < height
    ? { x: x - left - rim, width: width + 2 * rim }
    : { y: y - rim, height: height + 2 * rim };
}

function unpacked({ bits, width, height }: Bits, across: number, down: number): Uint8Array {
  const out = new Uint8Array(across * down);
  const stride = bytesPerRow(width);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      out[(y + RIM) * across + RIM + x] = (bits[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1;
  return out;
}

interface Lie {
  readonly width: number;
  readonly height: number;
  readonly scale: number;
  readonly degrees: number;
  readonly noise: number;
}

/** What lies at film pixels, turned on the scanner's glass: four samples to its pixel. */
function laid(
  cellAt: (x: number, y: number) => number,
  light: readonly (readonly number[])[],
  { width, height, scale, degrees, noise }: Lie,
): Scan {
  const turn = (degrees * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [wide, high] = [
    Math.ceil(scale * (width * cos + height * Math.abs(sin))) + 20,
    Math.ceil(scale * (height * cos + width * Math.abs(sin))) + 20,
  ];
  const data = new Uint8Array(4 * wide * high);
  const next = random(7);
  const errors = Float32Array.from({ length: 65_521 }, () => noise * (2 * next() - 1));
  let error = 0;
  const flat = Float32Array.from(light.flat());
  for (let y = 0; y < high; y++)
    for (let x = 0; x < wide; x++) {
      let [r, g, b] = [0, 0, 0];
      for (let k = 0; k < 4; k++) {
        const px = x + 0.25 + 0.5 * (k & 1) - wide / 2;
        const py = y + 0.25 + 0.5 * (k >> 1) - high / 2;
        const X = (cos * px + sin * py) / scale + width / 2;
        const Y = (cos * py - sin * px) / scale + height / 2;
        const inside = X >= 0 && Y >= 0 && X < width && Y < height;
        const cell = 3 * (inside ? cellAt(X + RIM, Y + RIM) : 0);
        r += flat[cell]!;
        g += flat[cell + 1]!;
        b += flat[cell + 2]!;
      }
      const at = 4 * (y * wide + x);
      data[at] = noisy(r);
      data[at + 1] = noisy(g);
      data[at + 2] = noisy(b);
      data[at + 3] = 255;
    }
  function noisy(light: number): number {
    error = error === errors.length - 1 ? 0 : error + 1;
    const byte = BYTE_OF_STEP[((light / 4) * ENCODE_STEPS + 0.5) | 0]! + errors[error]!;
    return Math.max(0, Math.min(255, Math.round(byte)));
  }
  return { width: wide, height: high, data };
}
