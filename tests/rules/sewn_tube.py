"""A sewn sleeve as a net of springs, relaxed: an independent witness of where an elbow points.

Two flat curved strips, top and under, are sewn along both edges and left to themselves. Every side
of every triangle is a spring of the length it has on the flat cloth; every inner edge is a hinge
that likes the angle it has on a straight tube of the section, weak as thin cloth is. The springs
are relaxed by damped Gauss-Newton steps from the straight tube; no law of the elbow is in here.

Units: the sleeve is 2 pi round, so that a round one has radius 1. Section angle phi as in the
sleeve geometry, section 1: 0 front, 90 outside of the arm, 180 back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, pi, radians
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse import linalg

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HALF_LENGTH = 4.0  # of the upper and of the lower sleeve
ELBOW = 1.5  # length over which the strips turn
THICKNESS = 0.05  # of the cloth, which sets how weak the hinges are
STEPS = 60
RESTED = 1e-9  # share of the energy won by the last step
MOST_DAMPED = 1e3


@dataclass(frozen=True, kw_only=True)
class Strip:
    """Flat cloth between two places round the sleeve (degrees of its girth), turning at the elbow.

    `turning_deg` > 0: the edge at `end_deg` is the longer one. `extra`: how much longer than the
    sleeve's straight part its middle line is over the elbow.
    """

    start_deg: float
    end_deg: float
    turning_deg: float
    extra: float = 0.0

    def flat(self, phi_deg: Floats, along: Floats) -> Floats:
        """Points (..., 2) on the table; `along` is the place down the sleeve, 0 at the elbow."""
        across = np.radians(phi_deg - (self.start_deg + self.end_deg) / 2.0)
        inside = np.clip(along, -ELBOW / 2.0, ELBOW / 2.0)
        beyond = along - inside
        turned = radians(self.turning_deg) * inside / ELBOW
        # An arc from the elbow's middle is 2 sin(t / 2) / t of itself as the crow flies.
        crow = inside * (1.0 + self.extra / ELBOW) * np.sinc(turned / (2.0 * pi))
        square, ahead = _square_to(turned)
        _, halfway = _square_to(turned / 2.0)
        return crow[..., None] * halfway + beyond[..., None] * ahead + across[..., None] * square


def _square_to(turned: Floats) -> tuple[Floats, Floats]:
    sine, cosine = np.sin(turned), np.cos(turned)
    return np.stack([cosine, sine], axis=-1), np.stack([-sine, cosine], axis=-1)


def relief(places_deg: Sequence[float], kinks_deg: Sequence[float]) -> list[Strip]:
    """Strips between places round the sleeve, sewn edges equal, whose edges turn by the kinks.

    kinks_deg: turning of the two edges sewn together at each place, above zero where they are
    convex; they sum to 0. The fibres' extra length is linear on each strip and 0 in the mean.
    """
    starts = np.array(places_deg)
    widths = np.diff(starts, append=starts[0] + 360.0)
    slopes = -np.cumsum(kinks_deg)
    slopes += -(slopes @ widths) / 360.0
    rises = np.radians(slopes) * np.radians(widths)
    middles = np.cumsum(rises) - rises / 2.0
    middles -= middles @ widths / 360.0
    return [
        Strip(start_deg=start, end_deg=start + width, turning_deg=slope, extra=extra)
        for start, width, slope, extra in zip(starts, widths, slopes, middles, strict=True)
        if width > 0.0
    ]


def redrafted(hindarm_deg: float, forearm_deg: float, turning_deg: float) -> list[Strip]:
    """Top and under sleeve with seams so far from 50-50; each seam's two edges turn alike."""
    kink = 2.0 * turning_deg
    return relief([-forearm_deg, 180.0 - hindarm_deg], [-kink, kink])


def ironed(hindarm_deg: float, forearm_deg: float, turning_deg: float, left: float) -> list[Strip]:
    """The same with a share `left` of both seams' turning back on the folds of the 50-50 sleeve."""
    kink, kept = 2.0 * turning_deg, 2.0 * turning_deg * left
    places = [-forearm_deg, 0.0, 180.0 - hindarm_deg, 180.0]
    return relief(places, [kept - kink, -kept, kink - kept, kept])


def folded_over(hindarm_deg: float, forearm_deg: float, turning_deg: float) -> list[Strip]:
    """A strip taken from one piece and reflected onto the other, sewn as it is, not ironed."""
    strips = []
    for start, end, middle, turning in (
        (-forearm_deg, 180.0 - hindarm_deg, 90.0, turning_deg),
        (180.0 - hindarm_deg, 360.0 - forearm_deg, 270.0, -turning_deg),
    ):
        extra = radians(turning) * radians((start + end) / 2.0 - middle)
        strips.append(Strip(start_deg=start, end_deg=end, turning_deg=turning, extra=extra))
    return strips


class Net(NamedTuple):
    """Columns round, rows along; triangles with the flat cloth they are cut from."""

    phi_deg: Floats  # (columns,)
    along: Floats  # (rows,)
    triangles: Ints  # (n, 3)
    flat: Floats  # (n, 3, 2)


