// What the page holds, taken over: only what is there is loaded.

import { operatingPoint } from "./converter/point";
import { fields } from "./edit/field";
import { keepForms } from "./edit/keep";
import { markings } from "./edit/marking";
import { scripts } from "./edit/script";
import { undoKeys } from "./edit/undo";
import { aboutChosen } from "./facts/about";
import { factPopovers } from "./facts/popover";
import { drops } from "./jobs/drop";
import { jobs } from "./jobs/jobs";
import { newUnit } from "./jobs/newunit";
import { readings } from "./jobs/readings";
import { followBench } from "./page/bench";
import { all, find } from "./page/dom";
import { listen } from "./page/events";
import { filters } from "./page/filter";
import { follow } from "./page/live";
import { say } from "./page/say";
import { reason, unit } from "./page/server";
import { nameButton } from "./page/who";
import { partsTable } from "./parts/table";

factPopovers();
markings();
drops();
newUnit();
followBench();
keepForms();
filters();
if (unit) {
  fields();
  scripts();
  operatingPoint();
  aboutChosen();
  readings();
  partsTable();
  jobs();
  undoKeys();
  nameButton();
  follow();
  listen();
  void heavy().catch((error: unknown) => say(reason(error), "problem"));
}
document.documentElement.dataset["ready"] = "";

/** Deep zoom and charts come only to pages that show them. */
async function heavy(): Promise<void> {
  const [logs, captures] = [all("figure[data-log]"), all("figure[data-capture]")];
  const work: Promise<void>[] = [];
  if (find("[data-photo][data-info]")) work.push(import("./board/board").then((board) => board.photoBoard()));
  if (logs.length > 0) work.push(import("./charts/log").then(({ logChart }) => Promise.all(logs.map(logChart)).then(() => undefined)));
  if (captures.length > 0) work.push(import("./charts/capture").then(({ captureChart }) => Promise.all(captures.map(captureChart)).then(() => undefined)));
  await Promise.all(work);
}
