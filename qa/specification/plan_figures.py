"""What a specification takes for granted before the work."""

from __future__ import annotations

from dataclasses import dataclass

from qa.specification.sourced import Figure, Sizes


@dataclass(frozen=True, slots=True, kw_only=True)
class Planning:
    """What is taken for granted before the work: for ordering, and for planning a day's mixes.

    Nothing is judged by these figures. `…_waste_pct` is what is ordered beyond the need.
    """

    board_length_m: Figure
    board_width_m: Figure
    joist_centres_m: Figure
    fixing_least_mm: Figure
    fixing_thicknesses: Figure
    trim_length_m: Figure
    liquid_resin_g_per_ml: Figure
    liquid_topcoat_g_per_ml: Figure
    adhesive_ml_per_overlap: Figure
    resin_waste_pct: Figure
    catalyst_waste_pct: Figure
    mat_waste_pct: Figure
    bandage_waste_pct: Figure
    topcoat_waste_pct: Figure
    board_waste_pct: Figure
    batten_waste_pct: Figure
    fixing_waste_pct: Figure
    adhesive_waste_pct: Figure
    catalyst_active_oxygen_pct: Figure
    catalyst_departure_pct: Figure
    crew_pace_m2_per_h: Figure
    largest_mix_kg: Figure
    weighing_step_kg: Figure
    resin_tins_kg: Sizes
    catalyst_bottles_ml: Sizes
    mat_rolls_m: Sizes
    bandage_rolls_m: Sizes
    topcoat_tins_kg: Sizes
    fixing_boxes: Sizes
    adhesive_cartridges_ml: Sizes
