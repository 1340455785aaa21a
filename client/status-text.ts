import type { PressLoad } from "../server/features/press-load.ts";

/** What stands in the status bar beside a recipe. */
export interface Status {
  /** With icons, in the editor's notation. */
  readonly text: string;
  /** Markdown. */
  readonly tooltip: string;
  /** A setup does not fit the press. */
  readonly full: boolean;
}

/** How many findings of each level stand at a recipe. */
export type Findings = Readonly<Record<"error" | "warning" | "note", number>>;

/** The fullest setup and the number of findings, with the worst one's icon; the tooltip has each setup and level. */
export function statusOf({ press, setups }: PressLoad, findings: Findings): Status {
  const most = Math.max(0, ...setups.map(({ stations }) => stations));
  const load =
    setups.length === 0 ? "no setup" : `${press === undefined ? most : `${most}/${press}`} stations`;
  const rows = setups.map(({ name, screens, stations }) => `| ${plain(name)} | ${screens} | ${stations} |\n`);
  const table = rows.length > 0 ? `| setup | screens | stations |\n|:--|--:|--:|\n${rows.join("")}\n` : "";
  const room =
    press === undefined
      ? "No shop file says how many stations the press has."
      : `The press has ${press} stations.`;
  return {
    text: `$(list-ordered) ${load} ${found(findings)}`,
    tooltip: `${table}${room} ${said(findings)}`,
    full: press !== undefined && most > press,
  };
}

/** Errors and warnings each by their number, as the editor counts its problems; notes where there is nothing worse. */
function found({ error, warning, note }: Findings): string {
  const counts = [
    ...(error > 0 ? [`$(error) ${error}`] : []),
    ...(warning > 0 ? [`$(warning) ${warning}`] : []),
  ];
  if (counts.length > 0) return counts.join(" ");
  return note > 0 ? `$(info) ${note}` : "$(check)";
}

function said(findings: Findings): string {
  const parts = Object.entries(findings).flatMap(([level, count]) =>
    count > 0 ? `${count} ${level}${count === 1 ? "" : "s"}` : [],
  );
  return parts.length > 0 ? `${parts.join(", ")}.` : "No findings.";
}

/** Names stay on their line and in their cell, and are no markup. */
function plain(name: string): string {
  return name.replace(/[\s\\`*_{}[\]()#+\-.!|<>&$~]/gu, (sign) => (/\s/.test(sign) ? " " : `\\${sign}`));
}
