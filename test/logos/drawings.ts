/** A customer's logo: shapes on a clear ground. White is drawn where it belongs to the drawing. */
export interface Logo {
  readonly name: string;
  /** Width and height of the page, in units of the shapes. */
  readonly size: readonly [width: number, height: number];
  readonly shapes: string;
  /** Every colour that a shape has. */
  readonly colours: readonly string[];
  /** What a white page shows through the drawing, as shapes: its white is the drawing's, for all that a file can tell. */
  readonly through?: string;
}

/** Letters of straight strokes, in a box of 3 × 4 units. */
const LETTERS: Readonly<Record<string, string>> = {
  A: "M0 4V1L1.5 0L3 1V4M0 2.4H3",
  B: "M0 0V4H2.4L3 3.2L2.2 2H0H2.2L3 1L2.4 0Z",
  C: "M3 0H0V4H3",
  D: "M0 0V4H2L3 3V1L2 0Z",
  E: "M3 0H0V4H3M0 2H2.4",
  I: "M1.5 0V4",
  K: "M0 0V4M3 0L0 2.2L3 4",
  L: "M0 0V4H3",
  M: "M0 4V0L1.5 2L3 0V4",
  N: "M0 4V0L3 4V0",
  O: "M0 0H3V4H0Z",
  P: "M0 4V0H3V2.2H0",
  R: "M0 4V0H3V2.2H0H1.4L3 4",
  S: "M3 0H0V2H3V4H0",
  T: "M0 0H3M1.5 0V4",
};

/** A word whose letters are `high` and whose strokes are `stroke` wide. */
function word(text: string, x: number, y: number, high: number, stroke: number, colour: string): string {
  const unit = high / 4;
  return [...text]
    .map((letter, i) => {
      const at = `translate(${x + i * (3 * unit + 2.2 * stroke)} ${y}) scale(${unit})`;
      const path = LETTERS[letter]!;
      return `<path d="${path}" transform="${at}" fill="none" stroke="${colour}" stroke-width="${stroke / unit}"/>`;
    })
    .join("");
}

function star(x: number, y: number, r: number, colour: string): string {
  const points = Array.from({ length: 10 }, (_, i) => {
    const [angle, far] = [(i * Math.PI) / 5 - Math.PI / 2, i % 2 === 0 ? r : r * 0.42];
    return `${(x + far * Math.cos(angle)).toFixed(2)},${(y + far * Math.sin(angle)).toFixed(2)}`;
  });
  return `<polygon points="${points.join(" ")}" fill="${colour}"/>`;
}

