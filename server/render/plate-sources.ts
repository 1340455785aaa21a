import { createHash } from "node:crypto";
import type { Artwork } from "../artwork/artwork.ts";
import { readGivenPlates } from "../artwork/plates/given-plates.ts";
import type { PlateFileInfo, PlateView } from "../artwork/plates/plates.ts";
import type { Tones } from "../engine/raster.ts";
import type { Within } from "../files/boundary.ts";
import type { Recipe } from "../language/recipe.ts";
import { type SourceFile, stateOf } from "./source-file.ts";
import { keyOf } from "./stage-cache.ts";

/** A plate's file, as it is on disk, or bytes of another state of it. */
export interface PlateSource extends SourceFile {
  readonly name: string;
  readonly view: PlateView;
}

/** The files of a recipe's plates; `fileOf` says which file the path of one means. */
export async function plateSources(
  recipe: Recipe,
  fileOf: (path: string) => Promise<SourceFile>,
): Promise<PlateSource[]> {
  const sources: PlateSource[] = [];
  for (const { name, given } of recipe.plates.values()) {
    if (!given) continue;
    const { file, ...view } = given;
    sources.push({ ...(await fileOf(file)), name, view });
  }
  return sources;
}

/** Plates from files at the size of a picture: their tones, the keys of these, and what the files are. */
export interface Given {
  readonly tones: ReadonlyMap<string, Tones>;
  readonly keys: ReadonlyMap<string, string>;
  readonly infos: ReadonlyMap<string, PlateFileInfo>;
}

export interface GivenFile extends Awaited<ReturnType<typeof readGivenPlates>> {
  /** Keys of its tones. */
  readonly keys: readonly string[];
}

/** Plates of one file and page are read together; `keep` remembers what was read, under a key that says of what. */
export async function readGiven(
  { plates = [], within }: { readonly plates?: readonly PlateSource[] | undefined; readonly within?: Within },
  { picture: { width, height } }: Artwork,
  keep: (key: readonly unknown[], read: () => Promise<GivenFile>) => Promise<GivenFile>,
): Promise<Given | undefined> {
  if (plates.length === 0) return undefined;
  const files = new Map<string, PlateSource[]>();
  for (const plate of plates) {
    const key = JSON.stringify([plate.file, plate.view.page]);
    files.set(key, [...(files.get(key) ?? []), plate]);
  }
  const tones = new Map<string, Tones>();
  const keys = new Map<string, string>();
  const infos = new Map<string, PlateFileInfo>();
  for (const group of files.values()) {
    const { file, view, stored } = group[0]!;
    const views = group.map(({ view }) => view);
    const read = async (): Promise<GivenFile> => {
      const made = await readGivenPlates(
        file,
        view.page,
        views,
        { width, height },
        { within, bytes: await stored?.read() },
      );
      const digest = (of: Tones) => createHash("sha256").update(of).digest("base64url");
      return { ...made, keys: made.tones.map((of) => keyOf("tones", digest(of))) };
    };
    const made = await keep([await stateOf({ file, stored }), views, width, height, within], read);
    for (const [i, { name }] of group.entries()) {
      tones.set(name, made.tones[i]!);
      keys.set(name, made.keys[i]!);
      infos.set(name, made.info);
    }
  }
  return { tones, keys, infos };
}

/** An artwork with plates from files beside it. */
export function withGiven(artwork: Artwork, { tones, infos }: Given): Artwork {
  return { ...artwork, picture: { ...artwork.picture, given: tones }, plates: infos };
}
