import { cpSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type {
  CodeAction,
  CompletionItem,
  DocumentSymbol,
  FullDocumentDiagnosticReport,
  Hover,
  InlayHint,
  Location,
  SemanticTokens,
  SymbolInformation,
  TextEdit,
  WorkspaceEdit,
} from "vscode-languageserver-protocol";
import { TextDocument } from "vscode-languageserver-textdocument";
import { PROGRAM, TestClient, until } from "./client.ts";

const samples = fileURLToPath(new URL("../../samples/", import.meta.url));

let folder: string;
let client: TestClient;
let recipe: string;
let shop: string;
let text: string;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "platewright-lsp-"));
  cpSync(samples, folder, { recursive: true });
  const recipeFile = join(folder, "night-garden", "night-garden.sep.yaml");
  recipe = pathToFileURL(recipeFile).href;
  shop = pathToFileURL(join(folder, "workshop.shop.yaml")).href;
  text = await readFile(recipeFile, "utf8");
  client = new TestClient();
});

afterEach(() => {
  client.connection.dispose();
  client.process.kill();
  rmSync(folder, { recursive: true, force: true });
});

function positionOf(needle: string, inText = text) {
  return TextDocument.create("", "", 0, inText).positionAt(inText.indexOf(needle));
}

/** What the demo's recipe is told without its pixels. DiagnosticSeverity.Information is 3. */
const NOTES = [
  ["gain-not-measured", 3],
  ["job-cost", 3],
];

describe("a session", () => {
  it("ends with status 0 after shutdown and exit", async () => {
    await client.start(folder);
    expect(await client.stop()).toBe(0);
  });

  it("ends with status 1 after exit alone", async () => {
    await client.start(folder);
    const gone = new Promise((resolve) => client.process.once("exit", resolve));
    await client.connection.sendNotification("exit");
    expect(await gone).toBe(1);
  });

  it("publishes nothing worse than a note for a recipe without fault", async () => {
    await client.start(folder);
    await client.open(recipe, text);
    expect((await client.findings(recipe)).map(({ code, severity }) => [code, severity])).toEqual(NOTES);
  });

  it("finds a misspelt ink while typing, and takes it back", async () => {
    await client.start(folder);
    await client.open(recipe, text);
    const start = positionOf("ink: violet");
    const range = {
      start: { ...start, character: start.character + 5 },
      end: { ...start, character: start.character + 11 },
    };
    await client.change(recipe, { range, text: "violte" });
    const [finding] = await client.findings(recipe);
    expect(finding).toMatchObject({ code: "unknown-name", severity: 1, range });
    expect(finding!.message).toContain('did you mean "violet"?');
    await client.change(recipe, { range, text: "violet" });
    expect((await client.findings(recipe)).map(({ code, severity }) => [code, severity])).toEqual(NOTES);
  });

  it("publishes only for versions that are current", async () => {
    await client.start(folder);
    await client.open(recipe, text);
    await client.findings(recipe);
    let last = 1;
    for (let i = 0; i < 30; i++) {
      last = await client.change(recipe, {
        range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } },
        text: "#\n",
      });
    }
    await client.findings(recipe, last);
    const versions = client.published.map(({ version }) => version ?? 0);
    expect(versions).toEqual([...versions].sort((a, b) => a - b));
  });

  it("empties the list of a document that is closed", async () => {
    await client.start(folder);
    await client.open(recipe, "recipe: 2\n");
    expect((await client.findings(recipe)).length).toBeGreaterThan(0);
    await client.connection.sendNotification("textDocument/didClose", { textDocument: { uri: recipe } });
    await until(() => (client.published.at(-1)?.diagnostics.length === 0 ? true : undefined));
  });

  it("answers a client that pulls, and publishes nothing to it", async () => {
    await client.start(folder, { textDocument: { diagnostic: {} } });
    await client.open(recipe, text.replace("ink: violet", "ink: violte"));
    const report = await client.request<FullDocumentDiagnosticReport>("textDocument/diagnostic", {
      textDocument: { uri: recipe },
    });
    expect(report.items.map(({ code }) => code)).toEqual(["unknown-name"]);
    expect(client.published).toEqual([]);
  });

  it("sees a shop file change in the editor and on disk", async () => {
    const watched = {
      workspace: { configuration: true, didChangeWatchedFiles: { dynamicRegistration: true } },
    };
    await client.start(folder, watched);
    await until(() => (client.asked.includes("client/registerCapability") ? true : undefined));
    await client.open(recipe, text);
    await client.findings(recipe);
    const shopText = await readFile(join(folder, "workshop.shop.yaml"), "utf8");
    const without = shopText.replace(/^ {2}violet:.*\n/m, "");

    await client.open(shop, without, "separation-shop");
    await until(() =>
      client.published.at(-1)?.uri === recipe && client.published.at(-1)?.diagnostics.length === 1
        ? true
        : undefined,
    );
    await client.connection.sendNotification("textDocument/didClose", { textDocument: { uri: shop } });

    writeFileSync(join(folder, "workshop.shop.yaml"), without.replace("mint:", "mimt:"));
    await client.connection.sendNotification("workspace/didChangeWatchedFiles", {
      changes: [{ uri: shop, type: 2 }],
    });
    await until(() =>
      client.published.findLast(({ uri }) => uri === recipe)?.diagnostics.length === 2 ? true : undefined,
    );
  });
});

