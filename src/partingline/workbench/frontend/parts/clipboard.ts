// Text of a spreadsheet into rows: tabs, or semicolons or commas where there are none; quotes as RFC 4180 has them.

/** The cells of each row; rows without any text are left out. */
export function readTable(text: string): string[][] {
  const separator = separatorOf(text);
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  let quoted = false;
  const endCell = (): void => {
    row.push(cell.trim());
    cell = "";
  };
  const endRow = (): void => {
    endCell();
    if (row.some((one) => one !== "")) rows.push(row);
    row = [];
  };
  const source = text.replace(/^\uFEFF/, "").replace(/\r\n?/g, "\n");
  for (let i = 0; i < source.length; i++) {
    const sign = source.charAt(i);
    if (quoted) {
      if (sign !== '"') cell += sign;
      else if (source[i + 1] === '"') cell += source.charAt(i++);
      else quoted = false;
    } else if (sign === '"' && cell === "") quoted = true;
    else if (sign === separator) endCell();
    else if (sign === "\n") endRow();
    else cell += sign;
  }
  endRow();
  return rows;
}

/** Rows by column name where the first row is a head that names `ref`; null otherwise. */
export function byHead(rows: string[][], columns: string[]): Record<string, string>[] | null {
  const head = rows[0]?.map((name) => name.toLowerCase().replace(/[ -]+/g, "_")) ?? [];
  if (!head.includes("ref")) return null;
  return rows.slice(1).map((row) => {
    const known: Record<string, string> = {};
    head.forEach((name, index) => {
      if (columns.includes(name) && row[index]) known[name] = row[index];
    });
    return known;
  });
}

function separatorOf(text: string): string {
  if (text.includes("\t")) return "\t";
  const first = text.split("\n", 1)[0] ?? "";
  return first.split(";").length >= first.split(",").length && first.includes(";") ? ";" : ",";
}
