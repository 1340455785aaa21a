import { eolOf } from "../../language/edit.ts";
import type { Finding } from "../../language/finding.ts";
import { ABOUT_RULES } from "../../rules/all.ts";
import type { Model } from "../model.ts";
import type { Fix } from "./fix.ts";

/** Writes a comment that allows a finding. Its reason is left to be written: until then it allows nothing. */
export function allowFixes({ source }: Model, { rule, range, path }: Finding): Fix[] {
  const about = ABOUT_RULES.find(({ id }) => id === rule);
  if (source.kind !== "recipe" || !about || about.fixed || path.length === 0) return [];
  const lineStart = source.text.lastIndexOf("\n", range.start - 1) + 1;
  const indent = /^[ \t]*/.exec(source.text.slice(lineStart))![0];
  // Inside brackets that run over lines a comment may stand too: the place is the finding's own line.
  const newText = `${indent}# allow ${rule}: ${eolOf(source.text)}`;
  return [
    {
      title: `allow ${rule} here, with a reason`,
      changes: [{ start: lineStart, end: lineStart, newText }],
      sure: false,
    },
  ];
}
