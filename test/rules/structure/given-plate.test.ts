import { itTrips } from "./trips.ts";

itTrips("plate-from-file");
itTrips("artwork-of-plates");
itTrips("film-as-it-is");
