import { positionAt } from "./document.ts";
import type { Finding } from "./finding.ts";
import type { Project } from "./project.ts";

/** A finding with its place counted in lines and columns. */
export interface PlacedFinding extends Finding {
  readonly from: Position;
  readonly to: Position;
}

export interface Position {
  readonly line: number;
  readonly column: number;
}

export function placed(findings: readonly Finding[], { main, shop }: Project): PlacedFinding[] {
  return findings.map((finding) => {
    const doc = [main, shop].find((known) => known?.file === finding.file);
    const at = (offset: number) => (doc ? positionAt(doc, offset) : { line: 1, column: 1 });
    return { ...finding, from: at(finding.range.start), to: at(finding.range.end) };
  });
}
