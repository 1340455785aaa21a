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

/** All rules in tables, one a group, for README; ids lead to the page with their examples. */
export function rulesTables(page: string): string {
  return GROUPS.map(([title, rules]) => {
    const rows = rules.map(
      (rule) =>
        `| [${rule.id}](${page}#${rule.id}) | ${levelText(rule)} | ${rule.why.replaceAll("|", "\\|")} |`,
    );
    return `**${title}**\n\n| rule | level | why |\n|---|---|---|\n${rows.join("\n")}\n`;
  }).join("\n");
}

/** The page with everything about every rule. */
export function rulesPage(): string {
  const entries = GROUPS.map(([title, rules]) => `## ${title}\n\n${rules.map(entry).join("\n")}`);
  return `# Rules\n\n${INTRODUCTION}\n\n${entries.join("\n")}`;
}

const INTRODUCTION = `Written by \`npm run generate\` from the files in this folder. In the examples, what is not shown is a sound job: black
cloth, a white underbase with a choke of 0.1 mm and black knocked out of it, one colour, black, and a highlight. A
comment says what YAML cannot show, such as what the picture looks like. \`press\`, \`meshes\`, \`usual-mesh\` and \`rules\`
stand in the shop file, \`prints\` and \`lines\` in an order of that job, the rest in the recipe.`;

function levelText(rule: AboutRule): string {
  return rule.fixed ? `always ${rule.level}` : rule.level;
}

function entry(rule: AboutRule & Partial<Pick<Rule, "looksAt">>): string {
  const looksAt = rule.looksAt ? `; looks at ${LOOKS_AT[rule.looksAt]}` : "";
  return `### ${rule.id}

${rule.why}

*${levelText(rule)}${looksAt}.* ${rule.source}

Is told of:

\`\`\`yaml
${rule.example.fails}
\`\`\`

Is not told of:

\`\`\`yaml
${rule.example.passes}
\`\`\`
`;
}
