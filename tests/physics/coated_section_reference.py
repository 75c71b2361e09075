"""Reference for a clay-coated blade section in a quench: how coated_section_reference.csv was made.

Nothing here is shared with the program: spectral finite elements (third-order quadrilaterals on Gauss-Lobatto points,
lumped capacity) in space, SciPy's BDF with a sparse Jacobian in time. Solved on two meshes; the differences of the
two meshes and of two tolerances are printed (0.020 and 0.012 K: the table is good to a few hundredths), the finer
solution is the table. Takes some minutes.

    python3 coated_section_reference.py > coated_section_reference.csv

Section (mm, height x from the edge flat, y from the mid-plane, symmetric): straight flanks, 0.5 thick at the edge, 3
at the spine, 22 high. Clay along the normal of the face: 0.25 from the edge to a height of 8, straight to 3 at 12, 3
to the spine; 0.25 on the edge flat, 3 on the spine flat; the corners are where the outer lines of face and flat meet.
Steel   k = 15 + 0.0113 C W/m/K,  rho c = 4.15e6 + 830 C J/m3/K;  clay  k = 0.40 + 2e-4 C,  rho c = 1.5e6 + 400 C,
        C in degC; no transformation.
Outer face   q = h(Ts) (Ts - 40 degC), h straight between the points of FILM (degC, W/m2/K), its ends held: low in the
        vapour film, a peak in boiling, low in convection.
Start   800 degC everywhere.
"""
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix, csr_matrix

MM = 1e-3
FILM = np.array([[100, 200], [200, 400], [300, 700], [350, 1100], [400, 2200], [450, 3600], [500, 4200], [550, 4000],
                 [600, 3200], [650, 2400], [750, 1300], [850, 900]], float)
BATH, START = 40.0, 800.0
TIMES = [0.5, 1, 2, 4, 8, 15, 30, 60]
MID = [0.5, 2, 5, 8, 11, 15, 21]   # heights in mm on the mid-plane
FACE = [2, 8, 15]                  # and on the face of the steel


def macro_nodes():
    """Corners of the blocks: rows along the height, columns mid-plane, face of the steel, outer face of the clay."""
    height, half_edge, half_spine, edge_coat, spine_coat = 22.0, 0.25, 1.5, 0.25, 3.0
    slope = (half_spine - half_edge) / height
    normal = np.array([-slope, 1.0]) / np.hypot(slope, 1.0)
    rows = []
    for x, coat in [(0.0, 0.25), (8.0, 0.25), (12.0, 3.0), (22.0, 3.0)]:
        foot = np.array([x, half_edge + slope * x])
        rows.append([np.array([x, 0.0]), foot, foot + coat * normal])

    def flat(level, end):
        outer = end[2]
        meet = np.array([level, outer[1] + slope * (level - outer[0])])
        return [np.array([level, 0.0]), np.array([level, end[1][1]]), meet]

    return MM * np.array([flat(-edge_coat, rows[0])] + rows + [flat(height + spine_coat, rows[-1])])


def gauss_lobatto(p):
    P = np.polynomial.legendre.Legendre.basis(p)
    x = np.r_[-1.0, np.sort(P.deriv().roots().real), 1.0]
    w = 2.0 / (p * (p + 1) * P(x) ** 2)
    D = np.zeros((p + 1, p + 1))
    for i in range(p + 1):
        for j in range(p + 1):
            if i != j:
                D[i, j] = P(x[i]) / P(x[j]) / (x[i] - x[j])
    D[np.arange(p + 1), np.arange(p + 1)] = -D.sum(1)
    return x, w, D


def graded(n, low, high):
    """n+1 parameters from 0 to 1, elements smaller toward the ends marked by ratios below 1."""
    size = np.minimum(low * 1.35 ** np.arange(n), high * 1.35 ** np.arange(n)[::-1])
    size = np.minimum(size, 1.0)
    return np.r_[0.0, np.cumsum(size)] / size.sum()


