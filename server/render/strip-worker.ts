/** A thread that makes strips of plates, one after another. */
import { serveCrew } from "./crew-worker.ts";
import { stripMaker } from "./strips.ts";

serveCrew(stripMaker());
