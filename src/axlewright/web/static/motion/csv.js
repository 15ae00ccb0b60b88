// What is shown, as comma-separated values: one row a moment, one column a plot and setup, units in the heading.

const quoted = (text) => `"${String(text).replaceAll('"', '""')}"`;

/** The text of the file. */
export function csv(answer) {
  const named = ({ name, unit }) => answer.names.map((setup) => `${name}, ${unit}: ${setup}`);
  const heads = ["time since it was done, s", ...answer.panels.flatMap(named)];
  const columns = [answer.time, ...answer.panels.flatMap((panel) => panel.values)];
  const rows = answer.time.map((_, k) => columns.map((column) => column[k] ?? "").join(","));
  return [heads.map(quoted).join(","), ...rows, ""].join("\n");
}

/** Hand the file to the browser. */
export function download(answer) {
  const address = URL.createObjectURL(new Blob([csv(answer)], { type: "text/csv" }));
  const link = Object.assign(document.createElement("a"), { href: address, download: `motion-${answer.kind}.csv` });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}
