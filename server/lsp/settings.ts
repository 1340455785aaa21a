import { DEFAULT_LEVELS, type RuleLevels, readLevels } from "../rules/levels.ts";

/** What a user can set under `platewright` in the editor. */
export interface Settings {
  readonly inlayHints: {
    readonly coverage: boolean;
    readonly screens: boolean;
    readonly resolution: boolean;
  };
  readonly codeLenses: boolean;
  /** Read artwork and make plates at preview size while typing pauses. */
  readonly measure: boolean;
  /** Seconds that reading one artwork may take. */
  readonly deadline: number;
  /** Read what a recipe names outside of the workspace. */
  readonly readOutside: boolean;
  /** How strictly single rules are taken, whatever the shop says. */
  readonly rules: RuleLevels;
}

/** Settings of an editor that has set none. */
export const DEFAULT_SETTINGS: Settings = {
  inlayHints: { coverage: true, screens: true, resolution: true },
  codeLenses: true,
  measure: true,
  deadline: 30,
  readOutside: false,
  rules: DEFAULT_LEVELS,
};

/** Settings from what an editor sends; what is missing or of another kind is as usual. */
export function readSettings(sent: unknown): Settings {
  const given = fields(sent);
  const hints = fields(given.inlayHints);
  const usual = DEFAULT_SETTINGS;
  return {
    inlayHints: {
      coverage: flag(hints.coverage, usual.inlayHints.coverage),
      screens: flag(hints.screens, usual.inlayHints.screens),
      resolution: flag(hints.resolution, usual.inlayHints.resolution),
    },
    codeLenses: flag(given.codeLenses, usual.codeLenses),
    measure: flag(given.measure, usual.measure),
    deadline: seconds(given.deadline, usual.deadline),
    readOutside: flag(given.readOutside, usual.readOutside),
    rules: readLevels(given.rules),
  };
}

function seconds(value: unknown, usual: number): number {
  return typeof value === "number" && value >= 1 && value <= 3600 ? value : usual;
}

function flag(value: unknown, usual: boolean): boolean {
  return typeof value === "boolean" ? value : usual;
}

function fields(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : {};
}
