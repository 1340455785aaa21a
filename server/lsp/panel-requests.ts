import { dirname } from "node:path";
import type { CancellationToken, Connection } from "vscode-languageserver/node";
import type { CheckedModel, Model } from "../features/model.ts";
import { toOffset } from "../features/model.ts";
import { type AtHand, recipeAtHand } from "../features/panel/at-hand.ts";
import { editedText, panelEdit } from "../features/panel/edits.ts";
import { jobOf, panelFindings } from "../features/panel/job.ts";
import { panelPlace, panelRange } from "../features/panel/place.ts";
import { reasonsFor } from "../features/panel/why.ts";
import { isInside, type Within } from "../files/boundary.ts";
import { resolvedFrom } from "../files/paths.ts";
import { filesOfCommit } from "../jobs/commit.ts";
import { openJob } from "../jobs/open.ts";
import { parseDocument } from "../language/document.ts";
import { lengthUnitOf } from "../language/length-unit.ts";
import { OUTSIDE } from "../language/outside.ts";
import { assembleProject, FileError, filesOf } from "../language/project.ts";
import type { Recipe } from "../language/recipe.ts";
import { resolveRecipe } from "../language/resolve-recipe.ts";
import { viewed } from "../render/artworks.ts";
import { separationPlan } from "../render/plan/separation-plan.ts";
import { plateSources } from "../render/plate-sources.ts";
import { NoRepository, Revision, RevisionError } from "../revisions/git.ts";
import { FIXED_RULES } from "../rules/all.ts";
import { checkProject, isResolvable, lacksShopAlone } from "../rules/check.ts";
import type {
  NamedFile,
  PanelEdit,
  PanelEditResult,
  PreviewParams,
  PreviewResult,
  PrintPoint,
  ProofView,
  WirePath,
} from "../wire/panel.ts";
import { withBytes } from "../wire/preview.ts";
import type { Check } from "./check-in-turns.ts";
import type { Measurer } from "./measurer.ts";
import { artworkOf, plateFilesOf } from "./pictures.ts";
import { pathOfUri, uriFrom } from "./uris.ts";
import type { MeasureRequest, PlateOnWire } from "./work-messages.ts";

/** What stands around a panel's questions. */
export interface PanelHost {
  /** The recipe in the editor with what belongs to it; undefined where it cannot be read. */
  model(uri: string): Promise<Model | undefined>;
  check(uri: string): Promise<Check | undefined>;
  version(uri: string): number;
  /** False in a workspace that is not trusted: then no artwork is read. */
  readArtwork(): boolean;
  /** What is asked of the measuring process about a recipe; undefined where nothing can be made of it. */
  request(uri: string): Promise<MeasureRequest | undefined>;
  /** How far the files may lie that a recipe, a URI, names. */
  within(recipe: string): Promise<Within>;
}

/** Tells panels of changes that they cannot see. */
export interface PanelRequests {
  /** Something else than a recipe's text has changed: a file on disk, a shop file, trust. */
  changed(): void;
}

const NOT_TRUSTED = "this workspace is not trusted, so its artwork is not read; trust it to see the proof";
const UNTRUSTED: Shown = { problem: NOT_TRUSTED, ways: ["trust"] };

