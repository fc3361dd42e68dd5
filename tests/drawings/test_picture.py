"""The picture for a customer: words that can be read, a body from measures or said to be none."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from configurator.drawings import NARROW, PICTURES, WIDE, draw_picture
from configurator.drawings.body import MEASURES
from configurator.evaluation.evaluator import Evaluation
from tests.drawings.cases import JOBS, evaluation, package

SVG = "{http://www.w3.org/2000/svg}"


def parts(picture, name, of="after"):
    root = ElementTree.fromstring(picture.svg)
    (group,) = [g for g in root.iter(f"{SVG}g") if g.attrib.get("data-of") == of]
    return [path for path in group.iter(f"{SVG}path") if path.attrib.get("data-part") == name]


def points(path):
    return [
        tuple(map(float, p.split())) for p in re.findall(r"-?[\d.]+ -?[\d.]+", path.attrib["d"])
    ]


def without(judged, names):
    """Take measures of the body off a vehicle."""
    values = {k: v for k, v in judged.case.vehicle.values.items() if k not in names}
    case = replace(judged.case, vehicle=replace(judged.case.vehicle, values=values))
    return Evaluation(case, judged.trade)


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("width", [NARROW, WIDE])
def test_words_are_large_enough_and_stay_in_the_picture(job, name, width):
    picture = draw_picture(evaluation(job), package(job), name, width=width)
    root = ElementTree.fromstring(picture.svg)
    texts = list(root.iter(f"{SVG}text"))
    assert len(texts) >= 6
    for text in texts:
        size = float(text.attrib["font-size"])
        assert size >= 14
        x, wide = float(text.attrib["x"]), 0.6 * size * len(text.text)
        left = x - {"start": 0, "middle": wide / 2, "end": wide}[text.attrib["text-anchor"]]
        assert left >= -1
        assert left + wide <= picture.width + 1
        assert 0 < float(text.attrib["y"]) < picture.height


@pytest.mark.parametrize("job", JOBS)
def test_the_body_stands_as_much_higher_as_the_rules_say(job):
    judged, choice = evaluation(job), package(job)
    picture = draw_picture(judged, choice, "side")
    (before,), (after,) = parts(picture, "body", "before"), parts(picture, "body")
    wheel_front, wheel_rear = parts(picture, "tyre")
    middle = lambda path: sum(x for x, _ in points(path)) / len(points(path))  # noqa: E731
    wheelbase = judged.case.vehicle.values["wheelbase"] * 1000
    scale = (middle(wheel_rear) - middle(wheel_front)) / wheelbase
    for axle, at in (("front", 0.0), ("rear", wheelbase)):
        rise = judged.figure(f"{axle} body rise", choice) * 1000
        moved = [
            ((y1 - y2) / scale, (x1 - middle(wheel_front)) / scale)
            for (x1, y1), (_, y2) in zip(points(before), points(after), strict=True)
        ]
        near = min(moved, key=lambda entry: abs(entry[1] - at))
        assert near[0] == pytest.approx(rise, abs=25)


def test_a_body_that_was_not_measured_is_schematic_and_says_so():
    unmeasured = without(evaluation(JOBS[0]), MEASURES)
    picture = draw_picture(unmeasured, unmeasured.fitted, "side")
    assert "schematic body" in picture.svg
    assert any("schematic" in remark for remark in picture.remarks)
    assert parts(picture, "body")


def test_a_body_that_lacks_a_measure_names_it():
    unmeasured = without(evaluation(JOBS[0]), ["roof height"])
    picture = draw_picture(unmeasured, unmeasured.fitted, "side")
    assert any(remark.endswith("not measured: roof height") for remark in picture.remarks)


def test_a_measured_body_is_no_schematic():
    picture = draw_picture(evaluation(JOBS[0]), package(JOBS[0]), "side")
    assert "schematic" not in picture.svg + " ".join(picture.remarks)
    assert "height" in picture.svg


def test_text_of_a_vehicle_file_is_no_markup():
    judged = evaluation(JOBS[0])
    vehicle = replace(judged.case.vehicle, title="<script>alert(1)</script> & co")
    judged = Evaluation(replace(judged.case, vehicle=vehicle), judged.trade)
    picture = draw_picture(judged, judged.fitted, "side", titled=True)
    assert "<script" not in picture.svg
    assert ElementTree.fromstring(picture.svg) is not None


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
def test_both_views_state_the_same_height(job, last):
    stated = []
    for name in PICTURES:
        picture = draw_picture(evaluation(job), package(job, last), name)
        texts = [text.text for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]
        stated += [text for text in texts if text.startswith("height ")]
    assert len(set(stated)) <= 1, stated
    assert len(stated) in (0, len(PICTURES))
