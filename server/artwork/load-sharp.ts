import { createRequire } from "node:module";
import type Sharp from "sharp";

/**
 * sharp, loaded at the first call: most runs never touch a picture. By `require`, since the module form of sharp
 * 0.35 uses import attributes, which Node knows only from 20.10 on.
 */
export function loadSharp(): typeof Sharp {
  return createRequire(import.meta.url)("sharp");
}
