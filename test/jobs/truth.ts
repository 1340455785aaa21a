import { type InventedPress, stronger } from "./invented-press.ts";

export const INKS = ["ember", "blue"];

/** What the shop believes. */
export const SHOP = `shop: 1
press: { stations: 6, misregistration: 0.1 mm }
inks:
  ember: { colour: lab(56 56 56), opacity: 30% }
  blue: { colour: lab(46 -10 -42), opacity: 20% }
screening: { ruling: 45 lpi, angle: 22.5, film: 600 dpi, smallest-dot: 0% }
`;

/** Gain of 16 and 12 %, light that spreads, inks a tenth stronger than the shop believes, noise. */
export const PRESS: InventedPress = {
  garment: { L: 96, a: 0, b: 1 },
  card: { white: { L: 100, a: 0, b: 0 }, black: { L: 0, a: 0, b: 0 } },
  inks: new Map([
    ["ember", stronger({ colour: { L: 56, a: 56, b: 56 }, opacity: 0.3 }, 1.1)],
    ["blue", stronger({ colour: { L: 46, a: -10, b: -42 }, opacity: 0.2 }, 1.1)],
  ]),
  grown: (film, ink) => film + (ink === "ember" ? 0.64 : 0.48) * film * (1 - film),
  n: 1.6,
  off: new Map([["blue", { x: 0.13, y: -0.21 }]]),
  line: 0.15,
  gap: 0.2,
  noise: 0.15,
};
