// One file to the server, with its progress in a row of a list.

import { el } from "../page/dom";
import { token } from "../page/server";

/** Done when the file is there, or its refusal is in the row; whether it is there. */
export function upload(file: File, address: string, row: HTMLElement): Promise<boolean> {
  const bar = el("progress", { max: 1, value: 0, "aria-label": `sending ${file.name}` });
  row.append(" ", bar);
  return new Promise((done) => {
    const request = new XMLHttpRequest(); // fetch tells no progress of what it sends
    const over = (text: string, css: string): void => {
      bar.remove();
      row.append(el("span", { class: css }, ` ${text}`));
      done(css !== "short");
    };
    request.open("PUT", address);
    request.setRequestHeader("X-Partingline", token());
    request.setRequestHeader("Content-Type", "application/octet-stream");
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) bar.value = event.loaded / event.total;
    });
    request.addEventListener("load", () => (request.status === 201 ? over("there", "muted") : over(refusal(request), "short")));
    request.addEventListener("error", () => over("the server cannot be reached; drop it again", "short"));
    request.send(file);
  });
}

function refusal(request: XMLHttpRequest): string {
  try {
    const { error } = JSON.parse(request.responseText) as { error?: { found?: string; expected?: string; next_step?: string } };
    if (error) return [error.found, error.expected && `expected ${error.expected}`, error.next_step].filter(Boolean).join("; ");
  } catch {
    // no JSON: the status says it
  }
  return request.status === 409 ? "a file of that name is there already; originals are never changed" : `refused (${request.status})`;
}
