"""The plans and charts of the packs, drawn as SVG: values in, the same text out every time.

Every drawing is sized in millimetres for the packs' text block and set in their sans face. Nothing
here knows a job, an assessment or a page: the packs' contexts fill the values.
"""

from qa.packs.drawing.bay_labels import MarkedBay
from qa.packs.drawing.bay_marks import BayMark
from qa.packs.drawing.bay_plan import BayPlan, BayPlanArea, draw_bay_plan
from qa.packs.drawing.conditions_chart import ConditionsChart, draw_conditions_chart
from qa.packs.drawing.consumption_chart import (
    ConsumptionChart,
    ConsumptionRow,
    ConsumptionSection,
    draw_consumption_chart,
)
from qa.packs.drawing.dose_plot import DosedMix, DosePanel, DosePlot, draw_dose_plot
from qa.packs.drawing.falls_plan import FallsPlan, FallsPlanArea, draw_falls_plan
from qa.packs.drawing.plan_area import Fall, PlanArea, PlanUpstand
from qa.packs.drawing.readings import InterruptionSpan, MixTick, Reading
from qa.packs.drawing.roof_plan import RoofPlan, draw_roof_plan
from qa.packs.drawing.stage_line import StageLine, StageStep, StepMark, draw_stage_line

__all__ = [
    "BayMark",
    "BayPlan",
    "BayPlanArea",
    "ConditionsChart",
    "ConsumptionChart",
    "ConsumptionRow",
    "ConsumptionSection",
    "DosePanel",
    "DosePlot",
    "DosedMix",
    "Fall",
    "FallsPlan",
    "FallsPlanArea",
    "InterruptionSpan",
    "MarkedBay",
    "MixTick",
    "PlanArea",
    "PlanUpstand",
    "Reading",
    "RoofPlan",
    "StageLine",
    "StageStep",
    "StepMark",
    "draw_bay_plan",
    "draw_conditions_chart",
    "draw_consumption_chart",
    "draw_dose_plot",
    "draw_falls_plan",
    "draw_roof_plan",
    "draw_stage_line",
]
