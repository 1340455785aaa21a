/** The channels of a merged PSD picture, 8 bit, plain or with runs packed (as MuPDF writes its separations). */
export function psdChannels(file: Buffer): { width: number; height: number; channels: Uint8Array[] } {
  const count = file.readUInt16BE(12);
  const [height, width] = [file.readUInt32BE(14), file.readUInt32BE(18)];
  let at = 26;
  // Colour mode, resources, layers.
  for (let i = 0; i < 3; i++) at += 4 + file.readUInt32BE(at);
  const packed = file.readUInt16BE(at) === 1;
  at += 2;
  const channels = Array.from({ length: count }, () => new Uint8Array(width * height));
  if (packed) at += 2 * count * height;
  for (const channel of channels) {
    if (!packed) {
      channel.set(file.subarray(at, at + channel.length));
      at += channel.length;
      continue;
    }
    for (let place = 0; place < channel.length; ) {
      const run = file.readInt8(at++);
      if (run >= 0) {
        channel.set(file.subarray(at, at + run + 1), place);
        at += run + 1;
        place += run + 1;
      } else if (run !== -128) {
        channel.fill(file[at++]!, place, place + 1 - run);
        place += 1 - run;
      }
    }
  }
  return { width, height, channels };
}
