/** A thread that makes films, one after another. */
import { servePool } from "../../render/pool-worker.ts";
import { makeFilm } from "./film.ts";

servePool(makeFilm);