it("holds an order against its recipes as they are in the editor", async () => {
  const file = join(folder, "night-garden", "night-garden.order.yaml");
  const order = pathToFileURL(file).href;
  await client.start(folder);
  await client.open(order, await readFile(file, "utf8"), "separation-order");
  expect(await client.findings(order)).toEqual([]);
  await client.open(recipe, text.replaceAll("brick", "rust"));
  const said = await until(() => {
    const latest = client.published.findLast(({ uri }) => uri === order);
    return latest && latest.diagnostics.length > 0 ? latest : undefined;
  });
  expect(said.diagnostics.map(({ code }) => code)).toEqual(["unknown-in-order"]);
  expect(said.diagnostics[0]!.message).toContain('has no garment "brick"');
});

describe("requests", () => {
  beforeEach(async () => {
    await client.start(folder, {
      textDocument: { inlayHint: {} },
      workspace: { configuration: true, inlayHint: { refreshSupport: true } },
    });
    await client.open(recipe, text);
  });

  const at = (needle: string, add = 0) => {
    const position = positionOf(needle);
    return { textDocument: { uri: recipe }, position: { ...position, character: position.character + add } };
  };

  it("complete an ink from the shop's ink library", async () => {
    const items = await client.request<CompletionItem[]>("textDocument/completion", at("ink: violet", 5));
    expect(items.map(({ label }) => label)).toContain("violet");
  });

  it("show an ink's colour on hover", async () => {
    const shown = await client.request<Hover>("textDocument/hover", at("ink: violet", 6));
    expect(JSON.stringify(shown.contents)).toContain("data:image/svg+xml");
  });

  it("lead from a plate's use to its definition", async () => {
    const [found] = await client.request<Location[]>("textDocument/definition", at("fold: rose", 7));
    expect(found).toMatchObject({ uri: recipe, range: { start: positionOf("rose:\n") } });
  });

  it("rename an ink in the library in the shop file and in every recipe that uses it", async () => {
    const second = join(folder, "second.sep.yaml");
    writeFileSync(second, text.replace("../workshop.shop.yaml", "workshop.shop.yaml"));
    const edit = await client.request<WorkspaceEdit>("textDocument/rename", {
      ...at("ink: violet", 6),
      newName: "plum",
    });
    const solved = recipe.replace(".sep.yaml", "-solved.sep.yaml");
    expect(Object.keys(edit.changes ?? {}).sort()).toEqual(
      [recipe, solved, pathToFileURL(second).href, shop].sort(),
    );
    expect(edit.changes?.[shop]).toHaveLength(1);
  });

  it("refuse a rename to a name that is taken, saying why", async () => {
    await expect(
      client.request("textDocument/rename", { ...at("fold: rose", 7), newName: "leaf" }),
    ).rejects.toThrow('there is already a plate "leaf"');
  });

  it("answer with outline, colours, links, folds, selections, tokens and lenses", async () => {
    const textDocument = { uri: recipe };
    const outline = await client.request<DocumentSymbol[]>("textDocument/documentSymbol", { textDocument });
    expect(outline.map(({ name }) => name)).toContain("setups");
    expect(await client.request<unknown[]>("textDocument/documentColor", { textDocument })).toHaveLength(4);
    const links = await client.request<{ target: string }[]>("textDocument/documentLink", { textDocument });
    expect(links.map(({ target }) => target)).toContain(shop);
    expect(
      (await client.request<unknown[]>("textDocument/foldingRange", { textDocument })).length,
    ).toBeGreaterThan(10);
    const [selection] = await client.request<{ parent?: object }[]>("textDocument/selectionRange", {
      textDocument,
      positions: [positionOf("violet, grey")],
    });
    expect(selection?.parent).toBeDefined();
    const tokens = await client.request<SemanticTokens>("textDocument/semanticTokens/full", { textDocument });
    expect(tokens.data.length % 5).toBe(0);
    expect(tokens.data.length).toBeGreaterThan(500);
    expect(
      (await client.request<unknown[]>("textDocument/codeLens", { textDocument })).length,
    ).toBeGreaterThan(0);
    const found = await client.request<SymbolInformation[]>("workspace/symbol", { query: "vio" });
    expect(found.map(({ name }) => name)).toContain("violet");
  });

  it("offer a fix that makes the finding go away", async () => {
    const broken = text.replace("ink: violet", "ink: violte");
    await client.change(recipe, { text: broken });
    const [finding] = await client.findings(recipe);
    const actions = await client.request<CodeAction[]>("textDocument/codeAction", {
      textDocument: { uri: recipe },
      range: finding!.range,
      context: { diagnostics: [finding] },
    });
    const fix = actions.find(({ kind }) => kind === "quickfix");
    const fixed = TextDocument.applyEdits(
      TextDocument.create("", "", 0, broken),
      fix!.edit!.changes![recipe]!,
    );
    expect(fixed).toBe(text);
  });

  it("format without changing what is already in form", async () => {
    const edits = await client.request<TextEdit[] | null>("textDocument/formatting", {
      textDocument: { uri: recipe },
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(edits ?? []).toEqual([]);
  });

  it("show coverage once the plates are measured, and know a plate's picture then", async () => {
    const whole = {
      textDocument: { uri: recipe },
      range: { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } },
    };
    const hints = await until(async () => {
      const all = await client.request<InlayHint[]>("textDocument/inlayHint", whole);
      return all.some(({ label }) => /%/.test(String(label))) ? all : undefined;
    }, 40);
    expect(hints.length).toBeGreaterThan(9);
    const shown = await client.request<Hover>("textDocument/hover", at("glint:\n", 1));
    expect(JSON.stringify(shown.contents)).toContain("data:image/png");
  });
});

describe("rules that look at pixels", () => {
  // A plate whose range holds nothing of the drawing.
  const empty = () =>
    text
      .replace("hue: [345, 350]", "hue: [349, 350]\n      chroma: [159, 160]")
      .replace("  - { fold: rose, into: ember }\n", "")
      .replace("gold, leaf,", "gold, rose, leaf,");

  it("speak once the plates are made, without holding the others back", async () => {
    await client.start(folder);
    await client.open(recipe, empty());
    const early = (await client.findings(recipe)).map(({ code }) => code);
    expect(early).toContain("job-cost");
    expect(early).not.toContain("near-empty-plate");
    const late = await until(async () => {
      const found = client.published.at(-1)!.diagnostics.map(({ code }) => code);
      return found.includes("near-empty-plate") ? found : undefined;
    }, 60);
    expect(late).toContain("job-cost");
  });

  it("fall silent where the user switches them off", async () => {
    client.settings = { rules: { "near-empty-plate": "off", "job-cost": "error" } };
    await client.start(folder);
    await client.open(recipe, empty());
    const found = await until(() => {
      const last = client.published.at(-1)?.diagnostics ?? [];
      return last.some(({ code, severity }) => code === "job-cost" && severity === 1) ? last : undefined;
    });
    expect(found.map(({ code }) => code)).not.toContain("near-empty-plate");
  });
});

it("reads no artwork in a workspace that is not trusted", async () => {
  await client.start(folder, {}, { readArtwork: false });
  await client.open(recipe, text);
  await client.findings(recipe);
  await new Promise((resolve) => setTimeout(resolve, 1500));
  const hints = await client.request<InlayHint[] | null>("textDocument/inlayHint", {
    textDocument: { uri: recipe },
    range: { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } },
  });
  expect((hints ?? []).filter(({ label }) => /%/.test(String(label)))).toEqual([]);
});

