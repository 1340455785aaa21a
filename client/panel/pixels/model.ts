/** The print model of the panel: the same object as the command line's. The only place in the page that names it. */
export { linearFilm as printModel } from "../../../server/engine/print/linear-film.ts";
