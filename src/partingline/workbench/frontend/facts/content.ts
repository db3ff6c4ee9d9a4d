// A fact as a person reads it: its value, the routes side by side, what it came from and what follows.

import { el } from "../page/dom";
import type { Fact, Input, Statement } from "../page/interface";
import { unit } from "../page/server";
import { standing, verdict } from "./standing";

const MOST = 6;

export function factContent(fact: Fact): HTMLElement[] {
  const head = el("h3", {}, fact.name, " ", standing(fact.standing));
  const value = el("p", { class: "shown" }, fact.shown, fact.preferred_because && el("small", {}, ` ${fact.preferred_because}`));
  const routes = el("ul", { class: "ways" }, ...fact.statements.map(route));
  const parts = [head, value, routes];
  if (fact.used_by.length > 0) {
    const used = fact.used_by.slice(0, MOST).map((one) => el("li", {}, verdict(one.verdict), " ", one.text));
    parts.push(el("h4", {}, "Judged by"), el("ul", {}, ...used, rest(fact.used_by.length)));
  }
  if (fact.leads_to.length > 0) {
    const next = fact.leads_to.slice(0, MOST).map((one) => el("li", {}, one.name, " ", link(one)));
    parts.push(el("h4", {}, "What follows from it"), el("ul", {}, ...next, rest(fact.leads_to.length)));
  }
  return parts;
}

function route(one: Statement): HTMLElement {
  const odd = one.standing === "contradicted" && standing("contradicted");
  const line = el("li", {}, odd, odd && " ", el("b", {}, one.shown), " ", el("small", {}, [one.route, one.note].filter(Boolean).join(", ")));
  if (one.said && one.said !== one.shown) line.append(el("small", {}, ` written “${one.said}”`));
  if (one.formula) line.append(el("small", { class: "line" }, one.formula.summary));
  if (one.inputs.length > 0) {
    const from = one.inputs.slice(0, MOST).flatMap((input) => [" · ", input.name, " ", link(input)]).slice(1);
    line.append(el("small", { class: "line" }, "from ", ...from, one.inputs.length > MOST && ` and ${one.inputs.length - MOST} more`));
  }
  if (one.source) line.append(el("small", { class: "line" }, one.source));
  if (one.evidence.length > 0) {
    const places = one.evidence.slice(0, MOST).flatMap((e) => [" · ", el("a", { href: e.href }, e.text)]).slice(1);
    line.append(el("small", { class: "line" }, "evidence: ", ...places));
  }
  return line;
}

function link(one: Input): HTMLElement {
  const href = `/unit/${encodeURIComponent(unit)}/fact?key=${encodeURIComponent(one.id)}`;
  return el("a", { href }, one.shown);
}

function rest(length: number): HTMLElement | false {
  return length > MOST && el("li", { class: "muted" }, `and ${length - MOST} more`);
}
