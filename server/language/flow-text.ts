/** A value as YAML on one line, as a person would type it. */
export function flowText(value: unknown): string {
  if (value === undefined) return "";
  if (Array.isArray(value)) return `[${value.map(flowText).join(", ")}]`;
  if (typeof value === "object" && value !== null) {
    const fields = Object.entries(value).map(([key, v]) => `${key}: ${flowText(v)}`);
    return `{ ${fields.join(", ")} }`;
  }
  return typeof value === "string" && !isPlain(value) ? JSON.stringify(value) : String(value);
}

/** Whether a text stays what it is without quotes, inside of brackets too. */
function isPlain(text: string): boolean {
  if (/^[#&*!|>'"%@`{[?-]|: | #|[,[\]{}\n]|:$|^$|^\s|\s$/.test(text)) return false;
  return !/^(?:[-+.\d][\d._eExXoO+-]*|true|false|null|~)$/i.test(text);
}
