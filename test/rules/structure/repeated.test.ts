import { itTrips } from "./trips.ts";

itTrips("repeated-entry");
itTrips("repeated-plate");
