import { expect, it } from "vitest";
import { disk } from "../../server/jobs/disk.ts";
import { openOrder } from "../../server/jobs/order/open-order.ts";
import { put, putJob } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const ORDER = `order: 1
prints:
  front: { recipe: job.sep.yaml, place: front }
  small: { recipe: job.sep.yaml, width: 0.5 in, place: left-sleeve }
lines:
  - { garment: black, sizes: { M: 24 }, prints: [front, small] }
  - { garment: brick, sizes: { M: 4 }, prints: [front] }
`;

async function opened(order = ORDER) {
  const folder = await putJob(fresh());
  return openOrder(put(folder, "two.order.yaml", order), disk);
}

it("has the job of each print at its own width", async () => {
  const order = await opened();
  if ("errors" in order) throw new Error("the order has errors");
  const widths = [...order.jobs].map(([name, { recipe }]) => [name, recipe.artwork.widthMm]);
  expect(widths).toEqual([
    ["front", expect.closeTo(25.4, 9)],
    ["small", expect.closeTo(12.7, 9)],
  ]);
  // What a film's label bears tells the two apart.
  const [front, small] = [...order.jobs.values()].map(({ project }) => project.main.text);
  expect(small).not.toBe(front);
});

it.each([
  ["a place twice", "place: left-sleeve", "place: front", "front and small both print on the front"],
  ["a garment that no recipe has", "garment: brick", "garment: blue", 'There is no garment "blue"'],
  [
    "a garment that no setup prints on",
    "garment: brick",
    "garment: spare",
    "No setup of job.sep.yaml prints",
  ],
  ["a recipe that is not there", "small: { recipe: job", "small: { recipe: jab", "The recipe cannot be read"],
  ["a width that is none", "0.5 in", "0.5", "0.5"],
  ["a width of nothing", "0.5 in", "0 in", "0 in"],
])("refuses %s, in a line", async (_, from, to, message) => {
  const order = await opened(ORDER.replace(from, to));
  const found = "errors" in order ? order.errors.flatMap(({ findings }) => findings) : [];
  expect(found.map((finding) => finding.message)).toEqual([expect.stringContaining(message)]);
});