def mesh(refine, p):
    """Node coordinates (rows x columns of Gauss-Lobatto points), element counts, first clay column."""
    macro = macro_nodes()
    along = [graded(n, *g) for n, g in [(3, (1, 1)), (16, (0.06, 1)), (12, (1, 1)), (14, (1, 0.15)), (8, (0.3, 1))]]
    across = [graded(5, 1, 0.4), graded(7, 0.3, 0.5)]
    x, _, _ = gauss_lobatto(p)

    def points(edges):
        fine = np.interp(np.arange(refine * (len(edges) - 1) + 1) / refine, np.arange(len(edges)), edges)
        inner = fine[:-1, None] + np.diff(fine)[:, None] * (x[None, :-1] + 1) / 2
        return np.r_[inner.ravel(), 1.0]

    blocks = []
    for r in range(5):
        u = points(along[r])[:, None, None]
        u = u if r == 4 else u[:-1]
        strips = []
        for c in range(2):
            v = points(across[c])[None, :, None]
            v = v if c == 1 else v[:, :-1]
            strips.append((1 - u) * ((1 - v) * macro[r, c] + v * macro[r, c + 1]) +
                          u * ((1 - v) * macro[r + 1, c] + v * macro[r + 1, c + 1]))
        blocks.append(np.concatenate(strips, 1))
    nodes = np.concatenate(blocks, 0)
    rows = [refine * (len(a) - 1) for a in along]
    columns = [refine * (len(a) - 1) for a in across]
    return nodes, rows, columns


