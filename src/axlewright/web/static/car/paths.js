// Key paths of the form: which group holds which, and beside which entry a message belongs.

/** Whether `path` is `above` or lies in it. */
export function within(path, above) {
  return path === above || above === "" || path.startsWith(`${above}.`) || path.startsWith(`${above}[`);
}

/** Every group and field of a form, with the path it is known by. */
export function* everything(group) {
  for (const entry of group.entries) {
    yield entry;
    if (entry.entries) yield* everything(entry);
  }
}

/** Messages by the path beside which they are shown: their own, or the nearest table above that the form has. */
export function placed(messages, form) {
  const known = new Set([...everything(form)].map((one) => one.path));
  const found = new Map();
  for (const message of messages) {
    let path = message.path;
    while (path && !known.has(path)) path = path.replace(/(\[\d+\]|\.?(?:"[^"]*"|[^.[\]"]+))$/, "");
    found.set(path, [...(found.get(path) || []), message]);
  }
  return found;
}

/** Paths of the groups that have to be unfolded to see a path. */
export function groupsAbove(path, form) {
  return [...everything(form)].filter((one) => one.entries && one.sort !== "point" && within(path, one.path)).map((one) => one.path);
}
