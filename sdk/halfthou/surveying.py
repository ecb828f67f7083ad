"""The part of the client for surveys: several diameters of one feature, or several things of one kind, and what follows from them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from . import asking
from .asking_surveys import SurveyReadings, several_places, survey_body
from .errors import UnexpectedAnswer
from .models import SheetAnswer, SurveyAnswer
from .quantities import QuantityLike
from .table_reader import TableReader

if TYPE_CHECKING:
    pass


class Surveyor(TableReader):
    """Works out surveys."""

    def survey(
        self,
        feature: str,
        readings: SurveyReadings,
        *,
        instance: str | None = None,
        instrument: str | None = None,
        unit: str | None = None,
        new: QuantityLike | None = None,
        new_uncertainty: QuantityLike | None = None,
        same_tool: bool = False,
        standard_uncertainty: QuantityLike | None = None,
        expanded_uncertainty: QuantityLike | None = None,
        coverage_factor: float | None = None,
        shared_uncertainty: QuantityLike | None = None,
        temperature: QuantityLike | None = None,
        instrument_temperature: QuantityLike | None = None,
        material: str | None = None,
        state: str | None = None,
        confirmed: bool = False,
        note: str | None = None,
        survey_id: str = "s1",
        engine_class: str | None = None,
        use: str | None = None,
        features: Iterable[str] | str | None = None,
        dimensions: asking.Dimensions | None = None,
        engine: Mapping[str, Any] | None = None,
        **rules: Any,
    ) -> SurveyAnswer:
        """What the diameters of one feature show: smallest, largest, mean, out-of-round, taper, wear, with a verdict on each that has a limit.

        ::

            shop.survey("cylinder-bore", {"top": {"thrust": "5.2621 in", "pin": "5.2574 in"}, "below": {"thrust": "5.2516 in",
                        "pin": "5.2511 in"}}, instrument="dial-bore-gauge", engine_class="slow-open-crank", dimensions={"bore": "5-1/4 in"})

        Args:
            feature: ``crankpin``, ``main-journal``, ``cylinder-bore``, ``piston-skirt``, ``wrist-pin`` ... (:meth:`several` for rings, teeth,
                valves)
            readings: by station and axis; a list in place of a reading holds repeats.
            unit: of readings given as bare numbers.
            new: the size when new, or where nothing ever ran, for the wear; ``same_tool`` where the same tool read both.
            standard_uncertainty: of one reading, in place of the instrument's; ``shared_uncertainty`` is what all readings have in common.
            rules: ``confidence``, ``decision_rule``, ``ratio``, ``judged_by``, ``units``.

        A clearance follows from two surveys: send both in a sheet (:meth:`Client.judge_sheet`).

        Raises:
            QuantityError: a reading cannot be read; the message names its place.
            Refused: the service found a fault in the survey.
        """
        survey = {
            "id": survey_id,
            "feature": feature,
            "instance": instance,
            "instrument": instrument,
            "unit": unit,
            "readings": readings,
            "new": new,
            "new_uncertainty": new_uncertainty,
            "same_tool": same_tool,
            "standard_uncertainty": standard_uncertainty,
            "expanded_uncertainty": expanded_uncertainty,
            "coverage_factor": coverage_factor,
            "shared_uncertainty": shared_uncertainty,
            "temperature": temperature,
            "instrument_temperature": instrument_temperature,
            "material": material,
            "state": state,
            "confirmed": confirmed,
            "note": note,
        }
        built = asking.engine_body(engine, engine_class=engine_class, use=use, features=features, dimensions=dimensions)
        body = {"engine": built, "surveys": [survey_body(survey)], **{k: v for k, v in rules.items() if v is not None}}
        answer = SheetAnswer.from_json(self.post("/v1/verdicts", body, pure=True))
        if len(answer.surveys) != 1:
            raise UnexpectedAnswer(f"one survey was sent, {len(answer.surveys)} came back")
        return answer.surveys[0]

    def several(
        self,
        feature: str,
        readings: Mapping[str, Any],
        *,
        instance: str | None = None,
        station: str | None = None,
        **more: Any,
    ) -> SurveyAnswer:
        """What one reading of each of several things shows: smallest, largest, mean, spread, with a verdict on those that have a limit.

        ::

            shop.several("ring-end-gaps", {"ring 1": "22 thou", "ring 2": "24 thou", "ring 3": "31 thou"}, station="below ring travel",
                         engine_class="slow-open-crank", dimensions={"bore": "5-1/4 in"})

        Args:
            feature: ``ring-end-gaps``, ``timing-gear-meshes``, ``valve-face-runouts``, ``valve-margins`` ...
            readings: by instance; or by place of one thing, where ``instance`` says which (``valve-margins`` of the ``exhaust`` valve). A
                list in place of a reading holds repeats.
            station: where all of them were read, such as ``below ring travel``.
            more: as for :meth:`survey`.

        Raises:
            QuantityError: a reading cannot be read; the message names its place.
            Refused: the service found a fault in the survey.
        """
        of_one = instance is not None
        told = several_places(readings, "station" if of_one else "instance", station, more.get("unit") is not None)
        return self.survey(feature, told, instance=instance, **more)


__all__: list[str] = ["SurveyReadings", "Surveyor"]
