"""Places in rules where a mistake went unnoticed: found by making bundled rules wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator import testing
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import cautions_of
from configurator.model.parts import Missing
from configurator.model.value_contradictions import vehicle_contradictions


def stands(trade, figures=None, key="brennhall-tarn"):
    return Evaluation(testing.case(trade, testing.demo_vehicle(trade, key, figures)), trade)


def exchanged(evaluation, position, **values):
    """Return the vehicle with another part at a position, alike but for some values."""
    option = evaluation.fitted[position]
    named = {name.replace("_", " "): value for name, value in values.items()}
    part = replace(option.part, key="test/X", values={**option.part.values, **named})
    return {**evaluation.fitted, position: replace(option, part=part, changed=True)}


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_a_spring_that_stands_solid_as_it_is(trade, axle):
    vehicle = testing.demo_vehicle(trade, "brennhall-tarn")
    spring = vehicle.fitted[f"{axle} springs"]
    free, rate = spring.values["free length"], spring.values["rate"]
    standing = free - vehicle.values[f"{axle} spring load"] / rate
    for solid, broken in ((standing - 0.001, False), (standing + 0.001, True)):
        part = replace(spring, values={**spring.values, "solid length": solid})
        fitted = {**vehicle.fitted, f"{axle} springs": part}
        contradictions_found = vehicle_contradictions(trade, replace(vehicle, fitted=fitted))
        name = f"the {axle} springs stand free under their load"
        assert any(name in problem.what for problem in contradictions_found) is broken


@pytest.mark.parametrize("position", ["tyres", "wheels", "wheel nuts"])
def test_whatever_holds_a_wheel_is_tightened_again(trade, position):
    evaluation = stands(trade)
    before = {caution.name for caution in cautions_of(evaluation, evaluation.fitted)}
    after = {caution.name for caution in cautions_of(evaluation, exchanged(evaluation, position))}
    assert "re-torque the wheel fasteners" in after - before


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_a_measured_radius_grows_by_what_the_tyre_does(trade, axle):
    """Measured at 370 mm: the fitted tyre stands there, one 40 mm taller about 20 mm higher."""
    evaluation = stands(trade, {f"{axle} static radius": "370 mm"})
    figure = f"{axle} static radius"
    assert evaluation.figure(figure, evaluation.fitted) == pytest.approx(0.370)
    tall = evaluation.fitted["tyres"].part.values["overall diameter"] + 0.040
    higher = evaluation.figure(figure, exchanged(evaluation, "tyres", overall_diameter=tall))
    assert 0.385 <= higher <= 0.392
    narrow = evaluation.fitted["tyres"].part.values["section width"] - 0.060
    # A narrower tyre is softer and stands a little lower on the same diameter.
    lower = evaluation.figure(figure, exchanged(evaluation, "tyres", section_width=narrow))
    assert 0.355 < lower < 0.370


@pytest.mark.parametrize(
    ("shortest", "longest", "cut"),
    [
        (-0.020, 0.040, True),  # may be cut, and is too long
        (0.002, 0.002, False),  # may not be cut; the spline takes up the 2 mm
        (-0.020, 0.0, False),  # may be cut, and is right as it is
    ],
)
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_half_shafts_are_cut_where_they_may_be_and_are_too_long(
    trade, axle, shortest, longest, cut
):
    evaluation = stands(trade)
    needed = evaluation.figure(f"{axle} half-shaft length needed", evaluation.fitted)
    lengths = {"shortest_length": needed + shortest, "longest_length": needed + longest}
    choice = exchanged(evaluation, f"{axle} half-shafts", **lengths)
    names = {operation.name for operation in operations_of(evaluation, choice)}
    assert (f"cut and deburr the {axle} half-shafts" in names) is cut


def test_what_is_a_clearance_is_rounded_down(trade):
    evaluation = stands(trade, {"sill underside height": "437.6 mm"})
    assert evaluation.figure("clearance beside the sill", evaluation.fitted) == pytest.approx(0.437)


def test_a_top_speed_is_rounded_down(trade):
    evaluation = stands(trade, {"highest engine speed": "3011 rpm"})
    at_cruise = evaluation.figure("engine speed at cruise", evaluation.fitted)
    # 100 km/h is where the engine speed at cruise is told, in steps of 10 rpm.
    exact = 100.0 / 3.6 * evaluation.case.vehicle.values["highest engine speed"] / at_cruise
    assert exact * 3.6 % 1.0 > 0.05
    speed = evaluation.figure("top speed by gearing", evaluation.fitted)
    assert exact - 1 / 3.6 < speed < exact


def test_two_spares_sit_behind_the_rear_axle(trade):
    """Four wheels at half the wheelbase, two spares at 1.2 of it: (2 + 2.4) / 6 of 3 m."""
    places = trade.totals["front axle load"].function.__globals__["places"]
    assert places.behind_front_axle("wheels", 6, 3.0) == pytest.approx(2.2)


def test_half_a_millimetre_is_ground_off_a_truss(trade):
    fits = trade.fits["the front reinforcement fits the tube"]
    assert fits(0.0762 + 0.00058, 0.0762)
    assert not fits(0.0762 + 0.00065, 0.0762)


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_arches_that_were_trimmed_were_measured_so(trade, axle):
    vehicle = testing.demo_vehicle(trade, "brennhall-tarn")
    trimming = testing.demo_parts(trade, ["arch_trimming"])["arch_trimming"][0]
    fitted = {**vehicle.fitted, f"{axle} arch trimming": replace(trimming, key="fitted")}
    trimmed = replace(vehicle, fitted=fitted)
    evaluation = Evaluation(testing.case(trade, trimmed), trade)
    room = evaluation.figure(f"{axle} arch room", evaluation.fitted)
    assert room == pytest.approx(vehicle.values[f"{axle} arch room"])


def test_only_a_car_tyre_has_a_pressure_of_its_load_index_that_need_not_be_moulded(trade):
    reference = trade.figures["pressure of the load index"]
    assert reference("passenger", None) == pytest.approx(2.5e5)
    assert reference("light truck", None) is Missing.UNKNOWN
    assert reference("passenger", 2.9e5) == reference("light truck", 2.9e5) == 2.9e5


def test_new_tyres_that_carry_the_permitted_load_at_the_jobs_pressure_need_no_caution(trade):
    caution = trade.cautions["set the tyre pressure for the load"]
    assert caution(True, 2.1e5, 2.8e5, 2.4e5)
    assert not caution(True, 2.1e5, 2.3e5, 2.4e5)
    assert not caution(False, 2.1e5, 2.8e5, 2.4e5)


def test_a_diesel_gives_less_than_a_petrol_engine_at_half_the_speed_of_its_largest_power(trade):
    """Of 100 kW at half the speed: x + x^2 - x^3 is 62.5 %, 0.87 x + 1.13 x^2 - x^3 is 59.25 %.

    Genta, Motor Vehicle Dynamics, 1997, ch. 4 (from memory).
    """
    power = trade.figures["power in top gear"]
    petrol, diesel = (power(200.0, 100e3, 400.0, 1e6, fuel) for fuel in ("petrol", "diesel"))
    assert petrol == pytest.approx(62_500)
    assert diesel == pytest.approx(59_250)
    assert power(200.0, 100e3, 400.0, 100.0, "petrol") == pytest.approx(20_000)


def test_joints_that_hang_at_an_unknown_depth_before_are_not_judged(trade):
    rule = trade.limits["the front half-shaft joints turn freely at full droop"]
    assert rule(0.150, None, "independent") is Missing.UNKNOWN
    assert rule(None, 0.150, "independent") is Missing.UNKNOWN
    assert rule(0.150, 0.120, "independent") == pytest.approx(0.030)
    assert rule(0.150, None, "rigid") is None


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_a_wheel_of_its_own_goes_higher_by_what_its_stop_is_shorter(trade, axle):
    rise = trade.figures[f"{axle} wheel rise in twist"]
    assert rise(0.050, 0.2, 0.062, 0.1, 1.5, 0.8, "independent") == pytest.approx(0.012)


def test_what_holds_a_parked_vehicle_is_rounded_down(trade):
    """Two brakes of 1,030 N m are 2,060: in steps of 50, no more than 2,050."""
    evaluation = stands(trade)
    choice = exchanged(evaluation, "rear brakes", parking_brake_torque=1030.0)
    assert evaluation.figure("parking brake torque", choice) == pytest.approx(2050.0)
