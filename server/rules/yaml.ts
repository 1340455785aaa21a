/** A piece of YAML written inside of code: without the code's own indentation, and without blank ends. */
export function yaml(parts: TemplateStringsArray, ...values: readonly string[]): string {
  const lines = String.raw({ raw: parts }, ...values)
    .split("\n")
    .filter((line, i, all) => line.trim() !== "" || (i > 0 && i < all.length - 1));
  const indent = Math.min(...lines.filter((line) => line.trim()).map((line) => /^ */.exec(line)![0].length));
  return lines.map((line) => line.slice(indent).trimEnd()).join("\n");
}
