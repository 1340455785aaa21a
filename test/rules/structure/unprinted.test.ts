import { itTrips } from "./trips.ts";

itTrips("unprinted-plate");
itTrips("unprinted-garment");
