import { createHash } from "node:crypto";
import type { Within } from "../files/boundary.ts";
import type { Project } from "../language/project.ts";
import { digestOfFile } from "./ledger.ts";

/**
 * Short digest of all that decides what a job prints: the texts of recipe and shop file, the readings that they name,
 * and the bytes of artwork and plates.
 */
export async function jobFingerprint(
  { main, shop, readings }: Project,
  pictures: readonly string[],
  within?: Within,
): Promise<string> {
  const hash = createHash("sha256");
  const read = [...(readings ?? [])].map(([key, file]) => {
    if ("unreadable" in file) return key;
    const { header, fields, rows } = file.table;
    return JSON.stringify([
      key,
      [...header],
      fields,
      rows.map(({ values }) => values.map(({ text }) => text)),
    ]);
  });
  const digests: string[] = [];
  for (const file of pictures) digests.push((await digestOfFile(file, within)) ?? "");
  for (const part of [main.text, shop?.text ?? "", ...digests, ...read])
    hash.update(`${part.length}\n${part}\n`);
  return hash.digest("hex").slice(0, 12);
}