class Section:
    def __init__(self, refine, p):
        self.p = p
        x, w, self.D = gauss_lobatto(p)
        nodes, rows, columns = mesh(refine, p)
        self.nodes = nodes
        ny = nodes.shape[1]
        self.n = nodes.shape[0] * ny
        er, ec = sum(rows), sum(columns)
        first = (np.arange(er) * p * ny)[:, None] + (np.arange(ec) * p)[None, :]
        local = (np.arange(p + 1) * ny)[:, None] + np.arange(p + 1)[None, :]
        self.dof = (first.reshape(-1, 1, 1) + local[None]).astype(int)          # element, a, b
        row = np.repeat(np.arange(er), ec)
        column = np.tile(np.arange(ec), er)
        self.clay = ((row < rows[0]) | (row >= er - rows[4]) | (column >= columns[0]))[:, None, None]
        self.face_column, self.edge_row = columns[0] * p, rows[0] * p
        X, Y = nodes[..., 0].ravel()[self.dof], nodes[..., 1].ravel()[self.dof]
        xu, yu = np.einsum("ai,eib->eab", self.D, X), np.einsum("ai,eib->eab", self.D, Y)
        xv, yv = np.einsum("bj,eaj->eab", self.D, X), np.einsum("bj,eaj->eab", self.D, Y)
        det = xu * yv - xv * yu
        assert det.min() > 0
        ww = w[:, None] * w[None, :]
        self.volume = ww * det
        # metric of the gradient: grad T . grad T = Guu Tu^2 + 2 Guv Tu Tv + Gvv Tv^2
        self.Guu = ww * (xv ** 2 + yv ** 2) / det
        self.Guv = -ww * (xu * xv + yu * yv) / det
        self.Gvv = ww * (xu ** 2 + yu ** 2) / det
        # outer face: last column of nodes, first and last row
        self.face = np.zeros(self.n)
        grid = np.arange(self.n).reshape(nodes.shape[:2])
        for line in (grid[:, -1], grid[0], grid[-1]):
            for s in range(0, len(line) - 1, p):
                d = line[s:s + p + 1]
                tangent = self.D @ nodes.reshape(-1, 2)[d]
                np.add.at(self.face, d, w * np.hypot(tangent[:, 0], tangent[:, 1]))
        self.steel_volume = np.bincount(self.dof.ravel(), np.where(self.clay, 0, self.volume).ravel(), self.n)
        self.clay_volume = np.bincount(self.dof.ravel(), np.where(self.clay, self.volume, 0).ravel(), self.n)
        self.pattern_of_stiffness()

    def conductivity(self, T):
        return np.where(self.clay, 0.40 + 2e-4 * T, 15.0 + 0.0113 * T)

    def capacity(self, T):
        return self.steel_volume * (4.15e6 + 830.0 * T) + self.clay_volume * (1.5e6 + 400.0 * T)

    def rate(self, t, T):
        T = T.reshape(self.n, -1)
        out = np.empty_like(T)
        for c in range(T.shape[1]):
            e = T[:, c][self.dof]
            k = self.conductivity(e)
            u, v = np.einsum("ai,eib->eab", self.D, e), np.einsum("bj,eaj->eab", self.D, e)
            fu, fv = k * (self.Guu * u + self.Guv * v), k * (self.Guv * u + self.Gvv * v)
            r = np.einsum("ai,eab->eib", self.D, fu) + np.einsum("bj,eab->eaj", self.D, fv)
            drawn = np.bincount(self.dof.ravel(), r.ravel(), self.n)
            h = np.interp(T[:, c], FILM[:, 0], FILM[:, 1])
            out[:, c] = -(drawn + self.face * h * (T[:, c] - BATH)) / self.capacity(T[:, c])
        return out[:, 0] if out.shape[1] == 1 else out

    def pattern_of_stiffness(self):
        q = self.p + 1
        I = np.eye(q)
        Du = np.einsum("ai,bj->abij", self.D, I).reshape(q * q, q * q)
        Dv = np.einsum("ai,bj->abij", I, self.D).reshape(q * q, q * q)
        self.shape = [np.einsum("qi,qj->qij", a, b) for a, b in ((Du, Du), (Du, Dv), (Dv, Du), (Dv, Dv))]
        d = self.dof.reshape(-1, q * q)
        self.ij = (np.repeat(d, q * q, 1).ravel(), np.tile(d, (1, q * q)).ravel())

    def jacobian(self, t, T):
        """Without the slopes of k and c: enough for the simplified Newton iteration."""
        k = self.conductivity(T[self.dof])
        m = k.shape[0]
        K = sum((k * G).reshape(m, -1) @ S.reshape(S.shape[0], -1) for G, S in
                zip((self.Guu, self.Guv, self.Guv, self.Gvv), self.shape))
        h = np.interp(T, FILM[:, 0], FILM[:, 1])
        i = np.clip(np.searchsorted(FILM[:, 0], T) - 1, 0, len(FILM) - 2)
        bend = (FILM[i + 1, 1] - FILM[i, 1]) / (FILM[i + 1, 0] - FILM[i, 0])
        bend = np.where((T < FILM[0, 0]) | (T > FILM[-1, 0]), 0.0, bend)
        c = self.capacity(T)
        J = csr_matrix((K.ravel(), self.ij), shape=(self.n, self.n))
        J.setdiag(J.diagonal() + self.face * (h + bend * (T - BATH)))
        J.data /= -np.repeat(c, np.diff(J.indptr))
        return csc_matrix(J)

    def along_line(self, T, column, heights):
        """Values on a line of nodes at heights in mm, by the elements' own polynomials."""
        x = self.nodes[:, column, 0] / MM
        y = T.reshape(self.nodes.shape[:2])[:, column]
        values = []
        for h in heights:
            s = min((np.searchsorted(x, h, "right") - 1) // self.p * self.p, len(x) - self.p - 1)
            xs, ys = x[s:s + self.p + 1], y[s:s + self.p + 1]
            weights = [np.prod([(h - b) / (a - b) for b in xs if b != a]) for a in xs]
            values.append(float(np.dot(weights, ys)))
        return values


def solve(refine, p, rtol):
    s = Section(refine, p)
    r = solve_ivp(s.rate, (0, TIMES[-1]), np.full(s.n, START), method="BDF", t_eval=TIMES, rtol=rtol, atol=100 * rtol,
                  jac=s.jacobian, first_step=1e-7)
    assert r.success, r.message
    table = np.array([s.along_line(T, 0, MID) + s.along_line(T, s.face_column, FACE) for T in r.y.T])
    print(f"refine {refine}: {s.n} nodes, {r.t.size} times, {r.nfev} rates, {r.nlu} factorisations", file=sys.stderr)
    return table


def main():
    refine = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    coarse, loose, fine = solve(refine - 1, 3, 1e-6), solve(refine, 3, 1e-5), solve(refine, 3, 1e-6)
    print(f"worst difference of the meshes {np.abs(fine - coarse).max():.4f} K, of the tolerances "
          f"{np.abs(fine - loose).max():.4f} K", file=sys.stderr)
    print("time_s," + ",".join([f"mid_{h:g}mm_C" for h in MID] + [f"face_{h:g}mm_C" for h in FACE]))
    for t, row in zip(TIMES, fine):
        print(f"{t:g}," + ",".join(f"{v:.3f}" for v in row))


if __name__ == "__main__":
    main()
