import { memo } from "../../../server/engine/memo.ts";
import {
  type PrintConditions,
  type PrintModel,
  preparePrint,
  type Station,
} from "../../../server/engine/print/model.ts";

/** Bands of one picture ask for the same model again and again. */
const prepared = memo(8, preparePrint);

/** The print model of the panel: the command line's own. The only place in the page that names it. */
export function printModel(conditions: PrintConditions, stations: readonly Station[]): PrintModel {
  return prepared(
    conditions,
    stations.map(({ ink, gain, screen }) => ({ ink, gain, screen })),
  );
}
