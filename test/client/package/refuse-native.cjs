// For `node --require`: no native module loads, in this process and its threads; each that was tried is written down.
const { appendFileSync } = require("node:fs");

process.dlopen = (_module, file) => {
  appendFileSync(process.env.NATIVE_MODULES_FILE, `${file}\n`);
  throw new Error(`${file} is a native module`);
};
