import fc from "fast-check";
import { expect, it } from "vitest";
import { type Document, isCollection, isMap, parseDocument, visit } from "yaml";
import { codeActions, FIX_ALL } from "../../../server/features/code-actions.ts";
import { toRange } from "../../../server/features/model.ts";
import { formatPath } from "../../../server/language/finding.ts";
import { holds } from "../../property.ts";
import { edited, read } from "../model.ts";

const RECIPE = `recipe: 1
# The artwork.
artwork: { file: art.png, width: 2 in }
garments: { black: { colour: "#17171a" }, white: { colour: "#f4f3ef" } }
inks:
  paper: { colour: "#f8f8f4", opacity: 92% } # thick
  flame: { colour: "#d8431f", opacity: 70% }
  sand: { colour: lab(80 4 20), opacity: 70% }
plates:
  base: { ink: paper, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: flame, extract: { hue: [350, 50], chroma: [15, 130] } }
  # Warm greys.
  dune: { ink: sand, extract: { any: [{ near: lab(80 4 20), within: 9 }, { lightness: [40, 90] }] } }
  glint: { ink: paper, purpose: highlight, extract: { lightness: [92, 100] } }
adjust: [{ plate: dune, region: { ellipse: { centre: [1 in, 1 in], radii: [9 mm, 9 mm] } }, curve: [[0, 0], [100, 90]] }]
knockouts: [{ from: base, where: ember, choke: 0.2 mm }]
traps: [{ plate: base, choke: 0.3 mm }]
setups:
  dark: { garments: [black], order: [base, flash, dune, ember, glint] } # ten stations
  light: { garments: [white], order: [ember, dune] }
`;

/** Ways to break the recipe; each is told by a finding. */
const BREAKS: Readonly<Record<string, (yaml: Document) => void>> = {
  "a section misspelt": rekey(["setups"], "setup"),
  "a key misspelt": rekey(["plates", "ember", "extract"], "extrakt"),
  "an ink misspelt": set(["plates", "ember", "ink"], "flme"),
  "a plate in an order misspelt": set(["setups", "light", "order", 0], "embr"),
  "a garment misspelt": set(["setups", "light", "garments", 0], "whit"),
  "a choice misspelt": set(["plates", "glint", "purpose"], "highlite"),
  "no version": remove(["recipe"]),
  "no garments": remove(["setups", "light", "garments"]),
  "no order": remove(["setups", "dark", "order"]),
  "no ink": remove(["plates", "dune", "ink"]),
  "no extraction": remove(["plates", "dune", "extract"]),
  "no width": remove(["artwork", "width"]),
  "no opacity": remove(["inks", "flame", "opacity"]),
  "no curve": remove(["adjust", 0, "curve"]),
  "no radii": remove(["adjust", 0, "region", "ellipse", "radii"]),
  "no plate in a knockout": remove(["knockouts", 0, "where"]),
  "neither choke nor spread": remove(["traps", 0, "choke"]),
  "both choke and spread": set(["traps", 0, "spread"], "0.1 mm"),
  "a near colour without its distance": remove(["plates", "dune", "extract", "any", 0, "within"]),
  "a share without its sign": set(["inks", "sand", "opacity"], 0.7),
  "a length without unit": set(["artwork", "width"], 2),
  "a range upside down": set(["plates", "glint", "extract", "lightness"], [100, 92]),
  "a deep range upside down": set(["plates", "dune", "extract", "any", 1, "lightness"], [90, 40]),
  "a garment twice": add(["setups", "dark", "garments"], "black"),
  "a plate twice": add(["setups", "light", "order"], "ember"),
  "a knockout twice": add(["knockouts"], { from: "base", where: "ember", choke: "0.2 mm" }),
  "a trap twice": add(["traps"], { plate: "base", spread: "0.1 mm" }),
  "a plate that prints nowhere": (yaml) => {
    yaml.deleteIn(["setups", "dark", "order", 2]);
    yaml.deleteIn(["setups", "light", "order", 1]);
  },
  "a garment that is not printed": set(["garments", "brick"], { colour: "#8c2f2b" }),
  "a folded plate in an order": set(["merges"], [{ fold: "dune", into: "ember" }]),
  "a ring of merges": set(["merges"], [{ fold: "glint", into: "glint" }]),
  "a plate out of itself": add(["knockouts"], { from: "ember", where: "ember" }),
  "an ink for nothing": set(["inks", "slate"], { colour: "#7b8088", opacity: "70%" }),
};

function set(path: readonly (string | number)[], value: unknown) {
  return (yaml: Document) => yaml.setIn(path, yaml.createNode(value));
}

