import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterEach, expect, it } from "vitest";
import { Measurer } from "../../server/lsp/measurer.ts";
import { NearerPlates } from "../../server/lsp/nearer-plates.ts";
import { Workspace } from "../../server/lsp/workspace.ts";
import { SOUND } from "../language/documents.ts";
import { scratch } from "../output/folders.ts";
import { until } from "./client.ts";

const { fresh } = scratch();
let nearer: NearerPlates;
let measurer: Measurer;

afterEach(() => {
  nearer.dispose();
  measurer.dispose();
});

/** An open recipe with a measuring process that counts what it is asked. */
function open() {
  const folder = fresh();
  const program = join(folder, "counting.cjs");
  writeFileSync(
    program,
    `let asked = 0;
     process.on("message", (m) => {
       if (m.kind === "nearer") process.send({ id: m.id, result: new Map([["ember", ++asked]]) });
     });`,
  );
  writeFileSync(join(folder, "art.png"), "is only looked for");
  const uri = pathToFileURL(join(folder, "job.sep.yaml")).href;
  const document = { version: 1, languageId: "separation-recipe", getText: () => SOUND };
  measurer = new Measurer(program);
  let came = 0;
  nearer = new NearerPlates(
    new Workspace((asked) => (asked === uri ? document : undefined)),
    measurer,
    () => came++,
  );
  return { uri, came: () => came };
}

it("looks once after the last of several measurements, and keeps what it saw while the text changes", async () => {
  const { uri, came } = open();
  for (let i = 0; i < 3; i++) nearer.measured(uri);
  expect(nearer.of(uri)).toEqual(new Map());
  await until(() => (came() > 0 ? true : undefined));
  expect(nearer.of(uri)).toEqual(new Map([["ember", 1]]));
  nearer.changed(uri);
  expect(nearer.of(uri)).toEqual(new Map([["ember", 1]]));
  nearer.closed(uri);
  expect(nearer.of(uri)).toEqual(new Map());
});

it("gives up where the text changes before", async () => {
  const { uri, came } = open();
  nearer.measured(uri);
  nearer.changed(uri);
  nearer.measured(uri);
  await until(() => (came() > 0 ? true : undefined));
  // The process was asked once.
  expect(nearer.of(uri)).toEqual(new Map([["ember", 1]]));
});
