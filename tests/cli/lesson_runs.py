"""What a lesson's page says must come out again when what it tells to type is typed. Arguments: PROGRAM PAGE PROFILES OUT.json.

Runs every command of the page, writes their answers to OUT.json as the page's keys name them, checks that the plans on the page
are the shipped ones and that what the text says in words is so. Exits 1 with what is wrong.
"""
import difflib
import html
import json
import re
import shlex
import subprocess
import sys
import urllib.parse

program, page, profiles, out = sys.argv[1:]
text = open(page, encoding="utf-8").read()
faults = []


def answer(arguments):
    run = subprocess.run([program] + arguments, capture_output=True, text=True, check=False)
    if run.returncode != 0:
        faults.append(f"{arguments}: exit {run.returncode}: {run.stderr}")
        return None
    return json.loads(run.stdout)


def fall(history):
    """Seconds from 750 to 500 °C."""
    def passes(level):
        pairs = list(zip(history["time_s"], history["temp_C"]))
        for (t0, T0), (t1, T1) in zip(pairs, pairs[1:]):
            if T0 > level >= T1:
                return t0 + (t1 - t0) * (T0 - level) / (T0 - T1)
        return float("nan")
    return passes(500.0) - passes(750.0)


def quench(plan):
    one = answer(["quench", plan, "--json"])
    one["fall_s"] = fall(one["probes"]["body"])
    return one


def edited(plan, values):
    """The shipped plan with what --vary puts in, as a smith would write it."""
    yaml = open(f"{profiles}/plans/{plan}.yaml", encoding="utf-8").read()
    if "clay.coat.0.thickness" in values:
        yaml = yaml.replace("thickness: 0.05 mm", "thickness: " + values["clay.coat.0.thickness"])
    if "steps.1.at" in values:
        yaml = yaml.replace("at: 55 °C", "at: " + values["steps.1.at"])
    if "steel.batch.Mn" in values:
        yaml = yaml.replace("Mn: 0.43 %", "Mn: " + values["steel.batch.Mn"])
    if "heat.temperature" in values:
        heat = f"temperature: {values['heat.temperature']}, structure: {values['heat.structure']}"
        yaml = yaml.replace("temperature: 800 °C", heat)
    open("edited.yaml", "w", encoding="utf-8").write(yaml)
    return "edited.yaml"


runs, washed = {}, None
names = {"lesson-knife": "knife", "lesson-bare-edge": "bare", "lesson-long": "curve"}
for command in re.findall(r'<p>Run it again:</p>\s*<pre tabindex="0">(.*?)</pre>', text, re.S):
    words = shlex.split(html.unescape(command))[1:]
    if words[1:2] == ["lesson-plate"] and words[0] == "quench":
        washed = quench(words[1])
        continue
    if words[0] == "quench":
        runs[names[words[1]]] = [quench(words[1])]
        continue
    rows = answer(words + ["--json"])["rows"]
    key = "water" if "steps.1.at" in command else "manganese" if "batch.Mn" in command else "soak" if "heat.temperature" in command else \
        "plate" if len(rows) == 3 else "thickness"
    runs[key] = [quench(edited(words[1], row["values"])) for row in rows]
    if [row["edge"]["HV"] for row in rows] != [one["edge"]["HV"] for one in runs[key]]:
        faults.append(f"another answer by hand than by: {command}")
for shown, key in re.findall(r'<data value="([^"]*)" data-key="([^"]*\.fall_s)"', text):  # rounding is no fault
    part, n, _ = key.split(".")
    if abs(float(shown) - runs[part][int(n)]["fall_s"]) < 1e-9:
        runs[part][int(n)]["fall_s"] = float(shown)
if set(runs) != {"knife", "bare", "plate", "thickness", "water", "manganese", "soak", "curve"}:
    faults.append(f"commands of the page: {sorted(runs)}")
    sys.exit("\n".join(faults))
json.dump(runs, open(out, "w", encoding="utf-8"))

for name in ("lesson-knife", "lesson-bare-edge", "lesson-plate", "lesson-long"):
    shipped = open(f"{profiles}/plans/{name}.yaml", encoding="utf-8").read()
    saved = re.search(rf'download="my-{name}.yaml" href="data:text/yaml;charset=utf-8,([^"]*)"', text)
    if saved is None or urllib.parse.unquote(saved.group(1)) != shipped:
        faults.append(f"the page does not save {name} as it is shipped")
    if html.escape(shipped, quote=True).replace("&#x27;", "&#39;") not in text:
        faults.append(f"the page does not show {name} as it is shipped")


def claim(good, words):
    if not good:
        faults.append(f"no longer so: {words}")


