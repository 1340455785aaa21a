import { createHash } from "node:crypto";
import { isAbsolute } from "node:path";
import { pathToFileURL } from "node:url";
import packageInfo from "../../package.json" with { type: "json" };
import { formatPath } from "../language/finding.ts";
import type { PlacedFinding } from "../language/placed.ts";
import { ABOUT_RULES } from "../rules/all.ts";
import { ruleEntry } from "../rules/reference.ts";

/**
 * Findings as a log of SARIF 2.1.0 (OASIS, 2020), which code hosts show at the line. What a comment allows is a
 * suppressed result with the comment's reason. Paths count from the working folder.
 */
export function sarif(findings: readonly PlacedFinding[]): string {
  const ids = [...new Set(findings.map(({ rule }) => rule))].sort();
  const log = {
    $schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
    version: "2.1.0",
    runs: [
      {
        tool: {
          driver: {
            name: packageInfo.displayName,
            semanticVersion: packageInfo.version,
            rules: ids.map(rule),
          },
        },
        columnKind: "utf16CodeUnits",
        results: findings.map((finding) => result(finding, ids)),
      },
    ],
  };
  return `${JSON.stringify(log, null, 2)}\n`;
}

function rule(id: string): object {
  const about = ABOUT_RULES.find((known) => known.id === id);
  if (!about) return { id };
  return {
    id,
    shortDescription: { text: about.why },
    fullDescription: { text: `${about.why} ${about.source}` },
    help: { text: `${about.why} ${about.source}`, markdown: ruleEntry(about) },
    defaultConfiguration: { level: about.level },
  };
}

function result(finding: PlacedFinding, ids: readonly string[]): object {
  const { rule, level, message, file, path, from, to, allowed } = finding;
  const place = formatPath(path);
  return {
    ruleId: rule,
    ruleIndex: ids.indexOf(rule),
    level,
    message: { text: message },
    locations: [
      {
        physicalLocation: {
          artifactLocation: { uri: uriOf(file) },
          region: {
            startLine: from.line,
            startColumn: from.column,
            endLine: to.line,
            endColumn: to.column,
          },
        },
        ...(place === "" ? {} : { logicalLocations: [{ fullyQualifiedName: place }] }),
      },
    ],
    // Of the place in the recipe, not of the line: it stays the same when lines move.
    partialFingerprints: { "recipePlace/v1": digest(JSON.stringify([rule, uriOf(file), place])) },
    ...(allowed === undefined ? {} : { suppressions: [{ kind: "inSource", justification: allowed }] }),
  };
}

function uriOf(file: string): string {
  if (isAbsolute(file)) return pathToFileURL(file).href;
  const uri = file.replaceAll("\\", "/").split("/").map(encodeURIComponent).join("/");
  return uri;
}

function digest(text: string): string {
  return createHash("sha256").update(text).digest("hex").slice(0, 32);
}
