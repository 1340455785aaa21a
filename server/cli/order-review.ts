import type { JobFiles } from "../jobs/open.ts";
import { type Change, sentence } from "../language/changes/changes.ts";
import { orderChanges } from "../language/changes/order.ts";
import { standing } from "../language/finding.ts";
import { type Order, resolveOrder } from "../language/order.ts";
import { placed } from "../language/placed.ts";
import { openProject } from "../language/project.ts";
import { checkProject } from "../rules/check.ts";
import { type Console, type ExitStatus, UsageError } from "./command.ts";
import { findingLine } from "./findings.ts";
import { filesOf } from "./sides.ts";

/** What changed from one order to another, in words: quantities, prints, places. 0 nothing, 3 something, 1 with errors. */
export async function reviewOrders(
  names: readonly [old: string, now: string],
  format: string,
  console: Console,
  onDisk: JobFiles,
): Promise<ExitStatus> {
  const orders: Order[] = [];
  for (const name of names) {
    const { file, files } = await filesOf(name, onDisk);
    const project = await openProject(file, files);
    if (project.main.kind !== "order")
      throw new UsageError(`${name} is no order; an order is compared with an order`);
    const errors = standing(checkProject(project)).filter(({ level }) => level === "error");
    for (const finding of placed(errors, project)) console.err.write(findingLine(finding));
    if (errors.length > 0) return 1;
    orders.push(resolveOrder(project.main, project.shop));
  }
  const changes = orderChanges(orders[0]!, orders[1]!);
  console.out.write(WRITERS[format]!(names, changes));
  return changes.some(({ prints }) => prints) ? 3 : 0;
}

type Write = (names: readonly string[], changes: readonly Change[]) => string;

const WRITERS: Readonly<Record<string, Write>> = {
  text: ([old, now], changes) =>
    [`${old} → ${now}`, ...lines(changes).map((line) => `  ${line}`), ""].join("\n"),
  markdown: ([old, now], changes) =>
    [`**${old} → ${now}**`, "", ...lines(changes).map((line) => `- ${line}`), ""].join("\n"),
  json: ([old, now], changes) =>
    `${JSON.stringify({ before: old, after: now, changes: changes.map(({ subject, text, prints }) => ({ subject, text, prints })) }, null, 2)}\n`,
};

function lines(changes: readonly Change[]): string[] {
  return changes.length === 0 ? ["nothing changed"] : changes.map(sentence);
}
