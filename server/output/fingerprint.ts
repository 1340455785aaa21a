import { createHash } from "node:crypto";
import type { Project } from "../language/project.ts";
import { digestOfFile } from "./ledger.ts";

/** Short digest of all that decides what a job prints: the texts of recipe and shop file, and the artwork's bytes. */
export async function jobFingerprint({ main, shop }: Project, artworkFile: string): Promise<string> {
  const hash = createHash("sha256");
  for (const part of [main.text, shop?.text ?? "", (await digestOfFile(artworkFile)) ?? ""])
    hash.update(`${part.length}\n${part}\n`);
  return hash.digest("hex").slice(0, 12);
}
