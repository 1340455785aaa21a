import { expect, it } from "vitest";
import { FileError } from "../../server/language/project.ts";
import { pathOfUri, resolveUri, uriFrom } from "../../server/lsp/uris.ts";

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

it("refuses what is no path, of whatever document", () => {
  for (const uri of ["file:///jobs/a.sep.yaml", "vscode-vfs://host/jobs/a.sep.yaml"])
    for (const path of ["https://a.example/b.png", "file:///etc/passwd"]) {
      expect(() => resolveUri(uri, path)).toThrow(FileError);
      expect(uriFrom(uri, path)).toBeUndefined();
    }
});

it("finds nothing beside a text that was never saved", () => {
  expect(() => resolveUri("untitled:Untitled-1", "b.png")).toThrow("nothing lies beside this document");
  expect(uriFrom("untitled:Untitled-1", "b.png")).toBeUndefined();
});

it("has a URI of a path, and none of none", () => {
  expect(uriFrom("file:///jobs/a.sep.yaml", "b.png")).toBe("file:///jobs/b.png");
  expect(uriFrom("vscode-vfs://host/jobs/a.sep.yaml", "b 1.png")).toBe("vscode-vfs://host/jobs/b%201.png");
  expect(uriFrom("file:///jobs/a.sep.yaml", undefined)).toBeUndefined();
});
