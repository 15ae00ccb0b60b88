// Things kept in the browser; a browser that keeps nothing loses them at the end of the visit.
const fallback = new Map();

/** What was kept under a name, or `otherwise`. */
export function kept(name, otherwise = null) {
  try {
    const text = localStorage.getItem(name);
    return text === null ? (fallback.has(name) ? fallback.get(name) : otherwise) : JSON.parse(text);
  } catch {
    return fallback.has(name) ? fallback.get(name) : otherwise;
  }
}

/** Keep a value under a name. */
export function keep(name, value) {
  fallback.set(name, value);
  try {
    localStorage.setItem(name, JSON.stringify(value));
  } catch {
    // full, or not allowed: kept for this visit
  }
}

/** A random name; `crypto.randomUUID` is not there on a plain http address of the local network. */
export function randomName() {
  return [...crypto.getRandomValues(new Uint8Array(9))].map((n) => n.toString(36).padStart(2, "0")).join("");
}
