"""Checks a page's HTML without a browser. Arguments: PAGE SUMMARY.json. Exits 1 with what is wrong. A report must tell some
numbers of its summary; a lesson is held against the JSON of its runs.

Every number with a data-key must be that of the summary, shown as data-as says; the numbers a report must tell are
there; of a result no other number stands outside the plan's own words, and those of captions and of words for pictures are
the summary's too; tags are balanced, ids unique and found; every picture has words; headings have an order; nothing is loaded.
"""
import html
import json
import pathlib
import re
import sys
from html.parser import HTMLParser

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "page"))
from page_numbers import at, fault_of  # noqa: E402

VOID = {"meta", "link", "img", "br", "input", "hr"}
OF_LINE = ["line.surface_mm", "line.band_mm.0", "line.mid_mm"]
MUST = ["edge.HV", "edge.HRC", "body.HV", "spine.HV", "edge.martensite",
        "steps.0.time_s", "steps.0.edge_C", "seconds.edge_C.0", "soak.Ms_C", "critical_rate_K_s", "energy.imbalance",
        "solver.steps", "line.contrast_HV", "probes.edge.t500_s"]
faults = []


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
        self.keys.add(key)
        run = re.match(r"(?:rows|plate|thickness|water|manganese|soak)\.(\d+)\.", key)
        if run and "tr" in self.open:
            self.runs.add(int(run.group(1)))
        fault = fault_of(self.summary, key, how, value, self.text)
        if fault:
            faults.append(fault)


# Numbers that are part of the words: what a place or a scale is, not what came out.
OF_WORDS = ["500\u00a0°C (932\u00a0°F)", "500 °C", "at 20\u00a0°C", "1, 50 and 99 %", "1 mm up", "1 mm in"]


def history(summary, place, time_s):
    """Temperature of a place, between the moments that are kept; None after the last one."""
    times, temps = (at(summary, f"probes.{place}.{k}") for k in ("time_s", "temp_C"))
    for n in range(1, len(times)):
        if times[n - 1] <= time_s <= times[n]:
            share = (time_s - times[n - 1]) / max(times[n] - times[n - 1], 1e-12)
            return temps[n - 1] + share * (temps[n] - temps[n - 1])
    return None


def check_captions(text, summary):
    """Frames of the film: their temperatures are those of the histories, within what a time of two digits leaves open."""
    told = re.findall(r"<figcaption>([\d.]+)\u00a0s: edge (-?\d+)\u00a0°C \((-?\d+)\u00a0°F\), spine (-?\d+)\u00a0°C", text)
    for time_s, edge, edge_F, spine in told:
        for place, shown in (("edge", edge), ("spine", spine)):
            near = [history(summary, place, max(0.0, float(time_s) + d)) for d in (-0.005, 0.0, 0.005)]
            near = [c for c in near if c is not None]
            if near and not min(near) - 1 <= float(shown) <= max(near) + 1:
                faults.append(f"film at {time_s} s: {place} {shown} °C, its history {near}")
        if abs(1.8 * float(edge) + 32 - float(edge_F)) > 1.4:
            faults.append(f"film at {time_s} s: {edge} °C is not {edge_F} °F")
    return len(told)


def check_alternatives(text, summary):
    """Numbers in the words for pictures."""
    alts = " ".join(re.findall(r"<title id=[^>]*>(.*?)</title>", text))
    said = [(r"(\d+) HV at the edge", "edge.HV"), (r"(\d+) HV at the (?:spine|second edge)", "spine.HV"),
            (r"The (?:edge|face) is below 500 °C after ([\d.]+) s", "probes.edge.t500_s"),
            (r"The (?:body|centre) is below 500 °C after ([\d.]+) s", "probes.body.t500_s"),
            (r"quenched, from (-?\d+) to", "stress.least_MPa"), (r"quenched, from -?\d+ to (-?\d+) MPa", "stress.most_MPa")]
    for pattern, key in said:
        for shown in re.findall(pattern, alts):
            digits = len(shown.partition(".")[2])
            if f"{at(summary, key):.{digits}f}" != shown:
                faults.append(f"words for a picture say {shown} for {key}, the summary {at(summary, key)}")


def check_loose(text, summary):
    """No number stands on the page of a result but marked ones, the plan's own, and those in the summary's sentences."""
    body = text[text.index("<main"):text.index("</main>")]
    for part in ("plan", "cautions", "words", "sources", "sure"):
        body = re.sub(rf'<section id="{part}".*?</section>', "", body, flags=re.S)
    for tag in ("data", "svg", "pre", "h1"):
        body = re.sub(rf"<{tag}\b.*?</{tag}>", "", body, flags=re.S)
    body = re.sub(r"<figcaption>[\d.]+\u00a0s: edge.*?</figcaption>", "", body)
    plain = html.unescape(re.sub("<[^>]*>", " ", body))
    for own in [n["sentence"] for n in summary["notices"]] + [(summary.get("crack") or {}).get("reason") or ""]:
        plain = plain.replace(own, "") if own else plain
    plain = re.sub(r" sure to lie between [\d.]+ and [\d.]+\u00a0mm", "", plain)
    plain = re.sub(r"\(\d+ times\)|\b[a-z]+-\d+\b", "", plain)  # of notices; names of baths
    for words in OF_WORDS + [f"Steel {summary['title']}"]:
        plain = plain.replace(words, "")
    for found in re.findall(r".{0,30}\d.{0,20}", plain):
        faults.append(f"a number that nothing is held against: {found.strip()}")


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
    must = [key for key in MUST if at(page.summary, key) is not None]
    must = [key for key in must if "martensite" not in key or at(page.summary, key) >= 0.01] + (OF_LINE if page.summary["line"]["surface_mm"] is not None else [])
    faults += [f"{key} is not told" for key in must if key not in page.keys]
    if page.seen.count("svg") < 4 or page.seen.count("img") < 6:
        faults.append("pictures are missing")
if "seconds" in page.summary:
    check_alternatives(text, page.summary)
    check_loose(text, page.summary)
    if check_captions(text, page.summary) == 0 and page.summary.get("line") is not None:
        faults.append("no frames of the film")
if re.search(r"\b(nan|inf)\b", re.sub(r'"data:image[^"]*"|<title>.*?</title>|<pre.*?</pre>|<h1.*?</h1>', "", text)):
    faults.append("a number that is none")
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