def lines_of(plan):
    """Lines of a plan but for the title, the place that is recorded and remarks."""
    text = open(f"{profiles}/plans/{plan}.yaml", encoding="utf-8").read().splitlines()
    return [line for line in text if not line.startswith(("#", "title:", "record:"))]


diff = list(difflib.ndiff(lines_of("lesson-bare-edge"), lines_of("lesson-knife")))
claim([" ".join(line.split()).lstrip("+ -") for line in diff if line[0] == "+"] ==
      ["{at: 0 mm, thickness: 0.05 mm}", "{at: 8 mm, thickness: 0.05 mm}", "edge: 0.05 mm"] and
      sum(line[0] == "-" for line in diff) == 1, "three lines differ between the two knives, all of them clay on the edge")
claim(washed is not None and washed["edge"]["HV"] == runs["plate"][1]["edge"]["HV"], "the plan as shipped is the washed plate")
for name in ("blade-sloyd-knife", "blade-long-ridged", "steel-1075"):
    claim(f"<li><bdi>{name}</bdi>" in text, f"{name} is behind the runs")
knife, bare, curve = runs["knife"][0], runs["bare"][0], runs["curve"][0]
claim(knife["edge"]["HRC"] > 60 and knife["line"]["surface_mm"] > 3, "the wash hardens the edge")
claim(bare["edge"]["HRC"] is None or bare["edge"]["HRC"] < 45, "the bare edge stays soft")
claim(knife["spine"]["HV"] < 400 and bare["spine"]["HV"] < 400, "two millimetres keep the back soft")
falls = [row["fall_s"] for row in runs["thickness"]]
claim(min(falls[1:]) * 3 < falls[0] < falls[-1], "a valley, and thick clay slower than bare steel")
claim(0 < falls.index(min(falls)) < 6, "the valley lies at some hundredths of a millimetre")
claim(min(falls) < 250 / runs["plate"][0]["critical_rate_K_s"] < falls[0], "the valley is faster than the critical rate, bare steel is not")
claim(abs(falls[4] - min(falls)) < 0.1 and falls[5] > 250 / runs["plate"][0]["critical_rate_K_s"], "a wash of 0.1 mm is past the valley")
edges = [row["edge"]["HRC"] for row in runs["water"]]
claim(all(e > 60 for e in edges[:3]) and (edges[-1] or 0) < 45, "in colder water the bare edge hardens as well")
lines = [row["line"]["surface_mm"] for row in runs["manganese"]]
claim(all(a < b for a, b in zip(lines, lines[1:])) and lines[0] < 9 < lines[-1], "manganese raises the line, past 9 mm")
edges = [row["edge"]["HV"] for row in runs["soak"]]
turned = [(row["soak"]["austenite"], row["soak"]["carbon_in_solution_wt"]) for row in runs["soak"]]
claim(turned[1][0] < 0.98 < 0.99 < turned[2][0] and turned[2][1] < turned[1][1], "the share of carbon falls a little when the rest turns")
claim(edges[0] < 300 and edges[1] > 700 and max(edges[3:]) - min(edges[3:]) < 20, "a cliff, and level behind it")
claim(runs["soak"][-1]["soak"]["grain_ASTM"] < runs["soak"][3]["soak"]["grain_ASTM"] - 0.5, "grain coarsens further up")
claim(runs["soak"][-1]["crack"]["class"] != "low", "cracks come nearer")
claim([turn["kind"] for turn in curve["curve"]["turns"]] == ["dip", "crest", "dip"], "dip, crest, dip")
claim(abs(curve["curve"]["turns"][0]["rise_mm"]) > 3 * abs(curve["curve"]["rise_mm"]), "it moves by far more than what is left")
claim(3 < curve["curve"]["turns"][0]["time_s"] < 5, "the first dip at some four seconds")
cold = answer(["compare", "lesson-plate", "--vary", "clay.coat.0.thickness=0 mm,0.05 mm", "--vary", "steps.1.at=20 °C", "--json"])["rows"]
claim(cold[0]["t500_s"]["body"] < 1.05 * cold[1]["t500_s"]["body"], "in cold water bare steel cools as fast as washed")
salt = answer(["compare", "lesson-plate", "--vary", "clay.coat.0.thickness=0 mm,0.05 mm", "--vary", "steps.1.in=brine-10", "--json"])["rows"]
claim(salt[0]["t500_s"]["body"] < 1.2 * salt[1]["t500_s"]["body"], "nor does brine")
print("\n".join(faults) or f"{sum(len(r) for r in runs.values())} runs as the page says")
sys.exit(len(faults) > 0)