def sewn(strips: Sequence[Strip], mesh_deg: float) -> Net:
    """The strips, in order round the sleeve, cut into triangles about `mesh_deg` wide."""
    counts = [max(2, round((s.end_deg - s.start_deg) / mesh_deg)) for s in strips]
    columns = sum(counts)
    half_rows = round(HALF_LENGTH / radians(mesh_deg))
    along = np.linspace(-HALF_LENGTH, HALF_LENGTH, 2 * half_rows + 1)
    phi, triangles, flat, first = [], [], [], 0
    for strip, count in zip(strips, counts, strict=True):
        places = np.linspace(strip.start_deg, strip.end_deg, count + 1)
        phi.append(places[:-1])
        table = strip.flat(places[None, :], along[:, None])  # (rows, count + 1, 2)
        rows, cols = np.indices((along.size - 1, count)).reshape(2, -1)
        for corners in _halves(rows, cols):
            r, c = corners[..., 0], corners[..., 1]
            triangles.append(r * columns + (first + c) % columns)
            flat.append(table[r, c])
        first += count
    return Net(np.concatenate(phi), along, np.concatenate(triangles), np.concatenate(flat))


def _halves(rows: Ints, cols: Ints) -> list[Ints]:
    """Each cell in two triangles, the diagonal now one way and now the other."""
    a, b = np.stack([rows, cols], -1), np.stack([rows, cols + 1], -1)
    d, c = np.stack([rows + 1, cols], -1), np.stack([rows + 1, cols + 1], -1)
    even = ((rows + cols) % 2 == 0)[:, None, None]
    one = np.where(even, np.stack([a, b, c], 1), np.stack([a, b, d], 1))
    two = np.where(even, np.stack([a, c, d], 1), np.stack([b, c, d], 1))
    return [one, two]


class Springs:
    """The net's springs and hinges: residuals whose squares add up to twice the energy."""

    def __init__(self, net: Net, round_at: Floats) -> None:
        """`round_at` (vertices, 3): the straight tube whose angles the hinges like."""
        t = net.triangles
        sides = [(0, 1), (1, 2), (2, 0)]
        flat = [net.flat[:, j] - net.flat[:, i] for i, j in sides]
        self.size = round_at.size
        self.ends = np.concatenate([t[:, [i, j]] for i, j in sides])
        self.length = np.concatenate([np.hypot(*side.T) for side in flat])
        area = np.abs(flat[0][:, 0] * flat[1][:, 1] - flat[0][:, 1] * flat[1][:, 0]) / 2.0
        self.pull = np.sqrt(np.tile(area, 3)) / self.length
        self.hinges = _hinges(t)
        self.angle = _angles(round_at[self.hinges])
        edge = np.linalg.norm(round_at[self.hinges[:, 1]] - round_at[self.hinges[:, 0]], axis=1)
        # A plate of stretching stiffness 1 bends with THICKNESS^2 / 12.
        self.stiff = THICKNESS / np.sqrt(12.0) * edge * np.sqrt(3.0 / (2.0 * area.mean()))

    def residuals(self, at: Floats) -> tuple[Floats, sparse.csr_array]:
        """Residuals (n,) and their slopes (n, 3 vertices) at the places (vertices, 3)."""
        apart = at[self.ends[:, 1]] - at[self.ends[:, 0]]
        long = np.linalg.norm(apart, axis=1)
        along = self.pull[:, None] * apart / long[:, None]
        corners = at[self.hinges]
        angle = (_angles(corners) - self.angle + pi) % (2.0 * pi) - pi
        slopes = self.stiff[:, None, None] * _angle_slopes(corners)
        values = np.concatenate([self.pull * (long - self.length), self.stiff * angle])
        pulls = _rows(np.stack([-along, along], axis=1), self.ends, self.size)
        turns = _rows(slopes, self.hinges, self.size)
        return values, sparse.csr_array(sparse.vstack([pulls, turns]))


def _rows(slopes: Floats, vertices: Ints, size: int) -> sparse.csr_array:
    n, k, _ = slopes.shape
    columns = (3 * vertices[..., None] + np.arange(3)).reshape(n, 3 * k)
    starts = np.arange(0, 3 * k * n + 1, 3 * k)
    return sparse.csr_array((slopes.ravel(), columns.ravel(), starts), shape=(n, size))


def _hinges(triangles: Ints) -> Ints:
    """Inner edges (n, 4): both ends, then the far corner on either side."""
    edges = np.concatenate(
        [triangles[:, [i, j, k]] for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1))]
    )
    order = np.sort(edges[:, :2], axis=1)
    index = np.lexsort((order[:, 1], order[:, 0]))
    order, edges = order[index], edges[index]
    twin = np.flatnonzero((order[1:] == order[:-1]).all(axis=1))
    return np.column_stack([edges[twin], edges[twin + 1, 2]])


def _normals(corners: Floats) -> tuple[Floats, Floats, Floats]:
    x0, x1, x2, x3 = np.moveaxis(corners, 1, 0)
    return x1 - x0, np.cross(x1 - x0, x2 - x0), np.cross(x3 - x0, x1 - x0)


