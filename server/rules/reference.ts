import { RULE_GROUPS } from "./all.ts";
import { ALLOWANCE_RULES } from "./allowances.ts";
import type { AboutRule, Rule } from "./rule.ts";

const LOOKS_AT: Readonly<Record<Rule["looksAt"], string>> = {
  recipe: "the recipe",
  shop: "the shop file",
  order: "the order",
  job: "recipe and shop",
  pixels: "the pixels",
};

const GROUPS: readonly (readonly [title: string, rules: readonly AboutRule[]])[] = [
  ...Object.entries(RULE_GROUPS),
  ["Allowances", Object.values(ALLOWANCE_RULES)],
];

/** All rules in tables, one a group. */
function tables(): string {
  return GROUPS.map(([title, rules]) => {
    const rows = rules.map(
      (rule) => `| [${rule.id}](#${rule.id}) | ${levelText(rule)} | ${rule.why.replaceAll("|", "\\|")} |`,
    );
    return `**${title}**\n\n| rule | level | why |\n|---|---|---|\n${rows.join("\n")}\n`;
  }).join("\n");
}

/** The page with everything about every rule. */
export function rulesPage(): string {
  const entries = GROUPS.map(([title, rules]) => `## ${title}\n\n${rules.map(ruleEntry).join("\n")}`);
  return `# Rules\n\n${INTRODUCTION}\n\n${tables()}\n${EXAMPLES}\n\n${entries.join("\n")}`;
}

const INTRODUCTION = `Written by \`npm run generate\` from the files in this folder.

What an experienced separator would say before ink hits the garment. A finding says where, what will happen on press and what
to do. Where there is one obvious correction, a quick fix makes it. \`check\` and the editor report the same findings.

**Levels.** A rule reports an error, a warning or a note. A shop sets its own levels in its shop file. A user sets levels in
the editor's \`platewright.rules\`, which take precedence over the shop's:

\`\`\`yaml
rules: { close-inks: error, artwork-under-aim: off }
\`\`\`

**Exceptions.** A comment allows what a rule finds in the line below it (or in its own line) and in what belongs to that line.
The comment must say why. \`check\` shows the reason and no longer counts the finding. An allowance that is no longer needed is
itself a finding.

\`\`\`yaml
  # allow near-empty-plate: the stars need their own white
  stars: { ink: white, extract: { near: "#fffbe8", within: 2 } }
\`\`\`

A finding that keeps a recipe from being read at all ("always error") can be neither lowered nor allowed. The same holds for
errors of YAML, of the format (\`schema\`), of missing or unreadable files (\`missing-file\`, \`unreadable-artwork\`) and of
measurements that cannot be used (\`gain-table\`, \`reading\`).`;

const EXAMPLES = `In the examples, everything that is not shown is a sound job: a black
garment, a white underbase with a choke of 0.2 mm and black knocked out of it, one colour, black, and a highlight. A
comment says what YAML cannot show, such as what the picture looks like. \`press\`, \`meshes\`, \`usual-mesh\` and \`rules\`
stand in the shop file, \`prints\` and \`lines\` in an order of that job, the rest in the recipe.`;

function levelText(rule: AboutRule): string {
  return rule.fixed ? `always ${rule.level}` : rule.level;
}

/** All that is to be known of a rule, as Markdown: why, level, source, an example that is reported and one that is not. */
export function ruleEntry(rule: AboutRule & Partial<Pick<Rule, "looksAt">>): string {
  const looksAt = rule.looksAt ? `; looks at ${LOOKS_AT[rule.looksAt]}` : "";
  return `### ${rule.id}

${rule.why}

*${levelText(rule)}${looksAt}.* ${rule.source}

Reported:

\`\`\`yaml
${rule.example.fails}
\`\`\`

Not reported:

\`\`\`yaml
${rule.example.passes}
\`\`\`
`;
}
