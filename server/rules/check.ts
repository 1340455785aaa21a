import { rangeAt, type SourceDocument } from "../language/document.ts";
import { byPlace, type Finding, LEVELS, type Path } from "../language/finding.ts";
import { filesOf, type Project } from "../language/project.ts";
import type { Recipe } from "../language/recipe.ts";
import { resolveRecipe } from "../language/resolve-recipe.ts";
import { symbolsOf } from "../language/symbols.ts";
import { sentence } from "../language/words.ts";
import type { Print } from "../render/print.ts";
import { ABOUT_RULES, ALL_RULES } from "./all.ts";
import { allow } from "./allowances.ts";
import { DEFAULT_LEVELS, levelOf, type RuleLevels, readLevels } from "./levels.ts";
import type { Mark, NamedDocument, OrderContext, PixelMark, Rule, RuleContext } from "./rule.ts";

export interface CheckOptions {
  /** The user's own levels, which go before the shop's. */
  readonly levels?: RuleLevels;
  /** What the pixel rules said, if they were asked. */
  readonly pixels?: readonly PixelMark[];
  readonly rules?: readonly Rule[];
  /** The day that is asked on, for rules about age. */
  readonly today?: string | undefined;
  /** Hears the recipe, where it can be read, before the rules look at it as a whole. */
  readonly resolved?: (recipe: Recipe) => void;
}

/** Everything there is to say about a project, by place; what a comment allows bears the reason. */
export function checkProject(project: Project, options?: CheckOptions): Finding[] {
  const checking = checkInSteps(project, options);
  let step = checking.next();
  while (!step.done) step = checking.next();
  return step.value;
}

/** The same, a rule a step: who has others to answer does so in between. */
export function* checkInSteps(
  { main, shop, recipes, readings, findings }: Project,
  { levels = DEFAULT_LEVELS, pixels, rules = ALL_RULES, today, resolved }: CheckOptions = {},
): Generator<void, Finding[]> {
  const shopDoc = main.kind === "shop" ? main : shop;
  const shopLevels = readLevels((shopDoc?.value as { rules?: unknown } | undefined)?.rules);
  const found = [...findings];
  const ran = new Set<string>();
  const say = (rule: Rule, doc: SourceDocument, marks: Iterable<Mark>): void => {
    ran.add(rule.id);
    const level = levelOf(rule, levels, shopLevels);
    if (level === "off") return;
    let said = 0;
    for (const { path, part, message, data } of marks) {
      if (++said > MOST_FINDINGS) break;
      const range = rangeAt(doc, path, part);
      found.push({ rule: rule.id, level, file: doc.file, range, path, message, ...(data ? { data } : {}) });
    }
  };

  const named = (doc: SourceDocument): NamedDocument => ({ doc, symbols: symbolsOf(doc) });
  const shopContext = shopDoc && named(shopDoc);
  if (shopContext?.doc.value !== undefined) {
    for (const rule of rules) {
      if (rule.looksAt !== "shop") continue;
      say(rule, shopContext.doc, rule.check(shopContext));
      yield;
    }
  }
  if (main.kind === "order" && main.value !== undefined) {
    const own = [...(recipes ?? [])].map(([path, doc]) => [path, named(doc)] as const);
    const context: OrderContext = { ...named(main), shop: shopContext, recipes: new Map(own) };
    for (const rule of rules) {
      if (rule.looksAt !== "order") continue;
      say(rule, main, rule.check(context));
      yield;
    }
  }
  if (main.kind === "recipe" && main.value !== undefined) {
    const context: RuleContext = { ...named(main), shop: shopContext };
    for (const rule of rules) {
      if (rule.looksAt !== "recipe") continue;
      say(rule, main, rule.check(context));
      yield;
    }
    const shopUnread = shop === undefined && filesOf(main).shop !== undefined;
    const recipe = !shopUnread && readable(found, rules) ? resolveRecipe(main, shop, readings) : undefined;
    if (recipe) resolved?.(recipe);
    for (const rule of rules) {
      if (recipe && rule.looksAt === "job") say(rule, main, rule.check(recipe, today));
      if (pixels && rule.looksAt === "pixels") {
        const own = pixels.filter((mark) => mark.rule === rule.id && stands(main.value, mark.path));
        say(rule, main, own);
      }
      yield;
    }
  }
  const names = new Set(
    [main, shop].flatMap((doc) => (doc ? symbolsOf(doc).definitions.map(({ name }) => name) : [])),
  );
  const judged = allow(main, found, rules === ALL_RULES ? ABOUT_RULES : rules, ran)
    .map((finding) => ({ ...finding, message: worded(finding.message, names) }))
    .sort(byPlace);
  return judged.length > MOST_FINDINGS ? first(judged, rules, main) : judged;
}

