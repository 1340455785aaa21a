import { itTrips } from "./trips.ts";

itTrips("solved-plate");
itTrips("solved-strength");
