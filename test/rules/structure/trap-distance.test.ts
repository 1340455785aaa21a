import { itTrips } from "./trips.ts";

itTrips("trap-distance");
