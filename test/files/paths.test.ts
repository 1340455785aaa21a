import { join } from "node:path";
import { expect, it } from "vitest";
import { pathProblem, resolvedFrom } from "../../server/files/paths.ts";

it.each([
  "command:workbench.action.reloadWindow",
  "file:///etc/passwd",
  "FILE:/etc/passwd",
  "https://example.invalid/x",
  "vscode://file/x",
  "data:text/plain,x",
  "//server/share/art.png",
  "\\\\server\\share\\art.png",
  "\\\\.\\pipe\\x",
  "\\\\?\\C:\\x",
  "/\\server/x",
  "art\0.png",
])("%s is no path of a file", (path) => {
  expect(pathProblem(path)).toBeDefined();
  expect(() => resolvedFrom("/a/job.sep.yaml", path)).toThrow(pathProblem(path));
});

it.each(["art.png", "./command:x", "../shop.yaml", "a b/ü #1?.png", "C", "100%/x"])("%s is one", (path) => {
  expect(pathProblem(path)).toBeUndefined();
  expect(resolvedFrom("/a/b/job.sep.yaml", path)).toBe(join("/a/b", path));
});
