"""Three vehicles of commonroad-vehicle-models, read again at every run.

The package gives masses, distances, heights, rates and a multi-body model that starts from its
own static equilibrium. Expected figures were worked out from its records and rounded to the
places shown; tolerance half a step, or 0.5 % for the vibration figures.
"""

import numpy as np
import pytest

from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.formulas.dampers import damping_ratio
from configurator.formulas.mass import cg_behind_front_axle, front_axle_mass, rear_axle_mass
from configurator.formulas.springs import ride_frequency, ride_rate, wheel_hop_frequency
from configurator.formulas.stability import side_tip_angle, static_stability_factor

REASON = "commonroad-vehicle-models is installed for tests only"
pytest.importorskip("vehiclemodels", reason=REASON)


def record(number):
    name = f"parameters_vehicle{number}"
    module = pytest.importorskip(f"vehiclemodels.{name}", reason=REASON)
    return getattr(module, name)()


@pytest.fixture(scope="module", params=[1, 2, 3])
def vehicle(request):
    return record(request.param)


def test_mass_on_the_front_axle_of_vehicle_1():
    """63.06 % and 773.0 kg in front."""
    car = record(1)
    front = front_axle_mass(car.m, car.a + car.b, car.a)
    assert front == pytest.approx(773.0, abs=0.1)
    assert front / car.m == pytest.approx(0.6306, abs=5e-5)


def test_axle_loads_against_the_static_state_of_its_own_model(vehicle):
    """Its model sets each axle down on its tyres: compression times two tyre rates is the load."""
    module = pytest.importorskip("vehiclemodels.init_mb", reason=REASON)
    state = module.init_mb([0.0] * 7, vehicle)
    wheelbase = vehicle.a + vehicle.b
    front, rear = state[16], state[21]  # vertical places of the two axles
    loads = [2 * vehicle.K_zt * place for place in (front, rear)]
    mine = [
        front_axle_mass(vehicle.m_s, wheelbase, vehicle.a) + vehicle.m_uf,
        rear_axle_mass(vehicle.m_s, wheelbase, vehicle.a) + vehicle.m_ur,
    ]
    weights = [mass * STANDARD_GRAVITY.value for mass in mine]
    assert weights == pytest.approx(loads, rel=5e-4)  # it takes g as 9.81, 0.03 % more


def test_place_of_the_cg_is_found_again_from_the_axles(vehicle):
    wheelbase = vehicle.a + vehicle.b
    axles = [f(vehicle.m, wheelbase, vehicle.a) for f in (front_axle_mass, rear_axle_mass)]
    assert sum(axles) == pytest.approx(vehicle.m)
    assert cg_behind_front_axle(*axles, wheelbase) == pytest.approx(vehicle.a)


def test_static_stability_factor_of_vehicle_1():
    """1.2609 and 51.58 degrees with the mean track, in the definition of 68 FR 59249."""
    car = record(1)
    track = (car.T_f + car.T_r) / 2
    assert static_stability_factor(track, car.h_cg) == pytest.approx(1.2609, abs=5e-5)
    assert np.degrees(side_tip_angle(track, car.h_cg)) == pytest.approx(51.58, abs=5e-3)
    # Whole track over height is twice the factor.
    assert track / car.h_cg != pytest.approx(1.2609, rel=0.5)


@pytest.mark.parametrize(
    ("number", "body", "with_tyre", "damping", "hop"),
    [
        (1, 1.268, 1.200, 0.265, 12.78),
        (2, 1.525, 1.419, 0.350, 12.05),
        (3, 1.555, 1.445, 0.350, 12.40),
    ],
)
def test_front_suspension(number, body, with_tyre, damping, hop):
    """A corner is half an axle; the tyre's rate is that of one tyre. Hop to 0.01 Hz."""
    car = record(number)
    sprung = front_axle_mass(car.m_s, car.a + car.b, car.a) / 2
    unsprung = car.m_uf / 2
    assert ride_frequency(car.K_sf, sprung) == pytest.approx(body, rel=0.005)
    soft = ride_rate(car.K_sf, car.K_zt)
    assert ride_frequency(soft, sprung) == pytest.approx(with_tyre, rel=0.005)
    assert damping_ratio(car.K_sdf, car.K_sf, sprung) == pytest.approx(damping, rel=0.005)
    assert wheel_hop_frequency(car.K_sf, car.K_zt, unsprung) == pytest.approx(hop, abs=0.005)
