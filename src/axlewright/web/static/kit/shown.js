// What the page shows, for tests: `window.benchShown()` gives what each part of the page has told.
const told = {};

/** Tell what a part of the page shows; `settled` false while an answer is still to come. */
export function show(found, part = "page") {
  told[part] = { settled: true, ...found };
}

window.benchShown = () => ({
  ...Object.assign({}, ...Object.values(told)),
  settled: "page" in told && Object.values(told).every((one) => one.settled),
});
