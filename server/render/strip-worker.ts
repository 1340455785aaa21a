/** A thread that makes strips of plates, one after another. */
import { servePool } from "./pool-worker.ts";
import { stripMaker } from "./strips.ts";

servePool(stripMaker());
