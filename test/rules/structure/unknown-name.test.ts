import { itTrips } from "./trips.ts";

itTrips("unknown-name");
