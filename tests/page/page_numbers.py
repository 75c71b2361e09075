"""How pages show the numbers of their summary: for the checks without a browser and in one."""
from fractions import Fraction


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


def fault_of(summary, key, how, value, text):
    """What is wrong with a number that a page shows; None: nothing."""
    try:
        real = at(summary, key)
    except (KeyError, IndexError, TypeError):
        real = None
    if real is None:
        good = value == "null" and text == "–"
    else:
        good = float(value) == float(f"{real:.12g}") and text == SHOWN[how](float(value))
    return None if good else f"{key}: the page says {text} ({value}), the summary {real}"
