// Run as a program: loads an extension's bundle and activates it as the editor does, with a stand-in for the editor's
// own module, and prints how long each took in milliseconds.
const Module = require("node:module");
const { join } = require("node:path");

/** Whatever is asked of it: a namespace, a function, a class to make things of or to extend. */
function anything() {
  const members = new Map();
  const stand = new Proxy(class {}, {
    get(target, key) {
      if (typeof key === "symbol" || key === "then" || key === "toJSON") return undefined;
      if (key === "prototype") return target.prototype;
      if (!members.has(key)) members.set(key, anything());
      return members.get(key);
    },
    set(_target, key, value) {
      members.set(key, value);
      return true;
    },
    apply: () => anything(),
    construct: (_target, _values, made) =>
      made === stand ? anything() : Reflect.construct(Object, [], made),
  });
  return stand;
}

const editor = anything();
editor.version = "1.101.0";
for (const list of ["workspaceFolders", "textDocuments", "notebookDocuments"]) editor.workspace[list] = [];
editor.window.visibleTextEditors = [];
editor.window.tabGroups.all = [];
const load = Module._load;
Module._load = (request, ...rest) => (request === "vscode" ? editor : load(request, ...rest));

const root = process.argv[2];
const start = performance.now();
const extension = require(join(root, "dist", "extension.cjs"));
const loaded = performance.now();
const context = { subscriptions: [], asAbsolutePath: (path) => join(root, path), extensionUri: anything() };
Promise.resolve(extension.activate(context)).then(() => {
  const activated = performance.now();
  console.log(JSON.stringify({ load: loaded - start, activate: activated - loaded }));
  process.exit();
});
