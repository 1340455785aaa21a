const STEERING = /[\p{Cc}\u2028\u2029\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu;

/**
 * A text on one line: what would break the line, steer a terminal or turn the direction of reading is spelt out. What
 * a recipe holds comes back in messages, and a recipe may come from anybody.
 */
export function printable(text: string): string {
  return text.replace(STEERING, (sign) => (sign === "\n" ? "\\n" : spelt(sign)));
}

/**
 * The same for text of several lines, in which nothing is taken for a workflow command either: a runner looks for `::`
 * at the start of a line, and for `##[` anywhere (GitHub Actions, workflow commands). In JSON it still means the same.
 */
export function printableLines(text: string): string {
  return text
    .replace(STEERING, (sign) => (sign === "\n" || sign === "\t" ? sign : spelt(sign)))
    .replace(/^(\s*):(?=:)/gm, "$1\\u003a")
    .replaceAll("##[", "##\\u005b");
}

/** What is quoted in a message: its first 80 characters. */
export function excerpt(text: string): string {
  return text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text;
}

const LONGEST = 80;

function spelt(sign: string): string {
  return `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`;
}
