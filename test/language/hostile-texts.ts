/** A unit over and over, until so many characters are there. */
function repeated(unit: (i: number) => string, most: number): string {
  const units: string[] = [];
  for (let i = 0, length = 0; length < most; i++) {
    const next = unit(i);
    units.push(next);
    length += next.length;
  }
  return units.join("");
}

const BASE = `recipe: 1\nartwork: { file: art.png, width: 1 in }\ngarments: { black: { colour: "#17171a" } }\ninks: { white: { colour: "#ffffff", opacity: 95% } }\nplates: { base: { ink: white, extract: { artwork: opaque } } }\nsetups: { dark: { garments: [black], order: [base] } }\n`;
/** Texts of about `N` characters, each of much of one thing. */
export const hostileTexts = (N: number): Readonly<Record<string, () => string>> => {
  const rep = (unit: (i: number) => string, most = N) => repeated(unit, most);
  return {
    "closing brackets": () => "]".repeat(N),
    "closing braces": () => "}".repeat(N),
    opening: () => "[".repeat(Math.min(N, 99_000)),
    commas: () => `[${",".repeat(Math.min(N, 99_000))}]`,
    colons: () => ":".repeat(N),
    "colon lines": () => rep(() => ": "),
    dashes: () => rep(() => "- "),
    questions: () => rep(() => "? "),
    tags: () => `a: ${rep(() => "!t ")}`,
    tags2: () => rep((i) => `!t${i} `),
    anchors: () => `a: ${rep(() => "&a ")}`,
    "anchors distinct": () => rep((i) => `&a${i} `),
    aliases: () => `a: &a 1\nb: [${rep(() => "*a ", Math.min(N, 290_000))}]`,
    aliases2: () => rep(() => "*a "),
    percent: () => rep(() => "%\n", Math.min(N, 190_000)),
    percent2: () => `%${rep(() => "x ")}`,
    bars: () => rep(() => "|"),
    bars2: () => rep(() => "| "),
    quotes: () => rep(() => '"'),
    quotes2: () => rep(() => "' "),
    quotes3: () => rep(() => '"" '),
    at: () => rep(() => "@ "),
    tick: () => rep(() => "` "),
    hash: () => rep(() => "# "),
    "one key": () => `${BASE}${"k".repeat(N)}: 1\n`,
    "one key quoted": () => `${BASE}"${"k".repeat(N)}": 1\n`,
    "one name": () => BASE.replaceAll("white", "w".repeat(N / 2.1)),
    "one value": () => BASE.replace("1 in", `"${"9".repeat(N)}"`),
    "one colour": () => BASE.replace('"#ffffff"', `"#${"f".repeat(N)}"`),
    backslashes: () => BASE.replace("1 in", `"${"\\\\".repeat(N / 2)}"`),
    blanks: () => BASE.replace("1 in", `"1${" ".repeat(N)}in"`),
    "blank lines": () => BASE + "\n".repeat(Math.min(N, 99_000)),
    spaces: () => " ".repeat(N),
    "spaces before": () => `${" ".repeat(N)}a`,
    tabs: () => "\t".repeat(N),
    allowances: () =>
      BASE +
      rep((i) => `# allow unused-ink: x${i}\n`, Math.min(N, 1.9e6))
        .split("\n")
        .slice(0, 90_000)
        .join("\n"),
    "allow unknown": () =>
      BASE +
      rep((i) => `# allow unusd-ink${i}:\n`)
        .split("\n")
        .slice(0, 90_000)
        .join("\n"),
    merges: () =>
      BASE.replace(
        "extract: { artwork: opaque } } }",
        `extract: { artwork: opaque } }, ${Array.from({ length: Math.min(3000, N / 60) }, (_, i) => `p${i}: { ink: white, extract: { artwork: opaque } }`).join(", ")} }`,
      ) +
      `merges: [${Array.from({ length: Math.min(3000, N / 60) - 1 }, (_, i) => `{ fold: p${i}, into: p${i + 1} }`).join(", ")}]\n`,
    "merges cycle": () =>
      BASE.replace(
        "extract: { artwork: opaque } } }",
        `extract: { artwork: opaque } }, ${Array.from({ length: Math.min(3000, N / 60) }, (_, i) => `p${i}: { ink: white, extract: { artwork: opaque } }`).join(", ")} }`,
      ) +
      `merges: [${Array.from({ length: Math.min(3000, N / 60) }, (_, i) => `{ fold: p${i}, into: p${(i + 1) % Math.min(3000, Math.floor(N / 60))} }`).join(", ")}]\n`,
    "near misses": () =>
      BASE.replace(
        "opacity: 95% } }",
        `opacity: 95% }, ${Array.from({ length: Math.min(4000, N / 60) }, (_, i) => `colour-of-ink-number-${i}: { colour: "#123456", opacity: 50% }`).join(", ")} }`,
      ).replace(
        "order: [base]",
        `order: [${Array.from({ length: Math.min(4000, N / 60) }, (_, i) => `colour-of-ink-numbre-${i}`).join(", ")}]`,
      ),
    "near inks": () =>
      BASE.replace(
        "opacity: 95% } }",
        `opacity: 95% }, ${Array.from({ length: Math.min(4000, N / 200) }, (_, i) => `colour-of-ink-number-${i}: { colour: "#123456", opacity: 50% }`).join(", ")} }`,
      ).replace(
        "artwork: opaque } } }",
        `artwork: opaque } }, ${Array.from({ length: Math.min(4000, N / 200) }, (_, i) => `p${i}: { ink: colour-of-ink-numbre-${i}, extract: { artwork: opaque } }`).join(", ")} }`,
      ),
    "unknown keys": () =>
      BASE + Array.from({ length: Math.min(4900, N / 20) }, (_, i) => `inkss-${i}: 1\n`).join(""),
    "long unknown": () =>
      BASE + Array.from({ length: 100 }, (_, i) => `${"x".repeat(N / 110)}${i}: 1\n`).join(""),
    "deep extract": () =>
      BASE.replace("{ artwork: opaque }", `${"{ except: ".repeat(60)}{ artwork: opaque }${" }".repeat(60)}`),
    knockouts: () =>
      BASE +
      `knockouts: [${Array.from({ length: Math.min(4900, N / 60) }, () => "{ from: base, where: base }").join(", ")}]\n`,
    traps: () =>
      BASE +
      `traps: [${Array.from({ length: Math.min(4900, N / 60) }, () => "{ plate: base, choke: 0.1 mm }").join(", ")}]\n`,
    setups: () =>
      BASE.replace(
        /setups.*/,
        `setups: { ${Array.from({ length: Math.min(4900, N / 60) }, (_, i) => `s${i}: { garments: [black], order: [base] }`).join(", ")} }`,
      ),
    garments: () =>
      BASE.replace(
        /garments.*/,
        `garments: { ${Array.from({ length: Math.min(4900, N / 60) }, (_, i) => `s${i}: { colour: "#171${(i % 900) + 100}" }`).join(", ")} }`,
      ),
    order: () => BASE.replace("order: [base]", `order: [${rep(() => "base, ", Math.min(N, 29_000))}base]`),
    plates: () =>
      BASE.replace(
        "extract: { artwork: opaque } } }",
        `extract: { artwork: opaque } }, ${Array.from({ length: Math.min(4900, N / 60) }, (_, i) => `p${i}: { ink: white, extract: { near: "#12${(i % 9000) + 1000}", within: 10 } }`).join(", ")} }`,
      ).replace(
        "order: [base]",
        `order: [${Array.from({ length: Math.min(4900, N / 60) }, (_, i) => `p${i}`).join(", ")}]`,
      ),
    curve: () =>
      BASE +
      `adjust: [{ plate: base, curve: [${Array.from({ length: Math.min(4900, N / 60) }, (_, i) => `[${i % 100}, ${i % 100}]`).join(", ")}] }]\n`,
    "lines of x": () => rep(() => "x\n", Math.min(N, 198_000)),
    words: () => rep(() => "x "),
    CR: () => rep(() => "\r"),
    "doc markers": () => rep(() => "---\n", Math.min(N, 390_000)),
    "doc end": () => rep(() => "...\n", Math.min(N, 390_000)),
    "block scalar": () =>
      "a: |\n" +
      rep((i) => `${" ".repeat((i % 40) + 1)}x\n`, Math.min(N, 1.9e6))
        .split("\n")
        .slice(0, 90_000)
        .join("\n"),
    folded: () => `a: >\n${" x".repeat(N / 2)}`,
    "plain multi": () => `a: ${rep(() => "x\n ", 290_000)}`,
    "flow pairs": () => `{${rep(() => "? ", N)}}`,
    nul: () => "\0".repeat(N),
    bom: () => "\ufeff".repeat(N / 3),
    surrogate: () => "\ud800".repeat(N / 3),
  };
};

const CGATS = (fields: string, rows: string) =>
  `CGATS.17\nBEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows}END_DATA\n`;

/** The same for files of readings. */
export const hostileReadings = (N: number): Readonly<Record<string, () => string>> => ({
  "many fields": () =>
    CGATS(
      repeated((i) => `F${i} `, N),
      "1\n",
    ),
  "fields named twice": () =>
    CGATS(
      repeated(() => "F ", N),
      "1\n",
    ),
  "wrong rows": () =>
    CGATS(
      "T LAB_L LAB_A LAB_B",
      repeated(() => "1 2\n", N),
    ),
  "open quotes": () =>
    CGATS(
      "T LAB_L LAB_A LAB_B",
      repeated(() => '"\n', N),
    ),
  "many steps": () =>
    CGATS(
      "T LAB_L LAB_A LAB_B",
      repeated((i) => `${(i % 100_000) / 1000} 50 0 0\n`, N),
    ),
  "one line": () => repeated(() => "x ", N),
  "one word": () => "x".repeat(N),
  "one quote": () => `"${'"'.repeat(N)}`,
  "header lines": () => repeated((i) => `H${i} 1\n`, N),
  "line ends": () => "\r".repeat(N),
});
