"""The coated section integrated by SciPy's solve_ivp: its implicit methods, each over a ladder of tolerances.

    scipy_rival.py LIBRARY REFERENCE REFINE START_K TIME...

Two ways. "C": rate and analytic Jacobian are the compiled functions of section_system.c (LIBRARY), which the other
integrators call too, so that only SciPy's own work differs. "np": the rate is written in NumPy, as its users write
it, and SciPy takes the Jacobian by differences over the pattern; Radau, the slowest, is left out there. BDF and Radau
use a sparse Jacobian, LSODA, which knows no sparse ones, a band. REFERENCE: temperatures of all cells at the times,
raw doubles. Prints one line per run: method, relative tolerance, accepted steps, CPU time of solve_ivp in ms, largest
error over the steel and all times in K. CPU time is the thread's own; the caller holds the libraries to one thread.
"""
import ctypes
import sys
import time
import warnings

try:
    import numpy as np
    from scipy.integrate import solve_ivp
    from scipy.sparse import csc_matrix
except ImportError as missing:
    print(f"left out: {missing}")
    sys.exit(0)

LADDERS = {"LSODA": 10.0 ** -np.arange(2.0, 5.01, 0.25), "BDF": 10.0 ** -np.arange(2.0, 5.01, 0.25),
           "Radau": 10.0 ** -np.arange(1.0, 3.51, 0.25)}
REPEATS = 3
LONGEST_S = 15.0  # of one method's ladder: finer tolerances are then left out

# section_system.c's structures; the case of physics/coated_section_reference.py
FACE = [("cell", "i4", 2), ("vertex", "i4", 2), ("shape", "f8", 2), ("skew", "f8"), ("half", "f8", 2), ("g", "f8")]
TRACE = [("cell", "i4", 2), ("inner", "i4"), ("next", "i4"), ("shape", "f8"), ("weight", "f8", 2), ("temp", "f8")]
VERTEX = [("trace", "i4", 4), ("weight", "f8", 4), ("temp", "f8")]
OUTER = [("end", "i4"), ("cell", "i4"), ("vertex", "i4", 2), ("area", "f8"), ("shape", "f8"), ("film", "f8"),
         ("skew", "f8"), ("Ts", "f8"), ("out", "f8"), ("response", "f8")]
FILM = np.array([[100, 200], [200, 400], [300, 700], [350, 1100], [400, 2200], [450, 3600], [500, 4200], [550, 4000],
                 [600, 3200], [650, 2400], [750, 1300], [850, 900]], float)
ZERO_C, BATH_C = 273.15, 40.0


class System:
    def __init__(self, library, refine, start):
        self.c = ctypes.CDLL(library)
        self.c.section_system_create.restype = self.c.section_system_part.restype = ctypes.c_void_p
        for name in ("columns", "rows"):
            getattr(self.c, "section_system_" + name).restype = ctypes.POINTER(ctypes.c_int)
        self.s = ctypes.c_void_p(self.c.section_system_create(refine))
        self.start = start
        self.n = self.c.section_system_cells(self.s)
        nonzeros = self.c.section_system_nonzeros(self.s)
        self.columns = np.ctypeslib.as_array(self.c.section_system_columns(self.s), (self.n + 1,)).copy()
        self.rows = np.ctypeslib.as_array(self.c.section_system_rows(self.s), (nonzeros,)).copy()
        self.steel = np.array([bool(self.c.section_system_is_steel(self.s, i)) for i in range(self.n)])
        column = np.repeat(np.arange(self.n), np.diff(self.columns))
        self.upper, self.lower = int((column - self.rows).max()), int((self.rows - column).max())
        self.band = (self.rows - column + self.upper, column)
        self.values = np.empty(nonzeros)

    def part(self, which, fields):
        count = ctypes.c_int()
        address = self.c.section_system_part(self.s, which, ctypes.byref(count))
        kind = np.dtype(fields, align=True)
        raw = (ctypes.c_char * (count.value * kind.itemsize)).from_address(address)
        return np.frombuffer(raw, kind).copy()


