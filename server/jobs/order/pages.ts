import { atLeast, LEVELS, standing } from "../../language/finding.ts";
import type { OrderLine } from "../../language/order.ts";
import { filmedPlates } from "../../output/films/setup-films.ts";
import type { Approval, ShownPrint } from "../../output/order/approval.ts";
import { type Counts, setupFor } from "../../output/order/counts.ts";
import { type OrderPage, orderPage } from "../../output/order/page.ts";
import { addedUp, inkNeeds } from "../../render/ink-needs.ts";
import { CAUTIONS } from "../../rules/cautions.ts";
import type { Looked } from "../look.ts";
import { cssHex, proofPicture } from "../ticket.ts";
import type { OrderFilms } from "./films.ts";
import type { OpenOrder } from "./open-order.ts";

/** An order whose prints were made and looked at. */
export interface MadeOrder {
  readonly opened: OpenOrder;
  readonly looked: ReadonlyMap<string, Looked>;
  readonly counts: Counts;
  readonly films: OrderFilms | undefined;
  readonly date: string;
  readonly producer: string;
}

/** The office's page. */
export function orderPageOf({ opened, looked, counts, films, date, producer }: MadeOrder): string {
  const inks = new Map([...looked.values()].flatMap(({ print }) => [...print.recipe.inks]));
  const needs = counts.setUps.flatMap(({ print: name, setup, count }) => {
    const { print } = looked.get(name)!;
    const plates = filmedPlates(print.recipe, print.recipe.setups.get(setup)!).map((plate) => plate.name);
    return inkNeeds(print, plates, count);
  });
  return orderPage({
    order: opened.order,
    counts,
    inks: addedUp(needs, inks),
    inkColours: new Map([...inks].map(([name, { colour }]) => [name, cssHex(colour.lab)])),
    filmMm: films?.lengths.map(({ lengthMm }) => lengthMm),
    findings: findingsOf({ opened, looked }),
    cautions: CAUTIONS,
    date,
    producer,
  });
}

/** Warnings and errors of the order and of its prints, worst first. */
export function findingsOf({ opened, looked }: Pick<MadeOrder, "opened" | "looked">): OrderPage["findings"] {
  const told = [
    ...opened.findings.map((finding) => ({ about: "order", finding })),
    ...[...looked].flatMap(([about, { findings }]) => findings.map((finding) => ({ about, finding }))),
  ];
  return told
    .filter(({ finding }) => standing([finding]).length > 0 && atLeast(finding.level, "warning"))
    .sort((a, b) => LEVELS.indexOf(a.finding.level) - LEVELS.indexOf(b.finding.level));
}

/** What the customer should know before wearing it. */
const FOR_CUSTOMERS = ["Children's wear", "Discharge"];

/** The sheet to be approved. */
export async function approvalOf({ opened, looked, date, producer }: MadeOrder): Promise<Approval> {
  const { order } = opened;
  const pictures = new Map<string, ShownPrint>();
  for (const { garment, prints } of order.lines)
    for (const name of prints) {
      const { print } = looked.get(name)!;
      const setup = setupFor(print.recipe, garment);
      const key = JSON.stringify([name, garment]);
      if (setup === undefined || pictures.has(key)) continue;
      const size = { width: print.recipe.artwork.widthMm, height: print.artwork.info.heightMm };
      pictures.set(key, { png: await proofPicture(print, garment, setup), size });
    }
  const printsOf = (line: OrderLine) => line.prints.map((name) => looked.get(name)!.print);
  const discharges = [...looked.values()].some(({ print }) =>
    [...print.recipe.plates.values()].some(({ ink }) => print.recipe.inks.get(ink)?.kind === "discharge"),
  );
  return {
    order,
    pictureOf: (print, garment) => pictures.get(JSON.stringify([print, garment]))!,
    colourOf: (garment) => {
      const { print } = [...looked.values()].find(({ print: { recipe } }) => recipe.garments.has(garment))!;
      return cssHex(print.recipe.garments.get(garment)!.colour.lab);
    },
    inksOf: (line) => {
      const inks = new Map<string, string>();
      for (const { recipe } of printsOf(line)) {
        const setup = setupFor(recipe, line.garment);
        if (setup === undefined) continue;
        for (const { ink } of filmedPlates(recipe, recipe.setups.get(setup)!))
          inks.set(ink, cssHex(recipe.inks.get(ink)!.colour.lab));
      }
      return [...inks].map(([name, hex]) => ({ name, hex }));
    },
    cautions: CAUTIONS.filter(
      ({ about }) => FOR_CUSTOMERS.includes(about) && (about !== "Discharge" || discharges),
    ).map(({ text }) => text),
    date,
    producer,
  };
}
