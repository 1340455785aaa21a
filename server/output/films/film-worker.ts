/** A thread that makes films, one after another. */
import { serveCrew } from "../../render/crew-worker.ts";
import { makeFilm } from "./film.ts";

serveCrew(makeFilm);
