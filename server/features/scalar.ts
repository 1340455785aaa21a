import { parse } from "yaml";

/** A name as YAML: plain where that reads back as the same text, else in quotes (`"null"`). */
export function plainScalar(text: string): string {
  return parse(text) === text ? text : JSON.stringify(text);
}