function add(path: readonly (string | number)[], value: unknown) {
  return (yaml: Document) => {
    if (yaml.hasIn(path)) yaml.addIn(path, yaml.createNode(value));
  };
}

function remove(path: readonly (string | number)[]) {
  return (yaml: Document) => {
    yaml.deleteIn(path);
  };
}

function rekey(path: readonly string[], to: string) {
  return (yaml: Document) => {
    const block = path.length > 1 ? yaml.getIn(path.slice(0, -1)) : yaml.contents;
    const pair = isMap(block) ? block.items.find(({ key }) => String(key) === path.at(-1)) : undefined;
    if (pair) pair.key = yaml.createNode(to);
  };
}

const STYLES = {
  "as it stands": undefined,
  "in blocks": false,
  "in brackets on a line": true,
  "in brackets over lines": true,
} as const;

/** The recipe, broken, in one of the styles of YAML. */
function written(breaks: readonly string[], style: keyof typeof STYLES, eol: string): string {
  const yaml = parseDocument(RECIPE);
  for (const name of breaks) {
    try {
      BREAKS[name]!(yaml);
    } catch {
      // What an earlier break took away cannot be broken again.
    }
  }
  const flow = STYLES[style];
  if (flow !== undefined)
    visit(yaml, {
      Node(_, node) {
        if (isCollection(node)) node.flow = flow;
        // A comment inside would break the line.
        if (style === "in brackets on a line") {
          node.comment = null;
          node.commentBefore = null;
        }
      },
    });
  const lineWidth = style === "in brackets over lines" ? 40 : 0;
  return yaml.toString({ lineWidth }).replaceAll("\n", eol);
}

const broken = fc
  .record({
    breaks: fc.uniqueArray(fc.constantFrom(...Object.keys(BREAKS)), { minLength: 1, maxLength: 3 }),
    style: fc.constantFrom(...(Object.keys(STYLES) as (keyof typeof STYLES)[])),
    eol: fc.constantFrom("\n", "\r\n"),
  })
  .map(({ breaks, style, eol }) => written(breaks, style, eol));

const comments = (text: string) => text.match(/# [^\r\n]*/g) ?? [];

it("every break is told, and can be mended, in every style", () => {
  for (const name of Object.keys(BREAKS)) {
    for (const style of Object.keys(STYLES) as (keyof typeof STYLES)[]) {
      const { model } = read(written([name], style, "\n"));
      expect(model.findings.length, `${name}, ${style}`).toBeGreaterThan(0);
      const offered = model.findings.flatMap(({ range }) =>
        codeActions(model, toRange(model.source, range), { only: ["quickfix"] }),
      );
      expect(offered.length, `${name}, ${style}`).toBeGreaterThan(0);
    }
  }
});

it("every fix mends its finding and leaves YAML", () => {
  let tried = 0;
  holds(
    fc.property(broken, (text) => {
      const { model } = read(text);
      for (const finding of model.findings) {
        const place = formatPath(finding.path);
        const key = (f: typeof finding) => `${f.rule} ${formatPath(f.path)} ${f.message}`;
        const fixes = codeActions(model, toRange(model.source, finding.range), { only: ["quickfix"] }).filter(
          ({ title, diagnostics }) =>
            !title.startsWith("Allow ") &&
            String(diagnostics?.[0]?.message).toLowerCase() === finding.message.toLowerCase() &&
            formatPath(diagnostics?.[0].data.path as typeof finding.path) === place,
        );
        for (const { title, edit } of fixes) {
          tried++;
          const now = edited(model, edit);
          expect(parseDocument(now).errors, `${title}:\n${now}`).toEqual([]);
          expect(read(now).model.findings.map(key), `${title}:\n${now}`).not.toContain(key(finding));
        }
      }
    }),
    150,
  );
  expect(tried).toBeGreaterThan(300);
});

it("mending all leaves nothing that it could mend, adds no finding and keeps every comment", () => {
  holds(
    fc.property(broken, (text) => {
      const all = (from: string) => {
        const { model } = read(from);
        const whole = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
        const [action] = codeActions(model, whole, { only: [FIX_ALL] });
        return action && edited(model, action.edit);
      };
      let now = text;
      let runs = 0;
      for (let next = all(now); next !== undefined; next = all(now)) {
        now = next;
        expect(++runs, now).toBeLessThanOrEqual(4);
      }
      expect(read(now).model.findings.length).toBeLessThanOrEqual(read(text).model.findings.length);
      expect(comments(now)).toEqual(comments(text));
    }),
    150,
  );
});
