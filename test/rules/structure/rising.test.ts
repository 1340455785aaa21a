import { itTrips } from "./trips.ts";

itTrips("rising-curve");
itTrips("rising-range");
