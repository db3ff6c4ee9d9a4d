// The JSON of docs/workbench.md, as types.

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
export type Path = (string | number)[];

export interface Edited { file: string; path: Path; value: Json; version: string; entry: number | null; state: number }

export interface ConflictRecord {
  file: string; path: Path; yours: Json; theirs: Json; version: string; who: string; when: string;
}

export interface Place {
  kind: "whole" | "line" | "cell" | "rows" | "samples" | "region";
  x?: number; y?: number; w?: number; h?: number;
}
export interface Evidence { text: string; path: string; href: string; place: Place }
export interface Input { id: string; name: string; shown: string }
export interface Statement {
  route: string; sense: string; standing: string; shown: string; said: string; note: string;
  formula: { id: string; summary: string } | null; source: string | null; inputs: Input[]; evidence: Evidence[];
}
export interface Fact {
  id: string; name: string; shown: string; standing: string; preferred_because: string;
  statements: Statement[];
  used_by: { finding: number; text: string; verdict: string }[];
  leads_to: Input[];
}

export interface Body { type: "TextualBody"; purpose: string; value: string; [key: string]: Json }
export interface Annotation {
  id: string; type: string; body: Body[];
  target: { source: string; selector: { type: string; value: string; [key: string]: Json }; [key: string]: Json };
  [key: string]: Json;
}
export interface Marks { marks: { annotation: Annotation; version: string }[]; state: number }

export interface TilesInfo { width: number; height: number; tile: number; overlap: number; levels: number; url: string }

export interface Log {
  kind: string; t_s: number[];
  series: { quantity: string; name: string; unit: string; values: (number | null)[] }[];
}
export interface Capture {
  rate_hz: number; duration_s: number; channels: { name: string; unit: string }[];
  messages: { t_s: number; end_s: number; from: string; name: string; valid: boolean }[];
  contracts: { from_s: number; to_s: number; text: string }[];
}
export interface Levels { channel: string; unit: string; t_s: number[]; low: number[]; high: number[]; mean: number[] }

export interface Job {
  id: string; kind: string; state: "waiting" | "running" | "done" | "failed" | "cancelled";
  done: number; doing: string; result: Json; error: Json;
}

export interface Hello { state: number; people: number | string[]; jobs: Job[] }
export interface Change {
  state: number; entry: number | null; who: string; file: string; path: Path | null;
  value?: Json; version?: string; outside: boolean;
}
export interface Findings { state: number; changed: string[] }
