/**
 * A text on one line: what would break the line, steer a terminal or turn the direction of reading is spelt out. What
 * a recipe holds comes back in messages, and a recipe may come from anybody.
 */
export function printable(text: string): string {
  return text.replace(/[\p{Cc}\u2028\u2029\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, (sign) =>
    sign === "\n" ? "\\n" : `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}