/** Answers proof panels. Not part of the protocol: methods under `platewright/`. */
export function registerPanelRequests(
  connection: Connection,
  measurer: Measurer,
  host: PanelHost,
): PanelRequests {
  let asked = false;
  const checked = async (uri: string) => (await host.check(uri))?.checked;
  const withModel = async <M extends Model, T>(
    making: Promise<M | undefined>,
    feature: (model: M) => T,
  ): Promise<T | null> => {
    const model = await making;
    return model?.source.kind === "recipe" ? feature(model) : null;
  };
  connection.onRequest("platewright/preview", (params: PreviewParams, token: CancellationToken) => {
    asked = true;
    return previewed(params, { measurer, host, signal: signalOf(token) });
  });
  connection.onRequest<PanelEditResult | null, void>(
    "platewright/panelEdit",
    ({ uri, edit }: { uri: string; edit: PanelEdit }) =>
      withModel(host.model(uri), (model) => panelEdit(model, edit)),
  );
  connection.onRequest(
    "platewright/placeAt",
    ({ uri, position }: { uri: string; position: { line: number; character: number } }) =>
      withModel(host.model(uri), (model) => panelPlace(model, toOffset(model.source, position))),
  );
  connection.onRequest("platewright/rangeOf", ({ uri, path }: { uri: string; path: WirePath }) =>
    withModel(host.model(uri), (model) => panelRange(model, path)),
  );
  connection.onRequest("platewright/fileNamed", ({ uri, of }: { uri: string; of: NamedFile }) =>
    withModel(host.model(uri), (model) => uriFrom(uri, filesOf(model.source)[of]) ?? null),
  );
  connection.onRequest(
    "platewright/why",
    ({ uri, plate, point }: { uri: string; plate: string; point: PrintPoint }) =>
      withModel(checked(uri), (model) => {
        const recipe = recipeOf(model);
        return recipe ? reasonsFor(model, recipe, plate, point) : [];
      }),
  );
  connection.onRequest(
    "platewright/proofPicture",
    async ({ uri, ...view }: { uri: string } & ProofView, token) => {
      const model = await checked(uri);
      const artworkFile = model && artworkOf(model);
      if (!model || artworkFile === undefined || !recipeOf(model)) throw new Error("the recipe has errors");
      if (!host.readArtwork()) throw new Error(NOT_TRUSTED);
      await refuseOutside(uri, artworkFile, host);
      const work = {
        ...view,
        recipe: model.source.text,
        shop: model.shop?.source.text,
        readings: model.readings,
        artworkFile,
        plateFiles: plateFilesOf(model),
        within: await host.within(uri),
      };
      return { png: base64(await measurer.proof(work, signalOf(token))) };
    },
  );
  connection.onRequest("platewright/left", async ({ uri }: { uri: string }, token) => {
    const asked = host.readArtwork() ? await host.request(uri) : undefined;
    return asked ? measurer.left(asked, signalOf(token)) : null;
  });
  return {
    changed() {
      // Editors without panels never ask, and are not told.
      if (asked) void connection.sendNotification("platewright/changed");
    },
  };
}

/** What a preview is made with, until the signal comes. */
interface Context {
  readonly measurer: Measurer;
  readonly host: PanelHost;
  readonly signal: AbortSignal;
}

async function previewed(params: PreviewParams, context: Context): Promise<PreviewResult<string> | null> {
  if (params.committed) return committed(params, context);
  const { host } = context;
  const version = host.version(params.uri);
  const check = await host.check(params.uri);
  if (check?.model.source.kind !== "recipe") return null;
  const readable = await check.recipe;
  const file = artworkOf(check.model);
  const shown = async (): Promise<Shown> => {
    const atHand = readable ? { recipe: readable } : await withoutShop(await check.checked);
    if (!atHand || file === undefined) return {};
    const { recipe, unknown }: Partial<AtHand> & Pick<AtHand, "recipe"> = atHand;
    const job = jobOf(recipe, lengthUnitOf(check.model.source), unknown);
    if (params.quick === "job") return { job };
    const tried = params.trial && !unknown ? triedOut(check.model, params.trial) : undefined;
    const shownRecipe = tried ?? recipe;
    const files = plateFilesOf(check.model);
    const plates = await plateSources(shownRecipe, async (path) => ({ file: files[path] ?? path }));
    return { job, ...(await pictured(shownRecipe, { file, plates }, params, context)) };
  };
  // The rest of the rules are asked while the picture is made.
  const [picture, checked] = await Promise.all([shown(), check.checked]);
  return { version, findings: panelFindings(checked), ...picture };
}

/** The recipe as an edit would leave it; undefined where it cannot be made or leads to errors. */
function triedOut(model: Model, edit: PanelEdit): Recipe | undefined {
  const text = editedText(model, edit);
  if (text === undefined) return undefined;
  const { source, shop, readings } = model;
  const main = parseDocument(source.file, text, "recipe");
  const findings = checkProject(assembleProject(main, shop?.source, true, readings), { rules: FIXED_RULES });
  return isResolvable(findings) ? resolveRecipe(main, shop?.source, readings) : undefined;
}

