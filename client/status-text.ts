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

/** The fullest setup and the number of findings; the tooltip has each setup. */
export function statusOf({ press, setups }: PressLoad, findings: number): Status {
  const most = Math.max(0, ...setups.map(({ stations }) => stations));
  const full = press !== undefined && most > press;
  const load =
    setups.length === 0 ? "no setup" : `${press === undefined ? most : `${most}/${press}`} stations`;
  const found = findings === 0 ? "$(check)" : `$(${full ? "error" : "warning"}) ${findings}`;
  const rows = setups.map(({ name, screens, stations }) => `| ${plain(name)} | ${screens} | ${stations} |`);
  const table =
    rows.length > 0 ? `| setup | screens | stations |\n|:--|--:|--:|\n${rows.join("\n")}\n\n` : "";
  return {
    text: `$(list-ordered) ${load} ${found}`,
    tooltip:
      `${table}${press === undefined ? "No shop file says how many stations the press has." : `The press has ${press} stations.`} ` +
      `${findings === 0 ? "No findings." : `${findings} ${findings === 1 ? "finding" : "findings"}.`}`,
    full,
  };
}

/** Names stay on their line and in their cell, and are no markup. */
function plain(name: string): string {
  return name.replace(/[\s\\`*_{}[\]()#+\-.!|<>&$~]/gu, (sign) => (/\s/.test(sign) ? " " : `\\${sign}`));
}
