import { expect, it } from "vitest";
import { pathOfUri, resolveUri } from "../../server/lsp/uris.ts";

it("resolves a path from the document's folder, whatever signs it holds", () => {
  expect(resolveUri("file:///jobs/moth/moth.sep.yaml", "../my shop#1.shop.yaml")).toBe(
    "file:///jobs/my%20shop%231.shop.yaml",
  );
  expect(pathOfUri("file:///jobs/my%20shop%231.shop.yaml")).toBe("/jobs/my shop#1.shop.yaml");
});

it("knows no path of what is on no disk, and resolves beside it", () => {
  expect(pathOfUri("vscode-vfs://host/jobs/a.sep.yaml")).toBeUndefined();
  expect(pathOfUri("untitled:Untitled-1")).toBeUndefined();
  expect(resolveUri("vscode-vfs://host/jobs/a.sep.yaml", "b.png")).toBe("vscode-vfs://host/jobs/b.png");
});
