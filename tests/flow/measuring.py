"""What is measured on a page: accessibility rules, targets, text, contrast, width.

Each function answers what falls short, in words, so that a test asserts that nothing does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.flow.browser import DESK, PHONE

LEAST_TARGET_PX = 56
LEAST_TEXT_PX = 18
LEAST_CONTRAST = 7.0
_RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
_COLOUR_RULES = ("color-contrast", "link-in-text-block")
_AXE = Axe()

ZOOMED = (320, 256)
"""What 400 % leaves of 1280 × 1024 (WCAG 2.2, 1.4.10)."""
SPACED = """() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(`* { line-height: 1.5 !important; letter-spacing: 0.12em !important;
    word-spacing: 0.16em !important } p { margin-bottom: 2em !important }`);
  document.adoptedStyleSheets = [sheet];
}"""
"""The text spacing of WCAG 2.2, 1.4.12."""
TWICE_THE_TEXT = "() => { document.documentElement.style.fontSize = '200%'; }"

_SHARED = """
const shown = (e) => {
  const r = e.getBoundingClientRect(), s = getComputedStyle(e);
  return r.width > 0 && r.height > 0 && s.visibility === 'visible' && r.right > 0;
};
const named = (e) => {
  const text = (e.innerText || e.value || e.getAttribute('aria-label') || '').trim();
  return `${e.tagName.toLowerCase()}${e.id ? '#' + e.id : ''} “${text.slice(0, 40)}”`;
};
const typed = 'input:not([type=radio], [type=checkbox]), textarea, select';
const texts = () => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = new Set();
  for (let node; (node = walker.nextNode());) {
    const parent = node.parentElement;
    const drawn = parent.closest('svg, script, style, noscript') !== null;
    if (node.data.trim() && !drawn && shown(parent)) found.add(parent);
  }
  for (const e of document.querySelectorAll(typed)) if (shown(e)) found.add(e);
  return [...found];
};
"""

_TARGETS = """
(least) => {
  const inText = (e) => {
    if (getComputedStyle(e).display !== 'inline') return false;
    const around = e.parentElement.textContent.trim(), own = e.textContent.trim();
    return around.length > own.length;
  };
  const box = (e) => (e.closest('label.target') || e).getBoundingClientRect();
  const targets = 'a[href], button, input:not([type=hidden]), select, textarea, summary, '
    + '[role=button], [tabindex="0"]';
  return [...document.querySelectorAll(targets)]
    .filter((e) => shown(e) && !inText(e)).map((e) => [e, box(e)])
    .filter(([, r]) => r.width < least - 0.5 || r.height < least - 0.5)
    .map(([e, r]) => `${named(e)}: ${r.width.toFixed(0)} × ${r.height.toFixed(0)} px`);
}
"""

_TEXT = """
(least) => texts().map((e) => [e, parseFloat(getComputedStyle(e).fontSize)])
  .filter(([, size]) => size < least - 0.01)
  .map(([e, size]) => `${named(e)}: ${size} px`)