/** Drawn for the measurement alone: none is anybody's mark. */
export const LOGOS: readonly Logo[] = [
  {
    name: "anchor, one colour with letters",
    size: [240, 260],
    colours: ["#1d2b5c"],
    shapes: `<g fill="none" stroke="#1d2b5c" stroke-width="14"><circle cx="120" cy="42" r="20"/><path d="M120 62V190M80 92H160M40 130C44 190 90 196 120 196C150 196 196 190 200 130"/></g>${word("PORT", 62, 216, 26, 6, "#1d2b5c")}`,
  },
  {
    name: "badge with a white star",
    size: [260, 260],
    colours: ["#c8102e", "#10307a", "#ffffff"],
    shapes: `<circle cx="130" cy="130" r="112" fill="#10307a"/><circle cx="130" cy="130" r="92" fill="#ffffff"/><circle cx="130" cy="130" r="80" fill="#c8102e"/>${star(130, 130, 58, "#ffffff")}`,
  },
  {
    name: "cup with steam, four colours",
    size: [300, 240],
    colours: ["#4a2c1a", "#e07b28", "#f6e3b8", "#2f7f78"],
    through: `<path d="M216 108H232C250 112 252 146 212 150Z" fill="#ffffff"/>`,
    shapes: `<path d="M50 80H220V150C220 190 190 210 160 210H110C80 210 50 190 50 150Z" fill="#2f7f78"/><path d="M220 96C270 96 270 160 214 160V146C248 146 248 112 220 112Z" fill="#2f7f78"/><ellipse cx="135" cy="80" rx="85" ry="18" fill="#f6e3b8"/><ellipse cx="135" cy="82" rx="70" ry="12" fill="#4a2c1a"/><path d="M95 56C80 40 110 34 96 14M135 56C120 40 150 34 136 14M175 56C160 40 190 34 176 14" fill="none" stroke="#e07b28" stroke-width="7"/>`,
  },
  {
    name: "fish, white belly and eye, black lines",
    size: [320, 200],
    colours: ["#111111", "#f08a24", "#ffffff"],
    shapes: `<path d="M30 100C80 20 190 20 240 90L300 40V160L240 110C190 180 80 180 30 100Z" fill="#f08a24" stroke="#111111" stroke-width="6"/><path d="M60 116C100 158 180 156 222 112C160 132 110 130 60 116Z" fill="#ffffff"/><circle cx="86" cy="84" r="16" fill="#ffffff" stroke="#111111" stroke-width="4"/><circle cx="88" cy="86" r="7" fill="#111111"/><path d="M130 60C142 80 142 108 130 126M160 58C172 80 172 108 160 128" fill="none" stroke="#111111" stroke-width="2.4"/>`,
  },
  {
    name: "bicycle of thin lines, two colours",
    size: [320, 210],
    colours: ["#1f1f24", "#d22f2f"],
    through: `<g fill="#ffffff"><circle cx="78" cy="140" r="52"/><circle cx="242" cy="140" r="52"/><path d="M78 140L122 66H214L150 140Z"/></g>`,
    shapes: `<g fill="none" stroke="#1f1f24" stroke-width="4"><circle cx="78" cy="140" r="52"/><circle cx="242" cy="140" r="52"/></g><g fill="none" stroke="#1f1f24" stroke-width="1.4"><path d="M78 88V192M26 140H130M41 103L115 177M41 177L115 103M242 88V192M190 140H294M205 103L279 177M205 177L279 103"/></g><path d="M78 140L122 66H214L242 140M214 66L150 140L122 66M78 140H150M206 50H236M106 58H138" fill="none" stroke="#d22f2f" stroke-width="6"/>`,
  },
  {
    name: "mountain and sun, five colours",
    size: [300, 220],
    colours: ["#f2b632", "#335c81", "#6aa56e", "#ffffff", "#1b2a33"],
    shapes: `<circle cx="214" cy="66" r="44" fill="#f2b632"/><polygon points="20,200 120,40 220,200" fill="#335c81"/><polygon points="120,60 98,92 112,106 122,94 136,110 142,92" fill="#ffffff"/><polygon points="150,200 210,104 284,200" fill="#1b2a33"/><path d="M10 200C60 170 120 190 160 180C210 168 250 180 292 176V214H10Z" fill="#6aa56e"/>`,
  },
  {
    name: "wordmark with a line of small type",
    size: [360, 130],
    colours: ["#0b6e4f", "#222222"],
    shapes: `${word("CEDAR", 16, 18, 60, 13, "#0b6e4f")}${word("TIMBER", 20, 100, 15, 3, "#222222")}${word("KILN", 170, 100, 15, 3, "#222222")}<rect x="268" y="98" width="74" height="6" fill="#0b6e4f"/>`,
  },
  {
    name: "parrot in six colours with black lines",
    size: [240, 300],
    colours: ["#101010", "#d7263d", "#1b7fbd", "#f4d35e", "#2e933c", "#ffffff"],
    shapes: `<g stroke="#101010" stroke-width="5"><path d="M120 20C180 20 196 70 186 120C178 190 150 260 120 282C92 240 62 190 58 120C52 66 70 20 120 20Z" fill="#d7263d"/><path d="M120 120C160 120 180 150 170 190C160 220 140 240 122 250C100 220 90 160 120 120Z" fill="#1b7fbd"/><path d="M70 140C90 150 100 190 104 232C84 206 68 176 70 140Z" fill="#2e933c"/><path d="M84 60C84 44 116 40 124 60C126 84 92 90 84 60Z" fill="#ffffff"/><path d="M82 70C52 70 40 92 60 112C74 104 84 96 92 84Z" fill="#f4d35e"/></g><circle cx="104" cy="62" r="8" fill="#101010"/>`,
  },
  {
    name: "greys and red",
    size: [280, 200],
    colours: ["#8c8f94", "#d4d6d8", "#b3122b", "#2b2d31"],
    shapes: `<rect x="24" y="30" width="150" height="110" rx="14" fill="#8c8f94"/><rect x="40" y="46" width="118" height="78" fill="#d4d6d8"/><path d="M56 110L84 76L106 98L128 66L150 110Z" fill="#2b2d31"/><circle cx="206" cy="110" r="58" fill="#b3122b"/><path d="M206 72V148M168 110H244" stroke="#d4d6d8" stroke-width="16"/><rect x="30" y="160" width="144" height="14" fill="#2b2d31"/>`,
  },
  {
    name: "two blues and a near pink",
    size: [300, 200],
    colours: ["#123a8c", "#4f8fd6", "#f2a6b8"],
    shapes: `<path d="M20 150C60 60 120 60 150 150C180 60 240 60 280 150Z" fill="#123a8c"/><path d="M20 150C60 100 120 100 150 150C180 100 240 100 280 150V180H20Z" fill="#4f8fd6"/><circle cx="150" cy="52" r="36" fill="#f2a6b8"/><path d="M132 52H168M150 34V70" stroke="#123a8c" stroke-width="6"/>`,
  },
  {
    name: "band to the page's edge",
    size: [300, 180],
    colours: ["#e4572e", "#17202a", "#ffffff"],
    shapes: `<rect x="0" y="64" width="300" height="56" fill="#17202a"/>${word("SALT", 70, 78, 28, 7, "#ffffff")}<path d="M110 62C110 20 190 20 190 62Z" fill="#e4572e"/><path d="M110 122C110 164 190 164 190 122Z" fill="#e4572e"/>`,
  },
  {
    name: "leaf badge, white type on green",
    size: [260, 280],
    colours: ["#1f6b3a", "#ffffff", "#a8cf45"],
    shapes: `<path d="M130 12L236 60V150C236 214 186 254 130 270C74 254 24 214 24 150V60Z" fill="#1f6b3a"/><path d="M130 34C190 80 190 130 130 176C70 130 70 80 130 34Z" fill="#a8cf45"/><path d="M130 60V196M130 96L156 78M130 96L104 78M130 126L160 104M130 126L100 104" stroke="#1f6b3a" stroke-width="5" fill="none"/>${word("BOTANIC", 58, 204, 20, 4.4, "#ffffff")}`,
  },
];
