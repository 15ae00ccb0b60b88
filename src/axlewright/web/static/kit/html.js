// What every script draws with: preact and htm.
import { h, Fragment, render } from "preact";
import htm from "htm";

export { Fragment, render };
export { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
export const html = htm.bind(h);
