import type { Finding } from "../language/finding.ts";
import { OUTSIDE } from "../language/outside.ts";
import type { WayOut } from "../wire/panel.ts";

/** What can be done about a file that a recipe names and that was not read, besides changing the text. */
export function waysOutOf({ rule, path, data }: Finding): WayOut[] {
  if (rule !== "missing-file" && rule !== "unreadable-artwork") return [];
  const outside = data?.unread?.reason === OUTSIDE;
  if (path[0] === "shop") return outside ? ["readShop", "addShopFolder", "chooseShop"] : ["chooseShop"];
  if (path[0] === "artwork" && path[1] === "file")
    return outside ? ["readArtwork", "addArtworkFolder", "chooseArtwork"] : ["chooseArtwork"];
  return [];
}
