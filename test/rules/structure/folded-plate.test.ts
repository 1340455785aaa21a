import { itTrips } from "./trips.ts";

itTrips("folded-plate");