class Compiled(System):
    name = "C"
    methods = ("LSODA", "BDF", "Radau")

    def begin(self):
        self.c.section_system_begin(self.s)

    def options(self, method):
        if method == "LSODA":
            return dict(jac=self.banded, lband=self.lower, uband=self.upper)
        return dict(jac=self.sparse)

    def rate(self, t, T):
        T = np.ascontiguousarray(T)
        out = np.empty(self.n)
        self.c.section_system_rate(self.s, ctypes.c_void_p(T.ctypes.data), ctypes.c_void_p(out.ctypes.data))
        return out

    def evaluate(self, T):
        T = np.ascontiguousarray(T)
        self.c.section_system_jacobian(self.s, ctypes.c_void_p(T.ctypes.data), ctypes.c_void_p(self.values.ctypes.data))

    def sparse(self, t, T):
        self.evaluate(T)
        return csc_matrix((self.values.copy(), self.rows, self.columns), shape=(self.n, self.n))

    def banded(self, t, T):
        self.evaluate(T)
        packed = np.zeros((2 * self.lower + self.upper + 1, self.n))  # LSODA factorises in place: room for its fill
        packed[self.band] = self.values
        return packed


class Numpy(System):
    """The same equations; section_system.c says what the parts are."""
    name = "np"
    methods = ("LSODA", "BDF")

    def __init__(self, library, refine, start):
        super().__init__(library, refine, start)
        steel = self.steel
        self.k0, self.k1 = np.where(steel, 15.0, 0.40), np.where(steel, 0.0113, 2e-4)
        self.c0, self.c1 = np.where(steel, 4.15e6, 1.5e6), np.where(steel, 830.0, 400.0)
        self.area = self.part(4, "f8")
        faces, traces = self.part(0, FACE), self.part(1, TRACE)
        vertices, outers = self.part(2, VERTEX), self.part(3, OUTER)
        self.f0, self.f1 = faces["cell"].T.copy()
        self.shape0, self.shape1 = faces["shape"].T.copy()
        self.skew = faces["skew"].copy()
        self.v0, self.v1 = faces["vertex"].T.copy()
        self.t0, self.t1 = traces["cell"].T.copy()
        self.inside = np.flatnonzero(traces["inner"] >= 0)
        self.inner = traces["inner"][self.inside]
        self.ends = np.flatnonzero((traces["inner"] < 0) & (traces["next"] >= 0))
        self.next, self.end_shape = traces["next"][self.ends], traces["shape"][self.ends]
        self.around = np.maximum(vertices["trace"], 0).T.copy()
        self.weights = np.where(vertices["trace"] >= 0, vertices["weight"], 0.0).T.copy()
        self.o = outers["cell"].copy()
        self.o_area, self.o_shape, self.o_film, self.o_skew = (outers[n].copy()
                                                              for n in ("area", "shape", "film", "skew"))
        self.o0, self.o1 = outers["vertex"].T.copy()
        self.bend = np.r_[0.0, np.diff(FILM[:, 1]) / np.diff(FILM[:, 0]), 0.0]
        self.targets = np.r_[self.f0, self.f1, self.o]
        self.pattern = csc_matrix((np.ones(len(self.rows)), self.rows, self.columns), shape=(self.n, self.n))

    def begin(self):
        self.Ts = np.full(len(self.o), self.start - ZERO_C)

    def options(self, method):
        return dict(lband=self.lower, uband=self.upper) if method == "LSODA" else dict(jac_sparsity=self.pattern)

    def outflow(self, drive, response):
        """Ts + response A q(Ts) = drive, from the last Ts: Newton, kept inside a bracket once there is one."""
        Ts, low, high = self.Ts, np.full(len(drive), -np.inf), np.full(len(drive), np.inf)
        r = response * self.o_area
        for _ in range(100):
            h = np.interp(Ts, FILM[:, 0], FILM[:, 1])
            f = Ts + r * h * (Ts - BATH_C) - drive
            if np.abs(f).max() <= 1e-9:
                break
            low, high = np.where(f < 0, np.maximum(low, Ts), low), np.where(f < 0, high, np.minimum(high, Ts))
            slope = 1.0 + r * (h + self.bend[np.searchsorted(FILM[:, 0], Ts, "right")] * (Ts - BATH_C))
            step = np.where(slope > 0.05, -f / np.where(slope > 0.05, slope, 1.0), np.where(f < 0, 30.0, -30.0))
            open_ended = ~np.isfinite(low) | ~np.isfinite(high)
            step = np.where(open_ended, np.clip(step, -30.0, 30.0), step)
            bad = ~open_ended & ((Ts + step <= low) | (Ts + step >= high)) & (np.abs(f) > 1e-9)
            Ts = np.where(bad, 0.5 * (np.where(bad, low, 0.0) + np.where(bad, high, 0.0)), Ts + step)
        self.Ts = Ts
        return (drive - Ts) / response

    def rate(self, t, T):
        T = T - ZERO_C
        k, c = self.k0 + self.k1 * T, self.c0 + self.c1 * T
        half0, half1 = k[self.f0] * self.shape0, k[self.f1] * self.shape1
        g = half0 * half1 / (half0 + half1)
        share = np.zeros(len(self.t0))
        share[self.inside] = g[self.inner] / half0[self.inner]
        share[self.ends] = -g[self.next] / (k[self.t0[self.ends]] * self.end_shape)
        trace = T[self.t0] + share * (T[self.t1] - T[self.t0])
        w, a = self.weights, self.around
        vertex = w[0] * trace[a[0]] + w[1] * trace[a[1]] + w[2] * trace[a[2]] + w[3] * trace[a[3]]
        flux = g * (T[self.f1] - T[self.f0] - self.skew * (vertex[self.v1] - vertex[self.v0]))
        response = 1.0 / (k[self.o] * self.o_shape) + self.o_film
        out = self.outflow(T[self.o] + self.o_skew * (vertex[self.o1] - vertex[self.o0]), response)
        return np.bincount(self.targets, np.concatenate((flux, -flux, -out)), self.n) / (c * self.area)


