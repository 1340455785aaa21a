import { itTrips } from "./trips.ts";

itTrips("unused-ink");
