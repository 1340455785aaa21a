import { fieldsOf } from "../../language/partial-data.ts";
import { parseLength } from "../../language/values/length.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Less than this is no print but a slip of the unit. */
const LEAST_WIDTH_MM = 1;

/** The printed width fixes how many pixels an inch has; nothing wide has none. */
export const printWidth: RecipeRule = {
  id: "print-width",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A print without width has no pixels, and distances on it reach over the whole artwork.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      artwork: { file: art.png, width: 0 in }
    `,
    passes: yaml`
      artwork: { file: art.png, width: 12 in }
    `,
  },
  *check({ doc }) {
    const { width } = fieldsOf(fieldsOf(doc.value).artwork);
    const length = typeof width === "string" ? parseLength(width) : undefined;
    if (!length?.ok || length.value >= LEAST_WIDTH_MM) return;
    yield {
      path: ["artwork", "width"],
      message: `a print ${width} wide is narrower than ${LEAST_WIDTH_MM} mm; write the printed width, such as 12 in`,
    };
  },
};