describe("settings", () => {
  const hintsAndLenses = async () => {
    const textDocument = { uri: recipe };
    const range = { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } };
    const hints = await client.request<InlayHint[] | null>("textDocument/inlayHint", { textDocument, range });
    const lenses = await client.request<unknown[] | null>("textDocument/codeLens", { textDocument });
    return [hints?.length ?? 0, lenses?.length ?? 0];
  };

  it("switch hints and lenses off, also while a recipe is open", async () => {
    client.settings = { measure: false };
    await client.start(folder);
    await client.open(recipe, text);
    const [hints = 0, lenses = 0] = await hintsAndLenses();
    expect(hints).toBeGreaterThan(0);
    expect(lenses).toBeGreaterThan(0);
    client.settings = {
      measure: false,
      codeLenses: false,
      inlayHints: { coverage: false, screens: false, resolution: false },
    };
    await client.connection.sendNotification("workspace/didChangeConfiguration", { settings: null });
    await until(async () => ((await hintsAndLenses()).every((n) => n === 0) ? true : undefined));
  });
});

it("finds recipes in every folder of a workspace, and in one that is added", async () => {
  const second = mkdtempSync(join(tmpdir(), "platewright-second-"));
  const far = pathToFileURL(join(second, "far.sep.yaml")).href;
  writeFileSync(
    join(second, "far.sep.yaml"),
    text.replace("../workshop.shop.yaml", join(folder, "workshop.shop.yaml")),
  );
  try {
    await client.start(folder, { workspace: { configuration: true, workspaceFolders: true } });
    await client.open(recipe, text);
    const renamed = async () => {
      const position = positionOf("ink: violet");
      const edit = await client.request<WorkspaceEdit>("textDocument/rename", {
        textDocument: { uri: recipe },
        position: { ...position, character: position.character + 6 },
        newName: "plum",
      });
      return Object.keys(edit.changes ?? {});
    };
    expect(await renamed()).not.toContain(far);
    client.folders.push(pathToFileURL(second).href);
    await client.connection.sendNotification("workspace/didChangeWorkspaceFolders", {
      event: { added: [{ uri: pathToFileURL(second).href, name: "second" }], removed: [] },
    });
    await until(async () => ((await renamed()).includes(far) ? true : undefined));
  } finally {
    rmSync(second, { recursive: true, force: true });
  }
});