def _angles(corners: Floats) -> Floats:
    """Angle (n,) between the two triangles of a hinge, 0 when flat."""
    edge, one, two = _normals(corners)
    long = np.linalg.norm(edge, axis=1)
    sine = (np.cross(one, two) * edge).sum(1) / long
    return np.asarray(np.arctan2(sine, (one * two).sum(1)))


def _angle_slopes(corners: Floats) -> Floats:
    """Slope (n, 4, 3) of the hinge's angle by its four corners."""
    edge, one, two = _normals(corners)
    x0, _, x2, x3 = np.moveaxis(corners, 1, 0)
    long2 = (edge * edge).sum(1)
    long = np.sqrt(long2)
    far2 = -(long / (one * one).sum(1))[:, None] * one
    far3 = -(long / (two * two).sum(1))[:, None] * two
    s2 = (((x2 - x0) * edge).sum(1) / long2)[:, None]
    s3 = (((x3 - x0) * edge).sum(1) / long2)[:, None]
    near0 = -(1.0 - s2) * far2 - (1.0 - s3) * far3
    near1 = -s2 * far2 - s3 * far3
    return np.stack([near0, near1, far2, far3], axis=1)


def straight(net: Net, ratio: float) -> Floats:
    """The straight tube (vertices, 3), elliptic, `ratio` times as deep as wide."""
    rows, columns = net.along.size, net.phi_deg.size
    down = np.repeat(-net.along, columns)[:, None]
    return np.hstack([np.tile(_section(net.phi_deg, ratio), (rows, 1)), down])


def relaxed(net: Net, tube: Floats) -> Floats:
    """The net at rest (vertices, 3), from the straight tube whose angles its hinges like."""
    springs, at, damping = Springs(net, tube), tube, 1e-4
    values, slopes = springs.residuals(at)
    for _ in range(STEPS):
        normal = slopes.T @ slopes + damping * sparse.eye_array(springs.size)
        step = linalg.spsolve(sparse.csc_array(normal), -(slopes.T @ values)).reshape(at.shape)
        new_values, new_slopes = springs.residuals(at + step)
        won = float(values @ values - new_values @ new_values)
        if won <= 0.0:
            damping *= 10.0
            if damping > MOST_DAMPED:
                break
            continue
        rested = won < RESTED * float(values @ values)
        at, values, slopes, damping = at + step, new_values, new_slopes, max(damping / 10.0, 1e-9)
        if rested:
            break
    return at


class Elbow(NamedTuple):
    """Read off a net at rest: degrees the elbow points out of straight back, and its bend."""

    turn_deg: float
    bend_deg: float


def elbow_of(strips: Sequence[Strip], *, mesh_deg: float = 10.0, ratio: float = 1.0) -> Elbow:
    """Sew, relax and read: the lower half's axis against the upper half's, seen from the upper.

    ratio: depth over width of the section that the hinges like.
    """
    net = sewn(strips, mesh_deg)
    rings = relaxed(net, straight(net, ratio)).reshape(net.along.size, -1, 3)
    upper = (net.along > -0.85 * HALF_LENGTH) & (net.along < -0.3 * HALF_LENGTH)
    turns = np.radians(net.phi_deg)
    share = np.radians((np.roll(net.phi_deg, -1) - np.roll(net.phi_deg, 1)) % 360.0) / 2.0
    front = np.einsum("rcx,c->x", rings[upper], np.cos(turns) * share)
    outside = np.einsum("rcx,c->x", rings[upper], np.sin(turns) * share)
    centres = np.einsum("rcx,c->rx", rings, share) / share.sum()
    above, below = _axis(centres[upper]), _axis(centres[upper[::-1]])  # rows are symmetric
    points = -(below - (below @ above) * above)
    out, forward = (float(points @ way / np.linalg.norm(way)) for way in (outside, front))
    turn = atan2(out, -forward)
    bend = atan2(float(np.linalg.norm(points)), float(below @ above))
    return Elbow(turn_deg=degrees(turn), bend_deg=degrees(bend))


def _section(phi_deg: Floats, ratio: float) -> Floats:
    """Points (n, 2) of an ellipse 2 pi round at arc lengths given in degrees of its girth."""
    turn = np.linspace(0.0, 2.0 * pi, 20001)
    ellipse = np.stack([ratio * np.cos(turn), np.sin(turn)], axis=-1)
    gone = np.append(0.0, np.cumsum(np.hypot(*np.diff(ellipse, axis=0).T)))
    at = np.interp(phi_deg % 360.0 / 360.0 * gone[-1], gone, turn)
    points = np.stack([ratio * np.cos(at), np.sin(at)], axis=-1)
    return np.asarray(points * (2.0 * pi / gone[-1]))


def _axis(centres: Floats) -> Floats:
    """Direction down the arm of a row of ring centres."""
    direction = np.linalg.svd(centres - centres.mean(0))[2][0]
    return np.asarray(direction * np.sign(direction @ (centres[-1] - centres[0])))
