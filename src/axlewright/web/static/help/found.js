// Which entries of help a search finds: every word that was typed begins a word of theirs.

/** Words of a text, in lower case, without signs in front of or behind them. */
export function wordsOf(text) {
  return text.toLowerCase().split(/[\s,;:()"'/]+/).filter(Boolean);
}

/** Sections with what makes each entry findable, made once. */
export function indexed(sections) {
  return sections.map((section) => ({
    ...section,
    entries: section.entries.map((entry) => ({
      ...entry, section: section.anchor,
      called: wordsOf(entry.name),
      words: wordsOf([entry.name, entry.about, entry.also, ...entry.facts.map(([, text]) => text)].join(" ")),
      otherwise: wordsOf(entry.also),
    })),
  }));
}

/** Entries that a search finds: by their name first, then by what people call them, then by the rest. */
export function found(sections, asked) {
  const typed = wordsOf(asked);
  if (!typed.length) return [];
  const begins = (words) => typed.every((one) => words.some((word) => word.startsWith(one)));
  const rank = (entry) => (begins(entry.called) ? 0 : begins(entry.otherwise) ? 1 : 2);
  return sections.flatMap((section) => section.entries.filter((entry) => begins(entry.words)))
    .map((entry) => [rank(entry), entry]).sort((a, b) => a[0] - b[0]).map(([, entry]) => entry);
}
