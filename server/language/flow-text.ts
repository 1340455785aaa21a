/** A value as YAML on one line, as a person would type it. */
export function flowText(value: unknown): string {
  if (value === undefined) return "";
  if (Array.isArray(value)) return `[${value.map(flowText).join(", ")}]`;
  if (typeof value === "object" && value !== null) {
    const fields = Object.entries(value).map(([key, v]) => `${key}: ${flowText(v)}`);
    return `{ ${fields.join(", ")} }`;
  }
  return typeof value === "string" && /^[#&*!|>'"%@`{[]|: |^$/.test(value)
    ? JSON.stringify(value)
    : String(value);
}
