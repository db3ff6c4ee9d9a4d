// The subject that is looked at: the table and the photo board follow each other.

let now = "";
const listeners: ((subject: string) => void)[] = [];

export function choose(subject: string): void {
  if (subject === now) return;
  now = subject;
  for (const listener of listeners) listener(subject);
}

/** Calls with the subject that is chosen, from now on, and once now. */
export function chosen(listener: (subject: string) => void): void {
  listeners.push(listener);
  if (now) listener(now);
}

export function current(): string {
  return now;
}
