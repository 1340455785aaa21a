import { replaceScalar } from "../../language/edit.ts";
import type { Finding } from "../../language/finding.ts";
import { filesOf } from "../../language/project.ts";
import type { NamedFile, WayOut } from "../../wire/panel.ts";
import type { Model } from "../model.ts";
import { plainScalar } from "../scalar.ts";
import { waysOutOf } from "../ways-out.ts";
import type { Fix } from "./fix.ts";

/** The editor's command that goes one way out, for a recipe. */
export const GO_WAY = "platewright.goWayOut";

/** Names of files that stand near where artwork or shop file were looked for, as the recipe would write them. */
export type NearFiles = Readonly<Record<NamedFile, readonly string[]>>;
export const NO_FILES: NearFiles = { artwork: [], shop: [] };

const TITLES: Readonly<Record<Exclude<WayOut, "trust" | "beginGit">, string>> = {
  readShop: "read this shop file",
  addShopFolder: "add the shop file's folder to the workspace",
  chooseShop: "choose the shop file…",
  readArtwork: "read this artwork",
  addArtworkFolder: "add the artwork's folder to the workspace",
  chooseArtwork: "choose the artwork…",
};

/** A file that was not read: another name like it, or what the editor can do. */
export function fileFixes(model: Model, finding: Finding, near: NearFiles): Fix[] {
  const ways = waysOutOf(finding);
  const [of] = finding.path;
  if (ways.length === 0 || (of !== "artwork" && of !== "shop")) return [];
  const written = filesOf(model.source)[of];
  const names = near[of].filter((name) => name !== written);
  const renamed = names.flatMap((name): Fix[] => {
    const changes = replaceScalar(model.source, finding.path, plainScalar(name));
    return changes ? [{ title: `write ${name}`, changes, sure: names.length === 1 }] : [];
  });
  const gone = ways.flatMap((way): Fix[] =>
    way === "trust" || way === "beginGit"
      ? []
      : [
          {
            title: TITLES[way],
            changes: [],
            command: { id: GO_WAY, arguments: [model.uri, way] },
            sure: false,
          },
        ],
  );
  return [...renamed, ...gone];
}
