import { isScalar, isSeq, parseDocument } from "yaml";

/** A name as YAML: plain where that reads back as the same text, in a list of brackets too, else in quotes (`"null"`). */
export function plainScalar(text: string): string {
  const plain = !/\p{Cc}/u.test(text) && readsAs(text, text) && readsAs(`[${text}]`, text);
  return plain ? text : JSON.stringify(text);
}

function readsAs(yaml: string, text: string): boolean {
  const { contents, errors, warnings } = parseDocument(yaml, { prettyErrors: false, logLevel: "silent" });
  if (errors.length > 0 || warnings.length > 0) return false;
  const [node, second] = isSeq(contents) ? contents.items : [contents];
  return second === undefined && isScalar(node) && node.value === text;
}
