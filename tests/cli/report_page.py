"""Checks a page's HTML without a browser. Arguments: PAGE SUMMARY.json. Exits 1 with what is wrong. A report must tell some
numbers of its summary; a lesson is held against the JSON of its runs.

Every number with a data-key must be that of the summary, shown as data-as says; the numbers a report must tell are
there; tags are balanced, ids unique and found; every picture has words; headings have an order; nothing is loaded.
"""
import json
import re
import sys
from fractions import Fraction
from html.parser import HTMLParser

VOID = {"meta", "link", "img", "br", "input", "hr"}
OF_LINE = ["line.surface_mm", "line.band_mm.0", "line.mid_mm"]
MUST = ["edge.HV", "edge.HRC", "body.HV", "spine.HV", "edge.martensite",
        "steps.0.time_s", "steps.0.edge_C", "seconds.edge_C.0", "soak.Ms_C", "critical_rate_K_s", "energy.imbalance",
        "solver.steps", "line.contrast_HV", "probes.edge.t500_s"]
faults = []


def sixty_fourths(mm):
    n = int(abs(mm) / 25.4 * 64 + 0.5)
    whole, rest = divmod(n, 64)
    part = "" if rest == 0 else str(Fraction(rest, 64))
    return part if whole == 0 and part else f"{whole} {part}".strip()


SHOWN = {
    "mm": lambda v: f"{v:.1f}", "+mm": lambda v: "0.0" if abs(v) < 0.05 else f"{v:+.1f}", "mm-size": lambda v: f"{abs(v):.1f}", "in64": sixty_fourths, "C": lambda v: f"{v:.0f}", "F": lambda v: f"{1.8 * v + 32:.0f}",
    "0": lambda v: f"{v:.0f}", "1": lambda v: f"{v:.1f}", "2": lambda v: f"{0.0 if abs(v) < 0.005 else v:.2f}", "%": lambda v: f"{100 * v:.0f}",
    "%2": lambda v: f"{100 * v:.2g}", "%1": lambda v: f"{100 * v:.1f}", "share": lambda v: f"{100 * max(0.0, v):.0f}",
}


def at(summary, key):
    for word in key.split("."):
        summary = summary[int(word)] if isinstance(summary, list) else summary[word]
    return summary


class Page(HTMLParser):
    def __init__(self, summary):
        super().__init__()
        self.summary, self.open, self.ids, self.wanted, self.keys = summary, [], [], [], set()
        self.data = None
        self.text = ""
        self.heads, self.seen, self.runs, self.next_run = [], [], set(), 0

    def handle_starttag(self, tag, attrs):
        a = dict(attrs)
        if len(a) != len(attrs):
            faults.append(f"<{tag}> has an attribute twice")
        self.seen.append(tag)
        if tag == "tbody":
            self.next_run = 0
        if tag == "tr":
            self.runs = set()
        if tag not in VOID:
            self.open.append(tag)
        if "id" in a:
            self.ids.append(a["id"])
        for name in ("aria-labelledby", "aria-describedby", "for"):
            self.wanted += a.get(name, "").split()
        for name in ("href", "xlink:href", "src"):
            value = a.get(name)
            if value is not None and value.startswith("#"):
                self.wanted.append(value[1:])
            elif value is not None and not value.startswith("data:"):
                faults.append(f"<{tag} {name}={value[:60]}> is loaded from elsewhere")
        for name, value in attrs:
            if name.startswith("on"):
                faults.append(f"<{tag} {name}>: script in an attribute")
            for used in re.findall(r"url\(([^)]*)\)", value or ""):
                self.wanted.append(used.strip("\"'#"))
        if tag == "img" and len(a.get("alt", "")) < 20:
            faults.append("an <img> without words")
        if tag == "svg" and (a.get("role") != "img" or "aria-labelledby" not in a):
            faults.append("an <svg> without role or words")
        if re.fullmatch("h[1-6]", tag):
            self.heads.append(int(tag[1]))
        if tag == "data":
            self.data, self.text = a, ""

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            faults.append(f"</{tag}> closes something else at {self.getpos()}")
        if tag == "tr" and self.runs:  # of runs in a table each has its row
            if self.runs != {self.next_run}:
                faults.append(f"row {self.next_run} of a table tells runs {sorted(self.runs)}")
            self.next_run += 1
        if tag == "data":
            self.number()
            self.data = None

    def handle_data(self, text):
        self.text += text

    def number(self):
        key, how, value = (self.data[n] for n in ("data-key", "data-as", "value"))
        try:
            real = at(self.summary, key)
        except (KeyError, IndexError, TypeError):
            real = None
        self.keys.add(key)
        run = re.match(r"(?:rows|plate|thickness|manganese|soak)\.(\d+)\.", key)
        if run and "tr" in self.open:
            self.runs.add(int(run.group(1)))
        if real is None:
            good = value == "null" and self.text == "–"
        else:
            good = float(value) == float(f"{real:.12g}") and self.text == SHOWN[how](float(value))
        if not good:
            faults.append(f"{key}: the page says {self.text} ({value}), the summary {real}")


with open(sys.argv[2], encoding="utf-8") as file:
    page = Page(json.load(file))
with open(sys.argv[1], encoding="utf-8") as file:
    text = file.read()
page.feed(text)
page.close()
if page.open:
    faults.append(f"not closed: {page.open}")
if not text.startswith("<!DOCTYPE html>\n<html lang=\"en\">"):
    faults.append("no doctype or language")
for one in sorted({i for i in page.ids if page.ids.count(i) > 1}):
    faults.append(f"id {one} stands twice")
faults += [f"nothing has the id {one}" for one in sorted(set(page.wanted) - set(page.ids))]
if page.heads[:1] != [1] or page.heads.count(1) != 1 or any(b > a + 1 for a, b in zip(page.heads, page.heads[1:])):
    faults.append(f"headings out of order: {page.heads}")
for landmark in ("main", "nav", "footer"):
    if page.seen.count(landmark) != 1:
        faults.append(f"not one <{landmark}>")
if page.summary.get("line") is not None and "seconds" in page.summary:
    must = MUST + (OF_LINE if page.summary["line"]["surface_mm"] is not None else [])
    faults += [f"{key} is not told" for key in must if key not in page.keys]
    if page.seen.count("svg") < 4 or page.seen.count("img") < 6:
        faults.append("pictures are missing")
for caution in page.summary.get("cautions", []):
    if caution.replace("&", "&amp;").replace("'", "&#39;") not in text:
        faults.append(f"a caution is missing: {caution[:40]}")
if len(text.encode()) > 3_000_000:
    faults.append("larger than 3 MB")
if re.search(r"https?://(?!www\.w3\.org/)", text) or "@import" in text:
    faults.append("an address in the page")
if re.search("[\x00-\x08\x0b-\x1f\x7f]", text):
    faults.append("a control character")
print("\n".join(faults) or f"{len(page.keys)} numbers as in the summary")
sys.exit(len(faults) > 0)
