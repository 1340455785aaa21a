/** Most characters that one entity may come to; drawing programs use them for names of a few dozen. */
const MAX_EXPANSION = 1_000_000;

/** Entities whose expansion goes beyond all use. */
export class EntityOverflow extends Error {}

/**
 * The text with the entities put in that its document type declares (XML 1.0 §4.2, §4.4). What an entity would
 * fetch from outside is left empty and listed. Throws EntityOverflow beyond `limit` characters in all.
 */
export function expandEntities(
  text: string,
  doctype: string,
  limit: number,
): { text: string; outside: string[] } {
  const declared = new Map<string, string>();
  const outside: string[] = [];
  const pattern = /<!ENTITY\s+([\w.:-]+)\s+(?:(?:SYSTEM|PUBLIC\s+(?:"[^"]*"|'[^']*'))\s+)?("[^"]*"|'[^']*')/g;
  for (const found of doctype.matchAll(pattern)) {
    const value = found[2].slice(1, -1);
    const external = /^<!ENTITY\s+[\w.:-]+\s+[SP]/.test(found[0]);
    if (external) outside.push(value);
    // The first declaration of a name binds.
    if (!declared.has(found[1])) declared.set(found[1], external ? "" : value);
  }
  if (declared.size === 0) return { text, outside };

  const resolved = new Map<string, string>();
  const put = (source: string, budget: number, within: ReadonlySet<string>): string => {
    let grown = source.length;
    return source.replace(/&([A-Za-z_:][\w.:-]*);/g, (reference, name: string) => {
      const value = declared.get(name);
      if (value === undefined) return reference;
      if (within.has(name)) throw new EntityOverflow();
      let whole = resolved.get(name);
      if (whole === undefined) {
        whole = put(quotesEscaped(value), MAX_EXPANSION, new Set([...within, name]));
        resolved.set(name, whole);
      }
      grown += whole.length;
      if (grown > budget) throw new EntityOverflow();
      return whole;
    });
  };
  return { text: put(text, limit, new Set()), outside };
}

/** Inside an attribute's value a quote from an entity is text (XML 1.0 §4.4.5); markup keeps its quotes. */
function quotesEscaped(value: string): string {
  if (value.includes("<")) return value;
  return value.replaceAll('"', "&quot;").replaceAll("'", "&apos;");
}
