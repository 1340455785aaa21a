import { rangeAt } from "../language/document.ts";
import { byPlace, type Finding } from "../language/finding.ts";
import type { Project } from "../language/project.ts";
import { symbolsOf } from "../language/symbols.ts";
import { ALL_RULES } from "./all.ts";
import type { Rule, RuleContext } from "./rule.ts";

/** Everything there is to say about a project, by place. */
export function checkProject({ main, shop, findings }: Project): Finding[] {
  const context = {
    doc: main,
    symbols: symbolsOf(main),
    shop: shop && { doc: shop, symbols: symbolsOf(shop) },
  };
  return [...findings, ...runRules(context)].sort(byPlace);
}

/** What the rules have to say about a recipe. Shop files have no rules yet. */
export function runRules(context: RuleContext, rules: readonly Rule[] = ALL_RULES): Finding[] {
  const { doc } = context;
  if (doc.kind !== "recipe" || doc.value === undefined) return [];
  return rules.flatMap((rule) =>
    Array.from(rule.check(context), ({ path, part, ...said }) => ({
      rule: rule.id,
      level: rule.level,
      file: doc.file,
      range: rangeAt(doc, path, part),
      path,
      ...said,
    })),
  );
}
