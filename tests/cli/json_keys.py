"""Checks one JSON answer against the keys README promises. Exits 1 with a list of what is wrong."""
import json
import math
import sys

STRUCTURE = {"HV", "HRC", "martensite", "retained_austenite", "bainite", "pearlite", "ferrite_cementite"}
KEYS = {
    "line": {"surface_mm", "left_mm", "right_mm", "mid_mm", "crossings_mm", "ground_mm", "band_mm", "verdict", "contrast_HV"},
    "edge": STRUCTURE,
    "body": STRUCTURE,
    "spine": STRUCTURE,
    "edge_after_temper": {"HV", "HRC"},
    "body_after_temper": {"HV", "HRC"},
    "spine_after_temper": {"HV", "HRC"},
    "critical_rate_K_s": None,
    "film": {"edge", "body", "spine"},
    "curve": {"rise_mm", "low_mm", "high_mm", "side_bend_mm"},
    "stress": {"edge_MPa", "edge_face_MPa", "least_MPa", "most_MPa", "edge_tempered_MPa"},
    "crack": {"class", "reason", "since_s", "time_s", "advice"},
    "heats": None,
    "tempers": None,
    "wear": {"HRC", "mm", "throughout"},
    "build": {"construction", "zones", "mean_carbon_before_wt", "mean_carbon_wt", "spread_mm", "classes"},
    "skin": {"depth_mm", "face_carbon_wt", "ground_carbon_wt", "file", "file_ground"},
    "fire": {"edge_C", "spine_C", "edge_grain_ASTM", "spine_grain_ASTM"},
    "probes": None,
    "energy": {"imbalance"},
    "solver": {"steps", "rejected", "cells", "core_s", "precision"},
    "notices": None,
    "cautions": None,
}


def refuse_twins(pairs):
    keys = [key for key, _ in pairs]
    if len(keys) != len(set(keys)):
        raise ValueError(f"a key stands twice: {keys}")
    return dict(pairs)


def refuse_constant(word):
    raise ValueError(f"{word} is no JSON")


with open(sys.argv[1], encoding="utf-8") as file:
    answer = json.load(file, object_pairs_hook=refuse_twins, parse_constant=refuse_constant)

faults = []
if not isinstance(answer, dict):
    faults.append("not one object")
for key, inner in KEYS.items():
    if key not in answer:
        faults.append(f"{key} is absent (what does not apply is null)")
    elif inner and isinstance(answer[key], dict) and not inner <= answer[key].keys():
        faults.append(f"{key} lacks {sorted(inner - answer[key].keys())}")
for place in ("edge", "body", "spine"):
    spot = answer.get(place)
    # Fractions sum to 1; they are printed with fewer digits than they are computed with.
    if isinstance(spot, dict) and spot.get("martensite") is not None:
        total = sum(spot[key] for key in STRUCTURE - {"HV", "HRC"})
        if not math.isclose(total, 1.0, abs_tol=1e-6):
            faults.append(f"{place}: phases sum to {total}")
for name, probe in (answer.get("probes") or {}).items():
    if len(probe["time_s"]) != len(probe["temp_C"]):
        faults.append(f"probe {name}: arrays of unequal length")
for notice in answer.get("notices") or []:
    if set(notice) != {"code", "count", "sentence"}:
        faults.append(f"a notice has the keys {sorted(notice)}")
print("\n".join(faults), end="\n" if faults else "")
sys.exit(bool(faults))
