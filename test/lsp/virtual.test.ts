import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterEach, describe, expect, it } from "vitest";
import type { DocumentLink } from "vscode-languageserver-types";
import { resolveUri, uriFrom } from "../../server/lsp/uris.ts";
import type { PreviewResult } from "../../server/wire/panel.ts";
import { artPng } from "../cli/program.ts";
import { SOUND } from "../language/documents.ts";
import { scratch } from "../output/folders.ts";
import { TestClient } from "./client.ts";

const { fresh } = scratch();
const VIRTUAL = ["untitled:Untitled-1", "git:/job/a.sep.yaml?ref", "vscode-vfs://github/a/b/a.sep.yaml"];

describe("in a document that is no file", () => {
  let client: TestClient;
  afterEach(() => {
    client.connection.dispose();
    client.process.kill();
  });

  it.each(VIRTUAL)("%s: no link leads to a command or to a disk, and nothing is read", async (uri) => {
    const folder = fresh();
    const secret = join(folder, "secret.shop.yaml");
    writeFileSync(secret, 'shop: 1\ninks: { hidden: { colour: "#3a4fa0", opacity: 70% } }\n');
    writeFileSync(join(folder, "art.png"), await artPng());
    client = new TestClient();
    await client.start(folder);
    for (const shop of [
      "command:workbench.action.terminal.new",
      pathToFileURL(secret).href,
      secret,
      `//localhost${secret}`,
    ]) {
      const text = `${SOUND.replace("art.png", pathToFileURL(join(folder, "art.png")).href)}shop: '${shop}'\n`;
      await client.open(uri, text);
      const links =
        (await client.request<DocumentLink[] | null>("textDocument/documentLink", {
          textDocument: { uri },
        })) ?? [];
      for (const { target = "" } of links) expect(target).toMatch(new RegExp(`^${uri.split(":")[0]}:`));
      const places = JSON.stringify(
        await client.request("textDocument/completion", {
          textDocument: { uri },
          position: { line: 0, character: 0 },
        }),
      );
      expect(places).not.toContain("hidden");
      const preview = await client.request<PreviewResult<string> | null>("platewright/preview", {
        uri,
        held: { plates: {} },
      });
      expect(preview?.picture).toBeUndefined();
      await client.connection.sendNotification("textDocument/didClose", { textDocument: { uri } });
    }
  });
});

it("a path means a URI of the document's own kind", () => {
  expect(resolveUri("git:/job/a.sep.yaml?ref", "art.png")).toBe("git:/job/art.png");
  for (const uri of VIRTUAL)
    for (const path of ["command:x", "file:///etc/passwd", "//x/y", "https:x"])
      expect(uriFrom(uri, path), `${uri} ${path}`).toBeUndefined();
  expect(uriFrom("untitled:Untitled-1", "art.png")).toBeUndefined();
  expect(uriFrom("file:///a/b.sep.yaml", undefined)).toBeUndefined();
});

it("a race between look and read gains nothing: what was opened is judged", async () => {
  // The reader is asked with the boundary itself; a link that was put there since is followed and refused.
  const { readText } = await import("../../server/files/read.ts");
  const [inside, outside] = [fresh(), fresh()];
  writeFileSync(join(outside, "x"), "secret");
  mkdirSync(join(inside, "a"));
  symlinkSync(join(outside, "x"), join(inside, "a", "x"));
  await expect(readText(join(inside, "a", "x"), [inside])).rejects.toThrow("it lies outside");
});