"""

_CONTRAST = """
(least) => {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = 1;
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  const over = (top, below) => top.slice(0, 3).map((c, i) => c * top[3] + below[i] * (1 - top[3]));
  const read = (text) => {
    pen.clearRect(0, 0, 1, 1); pen.fillStyle = text; pen.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = pen.getImageData(0, 0, 1, 1).data;
    return [r, g, b, a / 255];
  };
  const ground = (e) => {
    const layers = [];
    for (let at = e; at; at = at.parentElement)
      layers.push(read(getComputedStyle(at).backgroundColor));
    return layers.reverse().reduce((below, layer) => over(layer, below), [255, 255, 255]);
  };
  const light = (c) => {
    const [r, g, b] = c.map((v) => v / 255)
      .map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => {
    const [hi, lo] = [light(a), light(b)].sort((x, y) => y - x);
    return (hi + 0.05) / (lo + 0.05);
  };
  const faults = [];
  for (const e of texts()) {
    const below = ground(e);
    const kinds = [['text', getComputedStyle(e)]];
    if (e.placeholder) kinds.push(['placeholder', getComputedStyle(e, '::placeholder')]);
    for (const [what, style] of kinds) {
      const top = read(style.color);
      top[3] *= parseFloat(style.opacity);
      const found = ratio(over(top, below), below);
      if (found < least) faults.push(`${named(e)}: ${what} ${found.toFixed(2)}`);
    }
  }
  return faults;
}
"""

_CUT = """
(least) => texts().filter((e) => !['INPUT', 'TEXTAREA', 'SELECT'].includes(e.tagName))
  .filter((e) => ['hidden', 'clip'].includes(getComputedStyle(e).overflowX)
    && (e.scrollWidth > e.clientWidth + least || e.scrollHeight > e.clientHeight + least))
  .map(named)
"""
_MOVING = """
() => document.getAnimations().filter((one) => one.playState === 'running')
  .map((one) => `${one.constructor.name} ${one.animationName ?? one.transitionProperty ?? ''}`)
"""
_BAR = "(how) => document.querySelector('.bar')?.style.setProperty('position', how)"


def broken_rules(page: Page, run_only: Sequence[str] = _RULES) -> list[str]:
    """Violations of WCAG 2.2 AA and of good practice that axe-core finds, each with its element.

    The thumb bar is set below the page meanwhile: whatever lies behind it is scrolled out by a
    finger, and would be measured as too small.
    """
    if not page.evaluate("'axe' in window"):
        page.evaluate(_AXE.axe_script)
    page.evaluate(_BAR, "static")
    options = {"runOnly": list(run_only), "resultTypes": ["violations"]}
    violations = page.evaluate(
        "options => axe.run(options).then((found) => found.violations)", options
    )
    page.evaluate(_BAR, "")
    return [
        f"{rule['id']}: {node['target']} {node.get('failureSummary', '')}"
        for rule in violations
        for node in rule["nodes"]
    ]


def broken_colours(page: Page) -> list[str]:
    """Those of the violations that another colour can cause."""
    return broken_rules(page, _COLOUR_RULES)


def small_targets(page: Page, least_px: float = LEAST_TARGET_PX) -> list[str]:
    """Targets that a thumb may miss; a link in running text is none."""
    return _measured(page, _TARGETS, least_px)


def small_text(page: Page, least_px: float = LEAST_TEXT_PX) -> list[str]:
    """Text that is too small to read at arm's length; lettering of drawings is not looked at."""
    return _measured(page, _TEXT, least_px)


def faint_text(page: Page, least: float = LEAST_CONTRAST) -> list[str]:
    """Text, typed values and placeholders whose contrast (WCAG 2.2, 1.4.3) is too low."""
    return _measured(page, _CONTRAST, least)


def cut_text(page: Page) -> list[str]:
    """Text of which a part lies outside its box and cannot be scrolled to."""
    return _measured(page, _CUT, 1)


def overflow_px(page: Page) -> int:
    """How much wider than its window a page is."""
    width = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
    return int(page.evaluate(width))


def lost(page: Page) -> list[str]:
    """What cannot be read any more: the page is too wide, or text is cut off."""
    wide = overflow_px(page)
    return [*([f"{wide} px too wide"] if wide > 0 else []), *cut_text(page)]


def moving(page: Page) -> list[str]:
    """Animations that run."""
    found: list[str] = page.evaluate(_MOVING)
    return found


def unfold(page: Page) -> None:
    """Opens everything that is folded away."""
    page.evaluate("document.querySelectorAll('details').forEach((fold) => { fold.open = true; })")


def shortcomings(page: Page) -> list[str]:
    """Everything that falls short on a page."""
    wide = overflow_px(page)
    return [
        *broken_rules(page),
        *small_targets(page),
        *small_text(page),
        *faint_text(page),
        *([f"{wide} px too wide"] if wide > 0 else []),
    ]


def shortcomings_in_all_lights(page: Page) -> list[str]:
    """Everything that falls short on a page of a phone in the sun, at a desk, and in the dark.

    The page is as wide as a desk afterwards, and light.
    """
    found = shortcomings(page)
    set_size(page, DESK)
    found += (f"desk: {fault}" for fault in (*lost(page), *small_targets(page)))
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    found += (f"dark: {fault}" for fault in (*faint_text(page), *broken_colours(page)))
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    return found


def lost_by_change(page: Page) -> Iterator[str]:
    """What is lost at 400 %, with the text spaced, and with it twice as large."""
    set_size(page, ZOOMED)
    yield from (f"400 %: {fault}" for fault in lost(page))
    set_size(page, PHONE)
    page.evaluate(SPACED)
    yield from (f"spaced: {fault}" for fault in lost(page))
    page.evaluate(TWICE_THE_TEXT)
    yield from (f"spaced at 200 %: {fault}" for fault in lost(page))


def set_size(page: Page, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})


def _measured(page: Page, script: str, least: float) -> list[str]:
    found: list[str] = page.evaluate(f"(least) => {{ {_SHARED} return ({script})(least); }}", least)
    return found
