// One way to ask the server: JSON, the page's token, refusals and conflicts as errors.

import type { ConflictRecord, Json } from "./interface";
import { find } from "./dom";

/** The server said no, and why. */
export class Refusal extends Error {
  constructor(readonly status: number, readonly answer: Json) {
    super(explain(status, answer));
  }
}

/** Someone else has changed the field since. */
export class Conflicted extends Error {
  constructor(readonly conflict: ConflictRecord) {
    super("changed by someone else since");
  }
}

export const unit = document.body.dataset["unit"] ?? "";

/** The address of something of this unit. */
export function ofUnit(...parts: string[]): string {
  return ["/api/unit", encodeURIComponent(unit), ...parts].join("/");
}

/** The answer's JSON; Refusal, Conflicted, or TypeError where the server cannot be reached. */
export async function ask<T>(method: string, address: string, body?: Json, signal?: AbortSignal): Promise<T> {
  const headers: Record<string, string> = { Accept: "application/json" };
  if (method !== "GET") headers["X-Partingline"] = token();
  if (body !== undefined) headers["Content-Type"] = "application/json";
  const init: RequestInit = { method, headers, credentials: "same-origin" };
  if (body !== undefined) init.body = JSON.stringify(body);
  if (signal) init.signal = signal;
  const response = await fetch(address, init);
  const answer = response.status === 204 ? null : ((await response.json().catch(() => null)) as Json);
  if (!response.ok) throw refusal(response.status, answer);
  return answer as T;
}

export function token(): string {
  return find<HTMLMetaElement>('meta[name="partingline-token"]')?.content ?? "";
}

/** What a person is told of an error. */
export function reason(error: unknown): string {
  if (error instanceof TypeError) return "The server cannot be reached. What you wrote is kept here; try again.";
  return error instanceof Error ? error.message : String(error);
}

function refusal(status: number, answer: Json): Error {
  const conflict = entry(answer, "conflict");
  return conflict ? new Conflicted(conflict as unknown as ConflictRecord) : new Refusal(status, answer);
}

function explain(status: number, answer: Json): string {
  const error = entry(answer, "error");
  if (typeof error !== "object" || error === null || Array.isArray(error)) return `The server answered ${status}.`;
  const said = (name: string): string => (typeof error[name] === "string" ? error[name] : "");
  const expected = said("expected") ? `; expected ${said("expected")}` : "";
  return `${said("place")}: ${said("found")}${expected}. ${said("next_step")}`.trim();
}

function entry(answer: Json, name: string): Json {
  return typeof answer === "object" && answer !== null && !Array.isArray(answer) ? (answer[name] ?? null) : null;
}
