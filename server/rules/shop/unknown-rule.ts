import { fieldsOf } from "../../language/partial-data.ts";
import { suggestion } from "../../language/suggest.ts";
import type { AboutRule, ShopRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Levels can be set for rules that there are. `rules` gives all of them; it is asked late, since it holds this one too. */
export function unknownRule(rules: () => readonly AboutRule[]): ShopRule {
  return {
    id: "unknown-rule",
    looksAt: "shop",
    level: "warning",
    why: "A level set for a rule that does not exist changes nothing, and nobody notices.",
    source: "Follows from the format.",
    example: {
      fails: yaml`
        rules: { close-ink: off }
      `,
      passes: yaml`
        rules: { close-inks: off }
      `,
    },
    *check({ doc }) {
      for (const id of Object.keys(fieldsOf(fieldsOf(doc.value).rules))) {
        const rule = rules().find((known) => known.id === id);
        const path = ["rules", id];
        if (rule?.fixed) {
          const message = `what "${id}" finds makes a recipe unreadable, so it stays an error; take this line out`;
          yield { path, part: "key", message, data: { redundant: path } };
        } else if (!rule) {
          const ids = rules()
            .filter((known) => !known.fixed)
            .map((known) => known.id);
          yield { path, part: "key", message: `there is no rule "${id}"${suggestion(id, ids, "rules are")}` };
        }
      }
    },
  };
}
