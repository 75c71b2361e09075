"""Reference for a clay-coated slab: method of lines on 2,400 cells, SciPy's BDF at rtol 1e-9. Half slab of steel 1.5 mm
(k 28 W/m/K, rho c 4.774e6 J/m3/K), clay 1 mm (k 0.45, rho c 1.705e6), h 5000 W/m2/K to 40 degC, start 800 degC.
Prints the table kept in coated_slab.csv: time s, centre and steel face temperature degC."""
import numpy as np
from scipy.integrate import solve_ivp

ns, nc = 1200, 1200
d = np.r_[np.full(ns, 1.5e-3 / ns), np.full(nc, 1e-3 / nc)]
k = np.r_[np.full(ns, 28.0), np.full(nc, 0.45)]
c = np.r_[np.full(ns, 4.774e6), np.full(nc, 1.705e6)]
half = d / (2 * k)
g = 1 / (half[:-1] + half[1:])
g_out = 1 / (half[-1] + 1 / 5000.0)


def rate(t, T):
    q = np.zeros(len(T) + 1)
    q[1:-1] = g * (T[:-1] - T[1:])
    q[-1] = g_out * (T[-1] - 40.0)
    return (q[:-1] - q[1:]) / (c * d)


times = [0.5, 1, 2, 4, 8, 16]
from scipy.sparse import diags
pattern = diags([1, 1, 1], [-1, 0, 1], shape=(ns + nc, ns + nc))
s = solve_ivp(rate, (0, 16), np.full(ns + nc, 800.0), method="BDF", t_eval=times, rtol=1e-9, atol=1e-8, jac_sparsity=pattern)
print("time_s,centre_C,face_C")
for n, t in enumerate(times):
    T = s.y[:, n]
    flux = g[ns - 1] * (T[ns - 1] - T[ns])
    print(f"{t:g},{T[0]:.4f},{T[ns - 1] - flux * half[ns - 1]:.4f}")
