import {
  type PrintConditions,
  type PrintModel,
  preparePrint,
  type Station,
} from "../../../server/engine/print/model.ts";

/** Models made ready, the latest last: bands of one picture ask for the same one again and again. */
const ready = new Map<string, PrintModel>();
const KEPT = 8;

/** The print model of the panel: the command line's own. The only place in the page that names it. */
export function printModel(conditions: PrintConditions, stations: readonly Station[]): PrintModel {
  const key = JSON.stringify([conditions, stations.map(({ ink, gain, screen }) => [ink, gain, screen])]);
  const known = ready.get(key);
  if (known) return known;
  if (ready.size >= KEPT) ready.delete(ready.keys().next().value!);
  const print = preparePrint(conditions, stations);
  ready.set(key, print);
  return print;
}
