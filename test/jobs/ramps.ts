import sharp from "sharp";

/** A recipe for `rampsPng` whose ranges are far from their best. */
export const RAMPS_RECIPE = `recipe: 1
# Embers over slate.
artwork: { file: art.png, width: 0.8 in }
garments: { white: { colour: "#f4f3ef" } }
inks:
  ember: { colour: lab(56 56 56), opacity: 70% }
  blue: { colour: lab(46 -10 -42), opacity: 64% }
  black: { colour: "#131316", opacity: 97% }
# allow filled-shadows: these are looked at on press
plates:
  ember: # the warm ones
    ink: ember
    extract: { hue: [20, 80], chroma: [30, 150], fade: { hue: 30, chroma: 40 } }
    screening: { angle: 52.5 }
  blue: { ink: blue, extract: { hue: [200, 290], chroma: [20, 150], fade: { hue: 30, chroma: 30 } }, screening: { angle: 82.5 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 20], fade: 50 } }
adjust:
  - { plate: ember, curve: [[0, 0], [50, 50], [100, 100]] }
setups:
  light: { garments: [white], order: [black, blue, ember] }
`;

/** Ramps from white to orange, to blue and to black, one beside the other. */
export async function rampsPng(): Promise<Uint8Array> {
  const [width, height] = [120, 90];
  const ends = [
    [222, 84, 34],
    [20, 116, 178],
    [25, 25, 28],
  ];
  const data = Buffer.alloc(width * height * 3);
  for (let i = 0; i < width * height; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    for (const [k, end] of ends[Math.floor((3 * x) / width)]!.entries())
      data[3 * i + k] = Math.round(244 + ((end - 244) * y) / (height - 1));
  }
  return sharp(data, { raw: { width, height, channels: 3 } })
    .png()
    .toBuffer();
}
