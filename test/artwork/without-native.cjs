// For `node --require`: no native package of sharp resolves, as where only the WebAssembly one is shipped.
const Module = require("node:module");

const resolve = Module._resolveFilename;
Module._resolveFilename = function (request, ...rest) {
  if (/^@img\/sharp-(?!wasm32\/)/.test(request)) {
    throw Object.assign(new Error(`Cannot find module '${request}'`), { code: "MODULE_NOT_FOUND" });
  }
  return resolve.call(this, request, ...rest);
};
