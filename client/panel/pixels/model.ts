import {
  type Print,
  type PrintConditions,
  preparePrint,
  type Station,
} from "../../../server/engine/print/model.ts";

/** Prints made ready, the latest last: pieces of one picture ask for the same one again and again. */
const ready = new Map<string, Print>();
const KEPT = 8;

/** The print model of the panel: the command line's own. The only place in the page that names it. */
export function printModel(conditions: PrintConditions, stations: readonly Station[]): Print {
  const key = JSON.stringify([conditions, stations.map(({ ink, gain, screen }) => [ink, gain, screen])]);
  const known = ready.get(key);
  if (known) return known;
  if (ready.size >= KEPT) ready.delete(ready.keys().next().value!);
  const print = preparePrint(conditions, stations);
  ready.set(key, print);
  return print;
}
