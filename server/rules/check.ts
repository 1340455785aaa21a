import { rangeAt } from "../language/document.ts";
import type { Finding } from "../language/finding.ts";
import { ALL_RULES } from "./all.ts";
import type { RuleContext } from "./rule.ts";

/** What the rules have to say about a recipe. Shop files have no rules yet. */
export function runRules(context: RuleContext, rules = ALL_RULES): Finding[] {
  const { doc } = context;
  if (doc.kind !== "recipe" || doc.value === undefined) return [];
  return rules.flatMap((rule) =>
    Array.from(rule.check(context), ({ path, part, message }) => ({
      rule: rule.id,
      level: rule.level,
      file: doc.file,
      range: rangeAt(doc, path, part),
      path,
      message,
    })),
  );
}
