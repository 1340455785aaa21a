/** Writes THIRD-PARTY.md. Run by `npm run licences`, after the bundles were made. */
import { writeFileSync } from "node:fs";
import { thirdPartyPage } from "./third-party.ts";

writeFileSync(new URL("../THIRD-PARTY.md", import.meta.url), thirdPartyPage());
