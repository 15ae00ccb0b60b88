// Light, dark or sun (high contrast for daylight), before anything is painted. "auto" follows the machine.
(() => {
  let chosen = "auto";
  try {
    chosen = localStorage.getItem("theme") || "auto";
  } catch {
    // a browser that keeps nothing follows the machine
  }
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const sun = matchMedia("(prefers-contrast: more)");
  const show = () => {
    const auto = sun.matches ? "sun" : dark.matches ? "dark" : "light";
    document.documentElement.dataset.theme = chosen === "auto" ? auto : chosen;
    document.dispatchEvent(new Event("theme"));
  };
  dark.addEventListener("change", show);
  window.benchTheme = {
    get: () => chosen,
    set: (theme) => {
      chosen = theme;
      try {
        localStorage.setItem("theme", theme);
      } catch {
        // kept for this visit only
      }
      show();
    },
  };
  show();
})();