it("gives no answer about a text that changed while it was asked", async () => {
  await client.start(folder);
  await client.open(recipe, text);
  const start = { line: 0, character: 0 };
  const outcomes = new Set<unknown>();
  for (let i = 0; i < 60; i++) {
    const asked = client.request<Hover>("textDocument/hover", {
      textDocument: { uri: recipe },
      position: positionOf("ink: violet"),
    });
    // Line by line the text moves down under the question.
    const changed = client.change(recipe, { range: { start, end: start }, text: "#\n" });
    outcomes.add(
      await asked.then(
        (shown) => shown.range?.start.line === positionOf("ink: violet").line,
        (e) => e.code,
      ),
    );
    await changed;
    await client.change(recipe, { range: { start, end: { line: 1, character: 0 } }, text: "" });
  }
  // Answered in time, or refused as the protocol says (ContentModified); never the place of another text.
  expect([...outcomes].filter((outcome) => outcome !== true && outcome !== -32801)).toEqual([]);
  expect(outcomes.has(-32801)).toBe(true);
});

it("drops a request that is withdrawn", async () => {
  await client.start(folder);
  await client.open(recipe, text);
  const { CancellationTokenSource } = await import("vscode-languageserver-protocol");
  const source = new CancellationTokenSource();
  const answer = client.connection.sendRequest(
    "textDocument/references",
    {
      textDocument: { uri: recipe },
      position: positionOf("ink: violet"),
      context: { includeDeclaration: true },
    },
    source.token,
  );
  source.cancel();
  await expect(answer).rejects.toMatchObject({ code: -32800 });
});

it("outlives a fault that nobody foresaw, and tells of it", async () => {
  client.process.kill();
  const fault = "data:text/javascript,setTimeout(() => Promise.reject(new Error('unforeseen')), 500)";
  client = new TestClient(["--import", fault, PROGRAM, "lsp", "--stdio"]);
  const told: string[] = [];
  client.connection.onNotification("window/logMessage", ({ message }: { message: string }) => {
    told.push(message);
  });
  await client.start(folder);
  await client.open(recipe, text);
  await until(() => told.find((message) => message.includes("unforeseen")));
  await client.change(recipe, { text: text.replace("ink: violet", "ink: violt") });
  expect((await client.findings(recipe)).map(({ code }) => code)).toContain("unknown-name");
  expect(client.process.exitCode).toBeNull();
});
