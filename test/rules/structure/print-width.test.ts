import { itTrips } from "./trips.ts";

itTrips("print-width");