/** Nobody reads more; what comes after them shows up once these are mended. */
const MOST_FINDINGS = 1000;

/** The findings that matter most, and one that says how many more there are. What keeps a recipe from being read is kept. */
function first(findings: readonly Finding[], rules: readonly Rule[], { file }: SourceDocument): Finding[] {
  const trade = new Set(rules.filter((rule) => !rule.fixed).map(({ id }) => id));
  const weight = ({ level, rule }: Finding) => LEVELS.indexOf(level) * 2 + (trade.has(rule) ? 1 : 0);
  const order = [...findings].sort((a, b) => weight(a) - weight(b));
  const kept = order.slice(0, MOST_FINDINGS);
  const [worst] = order.slice(MOST_FINDINGS);
  const message = `${findings.length - MOST_FINDINGS} more findings are not shown; correct these first`;
  const more: Finding = {
    rule: "more-findings",
    level: worst!.level,
    file,
    range: { start: 0, end: 0 },
    path: [],
    message,
  };
  return [...kept.sort(byPlace), more];
}

/** Nobody reads a longer one: lists of thousands of names. */
const LONGEST_MESSAGE = 2000;

/** As a sentence begins, unless that is a name or a file; of a long name or value no more than the beginning is quoted. */
function worded(message: string, names: ReadonlySet<string>): string {
  const [first = ""] = message.split(/[\s,:]/, 1);
  const begun = names.has(first) || /[./]/.test(first) ? message : sentence(message);
  if (begun.length <= 80) return begun;
  const quoted = begun.replace(/"([^"]{80})[^"]+"/g, '"$1…"').replace(/([^\s"]{80})[^\s"]{120,}/g, "$1…");
  return quoted.length > LONGEST_MESSAGE ? `${quoted.slice(0, LONGEST_MESSAGE)}…` : quoted;
}

/** Runs the pixel rules; `onProgress` is called between two of them and may throw to cancel. */
export async function lookAtPixels(
  print: Print,
  onProgress: (done: number) => void | Promise<void> = () => {},
  rules: readonly Rule[] = ALL_RULES,
): Promise<PixelMark[]> {
  const marks: PixelMark[] = [];
  const looking = rules.filter((rule) => rule.looksAt === "pixels");
  for (const [i, rule] of looking.entries()) {
    for (const mark of rule.check(print)) marks.push({ ...mark, rule: rule.id });
    await onProgress((i + 1) / looking.length);
  }
  return marks;
}

/** Whether plates can be made: the recipe can be read, and no file is missing. What could not be read may be mended since. */
export function isReadable(findings: readonly Finding[]): boolean {
  return isResolvable(findings) && findings.every(({ rule }) => rule !== "missing-file");
}

/** Whether the recipe can be read, be its artwork there or not. */
export function isResolvable(findings: readonly Finding[]): boolean {
  return readable(findings, ALL_RULES);
}

/** Whether nothing stands in the way of reading the recipe; artwork that is missing does not. */
function readable(findings: readonly Finding[], rules: readonly Rule[]): boolean {
  const trade = new Set(rules.filter((rule) => !rule.fixed).map(({ id }) => id));
  return findings.every(
    (finding) => finding.level !== "error" || isOfArtwork(finding) || trade.has(finding.rule),
  );
}

function isOfArtwork({ rule, path }: Finding): boolean {
  return (
    rule === "unreadable-artwork" ||
    (rule === "missing-file" && (path[0] === "artwork" || path.at(-1) === "plate"))
  );
}

/** Whether all that keeps a recipe from being read is that its shop file was not. */
export function lacksShopAlone(findings: readonly Finding[]): boolean {
  const ofShop = ({ rule, path }: Finding) => rule === "missing-file" && path[0] === "shop";
  return findings.some(ofShop) && isResolvable(findings.filter((finding) => !ofShop(finding)));
}

/** A picture may be older than the text: what it says of parts that are gone is left out. */
function stands(value: unknown, path: Path): boolean {
  let at = value;
  for (const step of path) {
    if (typeof at !== "object" || at === null || !Object.hasOwn(at, step)) return false;
    at = (at as Record<string | number, unknown>)[step];
  }
  return true;
}
