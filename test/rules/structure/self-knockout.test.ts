import { itTrips } from "./trips.ts";

itTrips("self-knockout");
