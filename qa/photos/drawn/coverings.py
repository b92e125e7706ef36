"""What covers a whole roof, drawn on its plan: boards, nails, wet laminate."""

from __future__ import annotations

from qa.photos.drawn import boards, glass
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.roof import ROOF_SCALE
from qa.photos.drawn.studio import Studio


def boarded(studio: Studio, plan: Plan) -> None:
    """Cover the whole plan with boards and nails."""
    rows = int((plan.far_m - plan.near_m) / 0.6) + 1
    boards.boards_over(
        plan, studio.rng, rows, (plan.left_m, plan.near_m), plan.right_m - plan.left_m
    )
    nailed(studio, plan, rows)


def nailed(studio: Studio, plan: Plan, rows: int, reach_m: float = 99.0) -> None:
    """Nail so many rows of boards to joists 400 mm apart."""
    reach = min(reach_m, plan.right_m - plan.left_m)
    places = [
        (plan.left_m + 0.025 + 0.4 * i, plan.near_m + 0.6 * row + y)
        for i in range(int(reach / 0.4) + 1)
        for row in range(rows)
        for y in (0.03, 0.21, 0.39, 0.57)
    ]
    boards.nails_at(plan, studio.rng, places)


def laminated(studio: Studio, plan: Plan) -> glass.Mat:
    """Cover the whole plan with boards under wet laminate, and return the mat."""
    boarded(studio, plan)
    mat = glass.mat_cut(studio.rng, plan.size, ROOF_SCALE)
    plan.image = glass.wetted(plan.image, mat, 0.12, 0.12)
    return mat
