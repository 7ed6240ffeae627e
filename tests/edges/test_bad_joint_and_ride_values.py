"""Values that cannot be are refused with what is wrong, and worst cases come out as worst cases."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.joints.pins import Pin
from handbarrow.laws.joints.plates import AxlePlate, Gusset
from handbarrow.laws.joints.round_chord import round_joint
from handbarrow.laws.joints.square_chord import square_joint
from handbarrow.laws.joints.values import TubeJoint
from handbarrow.laws.ride.body import Person, Posture
from handbarrow.laws.ride.braking import stopping_limit
from handbarrow.laws.ride.effort import steepest
from handbarrow.laws.ride.lifting import LIFT_GUIDES, hand_loads, lift_use, team_factor
from handbarrow.laws.ride.loads import Bicycle, Carrier, positions_in_band
from handbarrow.laws.ride.mass import MassPoint, centre_of
from handbarrow.laws.ride.tipping import parked_tipping, tipping_threshold, turning_speed
from handbarrow.laws.ride.turning import Swivel, steady_turn, swivel_need, swivel_use, tightest_turn
from handbarrow.laws.ride.wheels import axle_angles, camber_track, scrub
from handbarrow.laws.welds.line import weld_line, weld_use
from handbarrow.laws.welds.strength import WELD_STEELS, WeldSteel, gap_leg, weld_steel

TUBE = Section(shape="round tube", height=30, width=30, wall=2)
BOX = Section(shape="square tube", height=30, width=30, wall=2)
BAR = Section(shape="round bar", height=8, width=8)
PIN = {"diameter": 8, "strength_mpa": 400, "yield_mpa": 240, "outer": 4, "inner": 5, "gap": 0, "plate_yield_mpa": 235}


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"chord": BAR}, "the chord is bar 8, not a tube"),
        ({"brace": BAR}, "the brace is bar 8, not a tube"),
        ({"angle_rad": 0.0}, "angle_rad=0 must lie above 0"),
        ({"angle_rad": 2.0}, "angle_rad=2 must lie above 0"),
        ({"yield_mpa": 0.0}, "yield_mpa=0 MPa"),
        ({"brace_yield_mpa": -1.0}, "brace_yield=-1 MPa"),
    ],
)
def test_joints_that_cannot_be(change: dict[str, object], says: str) -> None:
    values = {"kind": "T", "chord": TUBE, "brace": TUBE, "angle_rad": 1.0, "yield_mpa": 235.0} | change
    with pytest.raises(ValueError, match=says):
        TubeJoint(**values)  # type: ignore[arg-type]


def test_each_rule_refuses_the_other_ones_chord() -> None:
    with pytest.raises(ValueError, match="not a round tube"):
        round_joint(TubeJoint(kind="T", chord=BOX, brace=TUBE, angle_rad=1.0, yield_mpa=235))
    with pytest.raises(ValueError, match="not a square or rectangular tube"):
        square_joint(TubeJoint(kind="T", chord=TUBE, brace=TUBE, angle_rad=1.0, yield_mpa=235))


@pytest.mark.parametrize("name", ["diameter", "outer", "yield_mpa"])
def test_pins_without_size(name: str) -> None:
    with pytest.raises(ValueError, match=f"{name}=0"):
        Pin(**(PIN | {name: 0}))
    with pytest.raises(ValueError, match="gap=-1"):
        Pin(**(PIN | {"gap": -1}))


def test_plates_and_welds_without_size() -> None:
    with pytest.raises(ValueError, match="thickness=0"):
        AxlePlate(thickness=0, width=50, drop=60, hole=10, edge=15, yield_mpa=235)
    with pytest.raises(ValueError, match="weld=0"):
        Gusset(thickness=3, weld=0, apart=20, free=0, free_edge=60, yield_mpa=235)
    with pytest.raises(ValueError, match="2 points make no closed weld"):
        weld_line(np.zeros((2, 3)), (0, 0, 1))
    with pytest.raises(ValueError, match="no length"):
        weld_line(np.zeros((5, 3)), (0, 0, 1))
    ring = weld_line(np.array([(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)], float), (0, 0, 1))
    with pytest.raises(ValueError, match="throat=0 mm"):
        weld_use(ring, 0.0, np.zeros(6), (0, 0, 0), WELD_STEELS[0])
    with pytest.raises(ValueError, match="strength_mpa=0"):
        WeldSteel(name="air", strength_mpa=0, correlation=0.8, source="none")
    assert weld_steel(600).correlation == 1.0 and "memory" in weld_steel(600).source
    assert gap_leg(3, 0.5) == 3.5


def test_masses_people_and_carriers_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="hole: mass_kg=-1"):
        MassPoint(name="hole", mass_kg=-1, at=(0, 0, 0))
    with pytest.raises(ValueError, match="weighs nothing"):
        centre_of([MassPoint(name="air", mass_kg=0, at=(0, 0, 0))])
    with pytest.raises(ValueError, match="stature=0"):
        Person(mass_kg=60, stature=0)
    with pytest.raises(ValueError, match="back_rad=-"):
        Posture(hip=(0, 0, 0), head="back", back_rad=-0.1)
    with pytest.raises(ValueError, match="track=0"):
        Carrier(axle=0, track=0, hitch=(1000, 400))
    with pytest.raises(ValueError, match="must lie before the axle"):
        Carrier(axle=0, track=700, hitch=(-100, 400))
    with pytest.raises(ValueError, match="wheelbase=0"):
        Bicycle(mass_kg=80, wheelbase=0, centre=(0, 0), hitch=(0, 0))


def test_a_load_without_weight_cannot_balance_anything() -> None:
    cart = Carrier(axle=0, track=700, hitch=(1500, 400))
    with pytest.raises(ValueError, match="weighs 0 kg"):
        positions_in_band(cart, (20, (0, 0, 400)), (0, (0, 0, 400)), (10, 100))


def test_what_stands_on_two_feet_falls() -> None:
    with pytest.raises(ValueError, match="span no surface"):
        parked_tipping([(0, 0), (100, 0), (200, 0)], (50, 0, 300))
    with pytest.raises(ValueError, match="above the ground"):
        parked_tipping([(0, 0), (100, 0), (0, 100)], (50, 50, 0))
    tips = parked_tipping([(0, 0), (100, 0), (0, 100)], (200, 10, 300))
    assert tips.forward < 0 and tips.any < 0


def test_a_carrier_hung_below_its_hitch_slides_before_it_tips() -> None:
    cart = Carrier(axle=0, track=700, hitch=(1000, 900))
    assert math.isinf(float(tipping_threshold(cart, (800.0, 0.0, 300.0))))
    assert math.isinf(float(turning_speed(math.inf, 3000.0)))
    assert float(tipping_threshold(cart, (0.0, 400.0, 300.0))) < 0, "its load hangs outside its wheel"


def test_no_team_and_wrong_hands() -> None:
    with pytest.raises(ValueError, match="0 people lift nothing"):
        team_factor(0)
    with pytest.raises(ValueError, match="turns out of the hands"):
        hand_loads([(0, 0), (1000, 0)], 100.0, (500.0, 100.0))
    with pytest.raises(ValueError, match="1 people for 2 places"):
        lift_use([(0, 0), (1000, 0)], 20.0, (500.0, 0.0), LIFT_GUIDES[:1])


def test_force_that_lifts_the_load_climbs_anything() -> None:
    assert math.isinf(float(steepest(2000.0, 100.0, 0.02)))
    assert float(steepest(0.0, 100.0, 0.02)) == pytest.approx(-0.02), "it rolls only downhill"


def test_too_steep_to_be_held() -> None:
    cart = Carrier(axle=0, track=700, hitch=(1500, 400))
    bicycle = Bicycle(mass_kg=80, wheelbase=1050, centre=(450, 1000), hitch=(0, 400))
    assert stopping_limit(cart, 150.0, (50.0, 0.0, 600.0), bicycle, downhill_rad=math.atan(0.3), grip=0.3) < 0


def test_hitch_that_cannot_turn() -> None:
    assert math.isinf(tightest_turn(0.0, 1500.0, 0.0))
    assert tightest_turn(0.0, 1500.0, 3.0) == 1500.0
    stiff = Swivel(pitch_rad=0.4, yaw_rad=1.0, roll_rad=0.0)
    need = swivel_need((1500, 760), (1050, 80), bend_rad=0.8, step=120, grade=0.3, lean_rad=math.radians(30))
    use = swivel_use(need, stiff)
    assert math.isinf(use.worst) and use.yaw == pytest.approx(0.8)
    assert need.pitch_rad == pytest.approx(math.atan(0.3)) and need.roll_rad > math.radians(39)
    pivots = steady_turn(1000.0, 0.0, 1500.0, wheelbase=1050, half_width=400, tail=900)
    assert float(pivots.axle) == 0 and float(pivots.bend_rad) == pytest.approx(math.pi / 2)


def test_wheels_that_stand_askew() -> None:
    # plane geometry by hand: 3 mm over 100.5 mm
    toe, camber = axle_angles(3.0, 0.0, 100.5)
    assert camber == 0 and toe == pytest.approx(0.02984, abs=1e-5)
    found = scrub(toe, 500.0)
    assert float(found.sideways) == pytest.approx(29_850, abs=20), "30 m aside on each kilometre"
    sliding = scrub(0.5, 500.0)
    assert float(sliding.drag) == pytest.approx(2 * 0.7 * 500 * math.sin(0.5)), "no more than the grip"
    assert camber_track(700, 330, -0.02) < 700
