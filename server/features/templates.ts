import type { DocumentKind } from "../language/document.ts";

/** What a file of each kind starts as: small and sound; names, figures and colours are examples to write over. */
export const TEMPLATES: Readonly<Record<DocumentKind, string>> = {
  recipe: `recipe: 1
title: New job
artwork: { file: artwork.png, width: 12 in }

garments:
  black: { colour: "#17171a" }

inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  red:   { colour: "#d8431f", opacity: 70% }
  black: { colour: "#151517", opacity: 90% }

plates:
  base:  { ink: white, purpose: underbase, extract: { artwork: opaque } }
  red:   { ink: red, extract: { hue: [350, 60], chroma: [25, 150], fade: 15 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }

knockouts:
  - { from: base, where: black, choke: 0.4 mm }
traps:
  - { plate: base, choke: 0.2 mm }
screening: { ruling: 45 lpi, angle: 22.5, dot: round, film: 1200 dpi }

setups:
  dark: { garments: [black], order: [base, flash, red, black] }
`,
  shop: `shop: 1
title: Our shop
press: { stations: 10, flashes: 2, area: { width: 16 in, height: 20 in }, misregistration: 0.2 mm }

meshes:
  base:   { count: 122/in, thread: 70 um, opening: 138 um, thickness: 113 um }
  colour: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um }
usual-mesh: { underbase: base, colour: colour, shadow: colour, highlight: colour }

inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  black: { colour: "#151517", opacity: 90% }

screening: { ruling: 45 lpi, angle: 22.5, dot: round, film: 1200 dpi, smallest-dot: 4% }
`,
  order: `order: 1
title: New order
customer: Our customer

prints:
  front: { recipe: job.sep.yaml, place: front }

lines:
  - { garment: black, sizes: { M: 24, L: 36 }, prints: [front] }
`,
};
