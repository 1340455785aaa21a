import { LEVELS, type Level } from "../language/finding.ts";
import { fieldsOf } from "../language/partial-data.ts";
import type { AboutRule } from "./rule.ts";

/** Levels that differ from the rules' own, by rule id. */
export type RuleLevels = ReadonlyMap<string, Level | "off">;

export const DEFAULT_LEVELS: RuleLevels = new Map();

/** Levels from what a shop file or an editor's settings hold under `rules`; what makes no sense is left out. */
export function readLevels(value: unknown): RuleLevels {
  return new Map(
    Object.entries(fieldsOf(value)).filter((entry): entry is [string, Level | "off"] => isLevel(entry[1])),
  );
}

/** The level at which a rule speaks: the editor's user goes before the shop, the shop before the rule. */
export function levelOf(rule: AboutRule, ...settings: readonly RuleLevels[]): Level | "off" {
  if (rule.fixed) return rule.level;
  for (const levels of settings) {
    const level = levels.get(rule.id);
    if (level !== undefined) return level;
  }
  return rule.level;
}

function isLevel(value: unknown): value is Level | "off" {
  return value === "off" || LEVELS.includes(value as Level);
}
