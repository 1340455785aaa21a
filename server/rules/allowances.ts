import { speakingComments } from "../language/comment-parts.ts";
import type { SourceDocument } from "../language/document.ts";
import type { Finding, TextRange } from "../language/finding.ts";
import { suggestion } from "../language/suggest.ts";
import type { AboutRule } from "./rule.ts";
import { yaml } from "./yaml.ts";

/**
 * A comment that allows what a rule finds, and says why (`language/comment-parts.ts` has where it stands):
 *
 *     # allow near-empty-plate: the stars need their own white
 *     glint: { … }
 */
export interface Allowance {
  readonly rule: string;
  /** Empty where none is given. */
  readonly reason: string;
  /** The comment's own characters. */
  readonly range: TextRange;
  /** The part of the text that it stands for. */
  readonly part: TextRange;
}

const COMMENT = /(?<=^|[ \t])#[ \t]*allow[ \t]+([^\s:#]+)[ \t]*:?[ \t]*(.*?)[ \t]*$/;

/** What is told of allowances themselves. */
export const ALLOWANCE_RULES = {
  idle: {
    id: "idle-allowance",
    level: "warning",
    why: "An allowance that nothing needs hides the next finding that comes to the same place.",
    source: "Plain sense, no source.",
    example: {
      fails: "# allow unused-ink: the customer may still choose it\ntitle: Night Garden",
      passes: yaml`
      title: Night Garden
    `,
    },
  },
  unexplained: {
    id: "unexplained-allowance",
    level: "warning",
    why: "Next year nobody knows why a finding was allowed, unless the comment says so.",
    source: "Plain sense, no source.",
    example: {
      fails: yaml`
        inks:
          white: { colour: "#f8f8f4", opacity: 92% }
          ember: { colour: "#d8431f", opacity: 70% }
          black: { colour: "#131316", opacity: 97% }
          # allow unused-ink
          slate: { colour: "#7b8088", opacity: 70% }
      `,
      passes: yaml`
        inks:
          white: { colour: "#f8f8f4", opacity: 92% }
          ember: { colour: "#d8431f", opacity: 70% }
          black: { colour: "#131316", opacity: 97% }
          # allow unused-ink: kept for the second edition
          slate: { colour: "#7b8088", opacity: 70% }
      `,
    },
  },
} as const satisfies Record<string, AboutRule>;

/** Every allowance in a document, in the order of the text. */
export function allowancesIn(doc: SourceDocument): Allowance[] {
  if (doc.value === undefined || !/#[ \t]*allow[ \t]/.test(doc.text)) return [];
  return speakingComments(doc, COMMENT).map(({ match, range, part }) => ({
    rule: match[1]!,
    reason: match[2]!,
    range,
    part,
  }));
}

/**
 * Findings with the reason on those that are allowed, and what is wrong with the allowances. `rules` are all there
 * are; `ran` holds the ids of those that have had their say: of the others nobody knows yet whether they find
 * something.
 */
export function allow(
  doc: SourceDocument,
  findings: readonly Finding[],
  rules: readonly AboutRule[],
  ran: ReadonlySet<string>,
): Finding[] {
  const allowances = allowancesIn(doc);
  if (allowances.length === 0) return [...findings];
  const used = new Set<Allowance>();
  const fixed = new Set(rules.filter((rule) => rule.fixed).map(({ id }) => id));
  const judged = findings.map((finding): Finding => {
    if (finding.file !== doc.file || fixed.has(finding.rule)) return finding;
    const allowance = allowances.find(
      ({ rule, part }) =>
        rule === finding.rule && finding.range.start >= part.start && finding.range.start < part.end,
    );
    if (!allowance) return finding;
    used.add(allowance);
    return allowance.reason === "" ? finding : { ...finding, allowed: allowance.reason };
  });
  const complaints = allowances.flatMap((allowance): Finding[] => {
    const said = complaint(allowance, rules, used.has(allowance), ran);
    if (!said) return [];
    const [{ id, level }, message] = said;
    return [{ rule: id, level, file: doc.file, range: allowance.range, path: [], message }];
  });
  return [...judged, ...complaints];
}

function complaint(
  { rule, reason }: Allowance,
  rules: readonly AboutRule[],
  used: boolean,
  ran: ReadonlySet<string>,
): readonly [AboutRule, string] | undefined {
  const { idle, unexplained } = ALLOWANCE_RULES;
  const about = rules.find(({ id }) => id === rule);
  if (!about) {
    const ids = rules.filter((known) => !known.fixed).map(({ id }) => id);
    return [idle, `there is no rule "${rule}" to allow${suggestion(rule, ids, "rules are")}`];
  }
  if (about.fixed)
    return [idle, `what "${rule}" finds makes the recipe unreadable, so it cannot be allowed; correct it`];
  if (!used && ran.has(rule))
    return [idle, `nothing here needs this allowance of "${rule}" any more; take the comment out`];
  if (reason === "")
    return [unexplained, `say behind a colon why "${rule}" is allowed here; without a reason it is not`];
  return undefined;
}