type Shown = Pick<PreviewResult<string>, "job" | "picture" | "problem" | "ways">;

/** A recipe whose shop file alone is missing is shown as far as its own inks go. */
async function withoutShop(model: CheckedModel): Promise<AtHand | undefined> {
  return lacksShopAlone(model.findings) ? recipeAtHand(model) : undefined;
}

/** The recipe, its shop file and its artwork as the last commit has them. */
async function committed(params: PreviewParams, context: Context): Promise<PreviewResult<string>> {
  const { host } = context;
  const base = { version: host.version(params.uri), findings: [] };
  const file = pathOfUri(params.uri);
  if (file === undefined) return { ...base, problem: "this recipe is on no disk, so no commit holds it" };
  if (!host.readArtwork()) return { ...base, ...UNTRUSTED };
  try {
    const within = await host.within(params.uri);
    const revision = await Revision.open(dirname(file), "HEAD", within);
    const { commit } = revision;
    const { recipe, artworkFile, findings, project } = await openJob(file, filesOfCommit(revision, within));
    if (!recipe || artworkFile === undefined) {
      const unread = findings.find(({ rule, path }) => rule === "missing-file" && path[0] === "shop");
      const problem = unread?.message ?? "the recipe has errors in the last commit";
      return { ...base, commit, problem };
    }
    const blob = await revision.blob(artworkFile);
    const plates: PlateOnWire[] = [];
    for (const plate of await plateSources(recipe, async (path) => ({ file: resolvedFrom(file, path) })))
      plates.push({ ...plate, blob: await revision.blob(plate.file) });
    const picture = await pictured(recipe, { file: artworkFile, blob, plates }, params, context);
    return { ...base, commit, job: jobOf(recipe, lengthUnitOf(project.main)), ...picture };
  } catch (error) {
    if (error instanceof NoRepository) return { ...base, problem: error.message, ways: ["beginGit"] };
    if (error instanceof RevisionError || error instanceof FileError)
      return { ...base, problem: error.message };
    throw error;
  }
}

/** The picture, or why there is none. */
async function pictured(
  recipe: Recipe,
  artwork: { readonly file: string; readonly blob?: string; readonly plates: readonly PlateOnWire[] },
  { uri, held, crop, quick }: PreviewParams,
  { measurer, host, signal }: Context,
): Promise<Pick<Shown, "picture" | "problem" | "ways">> {
  if (!host.readArtwork()) return UNTRUSTED;
  const within = await host.within(uri);
  for (const { file } of [artwork, ...artwork.plates])
    if (!(await isInside(file, within)))
      return {
        problem: `${file}: it lies outside of what may be read`,
        ways: ["readArtwork", "addArtworkFolder", "chooseArtwork"],
      };
  const { widthMm } = recipe.artwork;
  const { view } = viewed(artwork, recipe);
  const plan = separationPlan(recipe);
  try {
    const lowResolution = quick === "lowResolution";
    const work = { plan, widthMm, artwork: { ...artwork, within, view }, held, crop, lowResolution };
    return { picture: withBytes(await measurer.preview(work, signal), base64) };
  } catch (error) {
    if (signal.aborted) throw error;
    return { problem: (error as Error).message, ways: ["chooseArtwork"] };
  }
}

async function refuseOutside(uri: string, file: string, host: PanelHost): Promise<void> {
  if (!(await isInside(file, await host.within(uri)))) throw new FileError(file, OUTSIDE);
}

function base64(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString("base64");
}

/** The recipe, where it can be read. A missing artwork is told by its reader. */
function recipeOf(model: CheckedModel): Recipe | undefined {
  if (!isResolvable(model.findings)) return undefined;
  return resolveRecipe(model.source, model.shop?.source, model.readings);
}

function signalOf(token: CancellationToken): AbortSignal {
  const controller = new AbortController();
  if (token.isCancellationRequested) controller.abort(new Error("cancelled"));
  else token.onCancellationRequested(() => controller.abort(new Error("cancelled")));
  return controller.signal;
}
