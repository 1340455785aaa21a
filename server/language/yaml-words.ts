/**
 * What the YAML reader finds, in words for somebody who writes recipes; by the reader's own codes (`ErrorCode` of the
 * package `yaml`). What has none here keeps the reader's words.
 */
const WORDS: Readonly<Record<string, string>> = {
  BAD_INDENT: "a bracket opened above is not closed, or this line is not indented far enough for it",
  BLOCK_IN_FLOW:
    "inside of brackets all is written in brackets; a list or keys on lines of their own cannot stand here",
  BLOCK_AS_IMPLICIT_KEY: "a second key on one line; put it on a line of its own, or its text in quotes",
  MULTILINE_IMPLICIT_KEY:
    "this reads as a key that goes over several lines; a colon or a closing quote is missing",
  DUPLICATE_KEY: "this key stands here twice; take one of them out",
  TAB_AS_INDENT: "a tab stands where spaces belong; indent with spaces alone",
};

/** The sentence for one of the reader's errors. */
export function yamlWords(code: string, message: string): string {
  const known = WORDS[code];
  if (known !== undefined) return known;
  const [first = ""] = message.split("\n");
  const missing = /(?:must end with a|Missing closing) (\S+)/.exec(first)?.[1];
  if (code === "MISSING_CHAR" && missing !== undefined)
    return `${missing.replace(/^"quote$/, 'the closing "')} is missing: what was opened above is not closed`;
  return first.charAt(0).toLowerCase() + first.slice(1);
}