def run(system, method, rtol, end, times=None):
    """CPU time and result; without times every step is returned."""
    system.begin()
    options = system.options(method)
    begin = time.thread_time()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a failed run is told by its success
        r = solve_ivp(system.rate, (0.0, end), np.full(system.n, system.start), method=method, t_eval=times, rtol=rtol,
                      atol=rtol, **options)
    return time.thread_time() - begin, r


def climb(system, method, exact, times):
    """One method's ladder."""
    spent = 0.0
    for rtol in LADDERS[method]:
        if spent > LONGEST_S:
            break
        runs = [run(system, method, rtol, times[-1], times) for _ in range(REPEATS)]
        spent += sum(cpu for cpu, _ in runs)
        r = runs[0][1]
        if r.success:
            error = np.abs(r.y[system.steel].T - exact).max()
            steps = len(run(system, method, rtol, times[-1])[1].t) - 1
            best = min(cpu for cpu, _ in runs)
            print(f"{method}/{system.name} {rtol:.6e} {steps} {1e3 * best:.4f} {error:.6e}", flush=True)


def main():
    library, reference, refine, start = sys.argv[1], sys.argv[2], int(sys.argv[3]), float(sys.argv[4])
    times = [float(t) for t in sys.argv[5:]]
    systems = [Compiled(library, refine, start), Numpy(library, refine, start)]
    exact = np.fromfile(reference).reshape(len(times), systems[0].n)[:, systems[0].steel]
    for s in systems:
        s.begin()
    T = start - 200.0 * np.arange(systems[0].n) / systems[0].n
    apart = np.abs(systems[0].rate(0.0, T) - systems[1].rate(0.0, T)) / np.abs(systems[0].rate(0.0, T)).max()
    print(f"rates in C and NumPy differ by {apart.max():.1e}")
    for system in systems:
        for method in system.methods:
            climb(system, method, exact, times)


if __name__ == "__main__":
    main()
