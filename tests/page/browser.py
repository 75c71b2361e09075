"""Opens pages in chromium as a phone, a laptop and paper have them, and without scripts. Arguments: CHROMIUM PAGE...,
a page with a summary to hold its numbers against as PAGE=SUMMARY.json.

Speaks to the browser over its debugging pipe, with nothing but Python's own library. Prints what is wrong; exits 1 if anything is.
What is asked of every page: nothing is loaded, no error, not wider than the screen, names for pictures, controls, links and
landmarks, text that stands out from its background. Of films and folded answers: that they work, by the keyboard too.
"""
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

from page_numbers import fault_of

program, *pages = sys.argv[1:]
faults = []
PATIENCE_S = 60  # a loaded machine is slow to start a browser

# Words and where they stand; text on what it stands on: 4.5 to 1, large text 3 to 1 (WCAG 2.2, 1.4.3).
CONTRAST = """(() => {
  const rgb = (s) => (s.match(/[\\d.]+/g) || []).map(Number);
  const light = ([r, g, b]) => [r, g, b].map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4))
    .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const ground = (e) => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length === 3 || c[3] === 1) return c; } return [255, 255, 255]; };
  const low = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let n; (n = walk.nextNode());) {
    const e = n.parentElement;
    if (!n.textContent.trim() || e.closest('svg,script,style') || !e.offsetParent) continue;
    const style = getComputedStyle(e), size = parseFloat(style.fontSize), bold = Number(style.fontWeight) >= 700;
    const a = light(rgb(style.color)), b = light(ground(e)), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < (size >= 24 || (bold && size >= 18.66) ? 3 : 4.5)) low.push(n.textContent.trim().slice(0, 40) + ' ' + ratio.toFixed(1));
  }
  return low;
})()"""
SHOWN = "[...document.querySelectorAll('.frames>li')].flatMap((li, n) => (li.offsetHeight > 0 ? [n] : []))"


def expect(good, words):
    if not good:
        faults.append(words)


