// Loaded before a program: its files go to a disk on which there is room for PLATEWRIGHT_DISK_BYTES more and no longer.
// As on a real one, what still had room is written.
const promises = require("node:fs/promises");
const { syncBuiltinESMExports } = require("node:module");

let room = Number(process.env.PLATEWRIGHT_DISK_BYTES);
const write = promises.writeFile;
promises.writeFile = async (file, data, ...options) => {
  const bytes = Buffer.from(data);
  const fits = bytes.subarray(0, room);
  room -= fits.length;
  await write(file, fits, ...options);
  if (fits.length === bytes.length) return;
  throw Object.assign(new Error(`ENOSPC: no space left on device, write '${file}'`), {
    code: "ENOSPC",
    syscall: "write",
  });
};
syncBuiltinESMExports();
