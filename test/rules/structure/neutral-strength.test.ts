import { itTrips } from "./trips.ts";

itTrips("neutral-strength");