class Browser:
    """One chromium and what it tells."""

    def __init__(self):
        self.folder = tempfile.mkdtemp()
        here_in, there_out = os.pipe()
        there_in, here_out = os.pipe()
        arguments = [program, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
                     "--disable-background-networking", "--disable-component-update", "--user-data-dir=" + self.folder,
                     "--remote-debugging-pipe", "about:blank"]

        def place():  # the browser reads from 3 and writes to 4
            a, b = os.dup(there_in), os.dup(there_out)
            os.dup2(a, 3)
            os.dup2(b, 4)

        self.process = subprocess.Popen(arguments, preexec_fn=place, close_fds=False, stdout=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL)
        os.close(there_in)
        os.close(there_out)
        self.reading, self.writing, self.rest, self.number, self.told = here_in, here_out, b"", 0, []
        os.set_blocking(here_in, False)

    def hear(self, until):
        """The next message; None when the time has come."""
        while b"\0" not in self.rest:
            try:
                more = os.read(self.reading, 1 << 20)
                if not more:
                    raise RuntimeError("the browser went away")
                self.rest += more
            except BlockingIOError:
                if time.monotonic() > until:
                    return None
                time.sleep(0.01)
        one, self.rest = self.rest.split(b"\0", 1)
        return json.loads(one)

    def ask(self, method, session=None, **parameters):
        self.number += 1
        message = {"id": self.number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        os.write(self.writing, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + PATIENCE_S
        while (heard := self.hear(until)) is not None:
            if heard.get("id") == self.number:
                if "error" in heard:
                    raise RuntimeError(f"{method}: {heard['error']}")
                return heard["result"]
            self.told.append(heard)
        raise RuntimeError(f"{method}: no answer")

    def close(self):
        try:
            self.ask("Browser.close")
        except (RuntimeError, BrokenPipeError):
            self.process.terminate()
        self.process.wait(timeout=PATIENCE_S)
        shutil.rmtree(self.folder, ignore_errors=True)


class Page:
    def __init__(self, browser, file, width, height, scripts=True):
        self.browser, self.name = browser, f"{pathlib.Path(file).name} at {width}{'' if scripts else ', no scripts'}"
        self.target = browser.ask("Target.createTarget", url="about:blank")["targetId"]
        self.session = browser.ask("Target.attachToTarget", targetId=self.target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "Accessibility"):
            self.ask(domain + ".enable")
        self.ask("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        self.ask("Emulation.setScriptExecutionDisabled", value=not scripts)
        self.ask("Page.navigate", url=pathlib.Path(file).resolve().as_uri())
        self.wait("document.readyState === 'complete' && location.href !== 'about:blank'", "is never loaded")

    def ask(self, method, **parameters):
        return self.browser.ask(method, self.session, **parameters)

    def value(self, expression):
        result = self.ask("Runtime.evaluate", expression=expression, returnByValue=True)
        if "exceptionDetails" in result:
            raise RuntimeError(f"{self.name}: {expression[:60]}: {result['exceptionDetails']}")
        return result["result"].get("value")

    def wait(self, expression, words):
        until = time.monotonic() + PATIENCE_S
        while not self.value(expression):
            if time.monotonic() > until:
                expect(False, f"{self.name}: {words}")
                return
            time.sleep(0.05)

    def key(self, key, code):
        text = {"text": "\r"} if key == "Enter" else {}
        self.ask("Input.dispatchKeyEvent", type="keyDown", key=key, code=key, windowsVirtualKeyCode=code, **text)
        self.ask("Input.dispatchKeyEvent", type="keyUp", key=key, code=key, windowsVirtualKeyCode=code)
        time.sleep(0.05)

    def sees(self, selector):
        return self.value(f"(() => {{ const e = document.querySelector({json.dumps(selector)}); return !!e && e.checkVisibility({{contentVisibilityAuto: true}}) && e.getClientRects().length > 0; }})()")

    def media(self, media):
        self.ask("Emulation.setEmulatedMedia", media=media)

    def close(self):
        for heard in self.browser.told:
            if heard.get("sessionId") != self.session:
                continue
            method, what = heard["method"], heard.get("params", {})
            if method == "Runtime.exceptionThrown":
                expect(False, f"{self.name}: {what['exceptionDetails'].get('text')}")
            if method == "Runtime.consoleAPICalled" and what["type"] in ("error", "warning"):
                expect(False, f"{self.name}: console: {what['args']}")
            if method == "Log.entryAdded" and what["entry"]["level"] in ("error", "warning"):
                expect(False, f"{self.name}: log: {what['entry']['text']}")
            if method == "Page.javascriptDialogOpening":
                expect(False, f"{self.name}: a dialog: {what['message']}")
            if method == "Network.requestWillBeSent" and what["request"]["url"].split(":")[0] not in ("file", "data", "about"):
                expect(False, f"{self.name} asks for {what['request']['url'][:80]}")
        self.browser.ask("Target.closeTarget", targetId=self.target)


def fits(page, when=""):
    wide = page.value("document.documentElement.scrollWidth - innerWidth")
    expect(wide <= 0, f"{page.name}{when}: {wide} pixels wider than the screen")


def accessible(page, when=""):
    nodes = [n for n in page.ask("Accessibility.getFullAXTree")["nodes"] if not n.get("ignored")]
    roles = [n["role"]["value"] for n in nodes if "role" in n]
    for node in nodes:
        role, name = node.get("role", {}).get("value"), node.get("name", {}).get("value", "").strip()
        if role in ("image", "img", "button", "link", "slider", "region", "group", "DisclosureTriangle", "table") and not name:
            if role != "group" or node.get("properties"):
                expect(False, f"{page.name}{when}: a {role} without a name")
        if role in ("image", "img"):
            expect(len(name) > 20, f"{page.name}{when}: few words for a picture: {name}")
    for role in ("main", "navigation", "contentinfo"):
        expect(roles.count(role) == 1, f"{page.name}{when}: {roles.count(role)} of {role}")
    expect(page.value("document.documentElement.lang === 'en' && document.title.length > 5"), f"{page.name}: no language or title")
    for low in page.value(CONTRAST):
        expect(False, f"{page.name}{when}: too pale: {low}")


def film(page):
    if not page.value("!!document.querySelector('.film')"):
        return
    last = page.value("document.querySelectorAll('.frames>li').length - 1")
    expect(page.value(SHOWN) == [0], f"{page.name}: the film does not begin with its first frame")
    page.value("document.querySelector('.reel input').focus()")
    page.key("ArrowRight", 39)
    expect(page.value(SHOWN) == [1], f"{page.name}: the slider does not move the film")
    expect(": edge" in page.value("document.querySelector('.reel input').getAttribute('aria-valuetext')"), f"{page.name}: the slider says no moment")
    page.key("End", 35)
    expect(page.value(SHOWN) == [last], f"{page.name}: no last frame")
    page.value("document.querySelector('.reel button').click()")
    page.wait("document.querySelector('.frames>li:nth-child(3)').offsetHeight > 0", "the film does not play")
    page.value("document.querySelector('.reel button').click()")
    page.media("print")
    expect(len(page.value(SHOWN)) >= 5, f"{page.name}: no strip of frames on paper")
    expect(not page.sees(".reel"), f"{page.name}: buttons on paper")
    page.media("screen")


def lesson(page):
    if not page.value("!!document.querySelector('.ask')"):
        return
    expect(not page.sees(".ask details p"), f"{page.name}: an answer is shown before it is asked for")
    page.value("document.querySelector('.ask summary').focus()")
    page.key("Enter", 13)
    expect(page.sees(".ask details p"), f"{page.name}: an answer does not unfold")
    expect(not page.sees("#answers"), f"{page.name}: all answers stand on the screen")
    page.value("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    accessible(page, ", unfolded")
    fits(page, ", unfolded")
    page.media("print")
    expect(page.sees("#answers li:last-child"), f"{page.name}: no answers on paper")
    expect(page.sees("#plans pre"), f"{page.name}: no plans on paper")
    expect(not page.sees(".ask details p"), f"{page.name}: an answer beside its question on paper")
    page.media("screen")


# Every number as it is seen: its key, how it is shown, its value, its words.
NUMBERS = "[...document.querySelectorAll('data')].filter((d) => d.getClientRects().length > 0).map((d) => [d.dataset.key, d.dataset.as, d.value, d.innerText])"


def numbers(page, summary):
    """What a reader sees is what the summary says."""
    with open(summary, encoding="utf-8") as told:
        root = json.load(told)
    seen = page.value(NUMBERS)
    expect(len(seen) > 10, f"{page.name}: only {len(seen)} numbers are seen")
    for key, how, value, text in seen:
        fault = fault_of(root, key, how, value, text)
        expect(fault is None, f"{page.name}: {fault}")


def look(browser, file):
    file, _, summary = file.partition("=")
    for width, height in ((390, 844), (1366, 768)):
        page = Page(browser, file, width, height)
        fits(page)
        accessible(page)
        film(page)
        lesson(page)
        if summary:
            numbers(page, summary)
        page.close()
    plain = Page(browser, file, 390, 844, scripts=False)
    expect(len(plain.value("document.querySelector('.lead').innerText")) > 20, f"{plain.name}: no answer")
    shown, frames = len(plain.value(SHOWN)), plain.value("document.querySelectorAll('.frames>li').length")
    expect(frames == 0 or 5 <= shown < frames, f"{plain.name}: {shown} of {frames} frames")
    plain.close()


chromium = Browser()
try:
    version = chromium.ask("Browser.getVersion")["product"]
    for one in pages:
        look(chromium, one)
finally:
    chromium.close()
print("\n".join(faults) or f"{len(pages)} pages as expected in {version}")
sys.exit(len(faults) > 0)
