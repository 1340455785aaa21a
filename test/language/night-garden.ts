import { readFileSync } from "node:fs";

/** The text of the demo's recipe. */
export default readFileSync(
  new URL("../../samples/night-garden/night-garden.sep.yaml", import.meta.url),
  "utf8",
);
