"""The form of one reading: three figures, and what else there is to say folded away."""

from __future__ import annotations

from qa.record.fields import Json
from qa.services.reading import ReadJob
from qa.services.remembering import last_recorded
from qa.texts.saying import say, to_say
from qa.trade.vocabulary import Stage
from qa.web.forms import ChoiceField, EarlierField, NumberField, Option, SiteForm
from qa.web.frame import actor
from qa.web.roof.several import SeveralField

_RAIN = (Option(value="no", label=to_say("No rain")), Option(value="yes", label=to_say("It rains")))


class ConditionsForm(SiteForm):
    """One look at thermometer, hygrometer and sky."""

    air_c = NumberField(to_say("Air"), unit="°C", signed=True)
    humidity_pct = NumberField(to_say("Humidity"), unit="%")
    deck_c = NumberField(to_say("Deck surface"), unit="°C", signed=True)
    rain = ChoiceField(to_say("Rain"), options=_RAIN, optional_word=to_say("if somebody looked"))
    moisture_pct = NumberField(to_say("Moisture of the boards"), unit="%")
    wind_m_per_s = NumberField(to_say("Wind"), unit="m/s")
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is of one area"))
    instruments = SeveralField(to_say("Read with"))
    earlier = EarlierField(to_say("It was earlier"))

    def propose(self, read: ReadJob) -> None:
        """Offers the job's areas and instruments, and ticks those that were used last."""
        areas = [area.body for area in read.job.areas]
        self.area.options = (
            Option(value="", label=say("The whole roof")),
            *(Option(value=area.area, label=area.name) for area in areas),
        )
        registered = [one.body for one in read.job.instruments]
        self.instruments.options = tuple(
            Option(value=one.instrument, label=one.name, hint=one.measures) for one in registered
        )
        if self.sent:
            return
        last = last_recorded(read.job.conditions, actor().key)
        used = () if last is None else last.body.instruments or ()
        offered = {one.instrument for one in registered}
        self.instruments.process_data(key for key in used if key in offered)
        self.area.process_data("" if last is None else last.body.area or "")

    def body(self, stage: Stage) -> dict[str, Json]:
        """The body of the reading; None stands for what was left empty."""
        rain = self.rain.data
        return {
            "stage": stage.value,
            "area": self.area.data or None,
            "air_c": self.air_c.data,
            "humidity_pct": self.humidity_pct.data,
            "deck_c": self.deck_c.data,
            "moisture_pct": self.moisture_pct.data,
            "wind_m_per_s": self.wind_m_per_s.data,
            "rain": None if rain is None else rain == "yes",
            "instruments": list(self.instruments.data) or None,
        }
