import { existsSync } from "node:fs";
import { type Browser, chromium } from "playwright-core";

/** A Chromium on this machine: named by PLATEWRIGHT_CHROMIUM, or at a usual place. */
export const CHROMIUM: string | undefined = [
  process.env.PLATEWRIGHT_CHROMIUM,
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
].find((path): path is string => path !== undefined && path !== "" && existsSync(path));

/** For the names of tests that need it. */
export const NEEDS_CHROMIUM = "(needs Chromium: install it, or name it in PLATEWRIGHT_CHROMIUM)";

export function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: CHROMIUM ?? "",
    args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
  });
}
