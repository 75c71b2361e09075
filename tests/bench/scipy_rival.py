"""The coated section integrated by SciPy's solve_ivp: its implicit methods, each over a ladder of tolerances.

    scipy_rival.py LIBRARY REFERENCE REFINE START_K TIME...

LIBRARY holds section_system.c: rate and Jacobian come from the compiled functions that the other integrators call, so that only
SciPy's own work differs. REFERENCE: temperatures of all cells at the times, raw doubles. BDF and Radau get the Jacobian as a
sparse matrix; LSODA, which knows no sparse ones, finds a banded one by differences. Prints one line per run: method, relative tolerance, accepted
steps, CPU time of solve_ivp in ms, largest error over the steel and all times in K. CPU time is the thread's own; the shell
holds the libraries to one thread.
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

LADDERS = {"LSODA": 10.0 ** -np.arange(2.0, 6.01, 0.25), "BDF": 10.0 ** -np.arange(2.0, 5.51, 0.25),
           "Radau": 10.0 ** -np.arange(1.0, 3.51, 0.25)}
REPEATS = 2
LONGEST_S = 20.0  # of one method's ladder: finer tolerances are then left out


class System:
    def __init__(self, library, refine):
        self.c = ctypes.CDLL(library)
        self.c.section_system_create.restype = ctypes.c_void_p
        for name in ("columns", "rows"):
            getattr(self.c, "section_system_" + name).restype = ctypes.POINTER(ctypes.c_int)
        self.s = ctypes.c_void_p(self.c.section_system_create(refine))
        self.n = self.c.section_system_cells(self.s)
        nonzeros = self.c.section_system_nonzeros(self.s)
        self.columns = np.ctypeslib.as_array(self.c.section_system_columns(self.s), (self.n + 1,)).copy()
        self.rows = np.ctypeslib.as_array(self.c.section_system_rows(self.s), (nonzeros,)).copy()
        self.steel = np.array([bool(self.c.section_system_is_steel(self.s, i)) for i in range(self.n)])
        column = np.repeat(np.arange(self.n), np.diff(self.columns))
        self.upper, self.lower = int((column - self.rows).max()), int((self.rows - column).max())
        self.values = np.empty(nonzeros)

    def begin(self):
        self.c.section_system_begin(self.s)

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

    def options(self, method):
        return dict(lband=self.lower, uband=self.upper) if method == "LSODA" else dict(jac=self.sparse)


def run(system, method, rtol, start, times):
    system.begin()
    begin = time.thread_time()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # LSODA prints what success tells
        r = solve_ivp(system.rate, (0.0, times[-1]), np.full(system.n, start), method=method, t_eval=times, rtol=rtol, atol=rtol,
                      **system.options(method))
    return time.thread_time() - begin, r


def count_steps(system, method, rtol, start, times):
    system.begin()
    return len(solve_ivp(system.rate, (0.0, times[-1]), np.full(system.n, start), method=method, rtol=rtol, atol=rtol,
                         **system.options(method)).t) - 1


def main():
    library, reference, refine, start = sys.argv[1], sys.argv[2], int(sys.argv[3]), float(sys.argv[4])
    times = [float(t) for t in sys.argv[5:]]
    system = System(library, refine)
    exact = np.fromfile(reference).reshape(len(times), system.n)[:, system.steel]
    for method, ladder in LADDERS.items():
        spent = 0.0
        for rtol in ladder:
            if spent > LONGEST_S:
                break
            best = np.inf
            for _ in range(REPEATS):
                cpu, r = run(system, method, rtol, start, times)
                spent += cpu
                best = min(best, cpu)
            if r.success:
                error = np.abs(r.y[system.steel].T - exact).max()
                steps = count_steps(system, method, rtol, start, times)
                print(f"{method} {rtol:.6e} {steps} {1e3 * best:.4f} {error:.6e}", flush=True)


if __name__ == "__main__":
    main()
