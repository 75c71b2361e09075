"""Reads result.h5 and result.xdmf of a folder as a viewer would: every item of the XDMF must resolve to a data set of
the stated shape, the frames' times must agree, and the grid must hold its cells. With two folders: all data outside
/provenance must be equal. Arguments: FOLDER [FOLDER]. Exits 0, 1 with what is wrong, 77 (skipped) without h5py."""
import sys
import xml.etree.ElementTree as xml
from pathlib import Path

try:
    import h5py
    import numpy as np
except ImportError:
    print("h5py is not installed")
    sys.exit(77)

faults = []


def shape_of(item):
    return tuple(int(n) for n in item.get("Dimensions").split())


def read_item(folder, item):
    """The array a DataItem stands for."""
    if item.get("ItemType") == "HyperSlab":
        what, source = item.findall("DataItem")
        start, stride, count = np.array(what.text.split(), dtype=int).reshape(3, -1)
        values = read_item(folder, source)
        values = values[tuple(slice(a, a + n * s, s) for a, s, n in zip(start, stride, count))]
        return values.reshape(shape_of(item))
    name, path = item.text.strip().split(":")
    with h5py.File(folder / name, "r") as file:
        values = file[path][()]
    if values.shape != shape_of(item):
        faults.append(f"{path}: {values.shape} in the file, {shape_of(item)} in the XDMF")
    return values


def read_frame(folder, grid):
    """Time, names of the attributes, and the temperature of one frame."""
    rows, columns = shape_of(grid.find("Topology"))
    x, y = (read_item(folder, item) for item in grid.find("Geometry"))
    if x.shape != (rows, columns) or y.shape != (rows, columns):
        faults.append("nodes and topology differ")
    fields = {a.get("Name"): read_item(folder, a.find("DataItem")) for a in grid.findall("Attribute")}
    steel = fields["kind"] == 1
    for name, values in fields.items():
        if values.shape != (rows - 1, columns - 1):
            faults.append(f"{name} has {values.shape} values")
        if not np.isfinite(np.asarray(values, dtype=float)[steel]).all():
            faults.append(f"{name} is not a number in steel")
    phases = [fields[p] for p in ("austenite", "ferrite_cementite", "pearlite", "bainite", "martensite") if p in fields]
    if phases and abs(sum(phases)[steel] - 1).max() > 1e-12:
        faults.append("phases do not sum to 1")
    return float(grid.find("Time").get("Value")), fields["temp_K"][steel]


def equal(a, b):
    """Names of data sets outside /provenance that differ."""
    found = {}
    for which, file in ((0, a), (1, b)):
        file.visititems(lambda name, it: found.setdefault(name, [None, None]).__setitem__(which, it)
                        if isinstance(it, h5py.Dataset) and not name.startswith("provenance/") else None)
    return [name for name, (x, y) in found.items()
            if x is None or y is None or np.asarray(x[()]).tobytes() != np.asarray(y[()]).tobytes()]


folder = Path(sys.argv[1])
frames = [read_frame(folder, grid) for grid in xml.parse(folder / "result.xdmf").find("Domain/Grid").findall("Grid")]
with h5py.File(folder / "result.h5", "r") as file:
    times = file["frames/time_s"][()]
    if file.attrs["format"] not in ("clayquench-result", b"clayquench-result") or file.attrs["version"] != 1:
        faults.append("format or version")
if len(frames) != len(times) or any(abs(f[0] - t) > 1e-8 * max(1, t) for f, t in zip(frames, times)):
    faults.append("times of the frames differ")
if not frames or frames[0][1].mean() <= frames[-1][1].mean():
    faults.append("the blade did not cool")
if len(sys.argv) > 2:
    with h5py.File(folder / "result.h5", "r") as a, h5py.File(Path(sys.argv[2]) / "result.h5", "r") as b:
        faults += [f"{name} differs between the folders" for name in equal(a, b)]
print("\n".join(faults) if faults else f"{len(frames)} frames read")
sys.exit(bool(faults))
