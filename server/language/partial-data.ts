/** Careful access to data that may be half-written. */

export type Fields = Readonly<Record<string, unknown>>;

/** The blocks in the list under `key`, with their indexes; what is no block is passed over. */
export function listOf(value: unknown, key: string): [index: number, fields: Fields][] {
  const list = fieldsOf(value)[key];
  if (!Array.isArray(list)) return [];
  return list.flatMap((item, i): [number, Fields][] => (isFields(item) ? [[i, item]] : []));
}

/** The blocks under `key`, with their names. */
export function blocksOf(value: unknown, key: string): [name: string, fields: Fields][] {
  return Object.entries(fieldsOf(fieldsOf(value)[key])).flatMap(([name, item]): [string, Fields][] =>
    isFields(item) ? [[name, item]] : [],
  );
}

/** The texts in a list, with their indexes. */
export function textsOf(value: unknown): [index: number, text: string][] {
  if (!Array.isArray(value)) return [];
  return value.flatMap((item, i): [number, string][] => (typeof item === "string" ? [[i, item]] : []));
}

export function fieldsOf(value: unknown): Fields {
  return isFields(value) ? value : {};
}

function isFields(value: unknown): value is Fields {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
