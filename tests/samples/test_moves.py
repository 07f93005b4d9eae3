import numpy as np
import pytest

from gradecut.samples._moves import Man, Order, play_out


def man(name: str, side: str, start: tuple[float, float], *orders: Order) -> Man:
    """Return a man of no special build."""
    return Man(name=name, side=side, number="1", start=start, stance="ready", orders=orders)


def test_a_man_without_orders_stays_where_he_is() -> None:
    """Standing still is exact."""
    paths = play_out([man("A", "defence", (3.0, 1.0))], -0.5, 0.5)
    assert (paths.places == (3.0, 1.0)).all()


def test_a_man_gets_where_he_is_sent_no_faster_than_he_may() -> None:
    """He speeds up, keeps to his pace, and stops at the place."""
    sent = Order(at_s=0.2, to=(4.0, 3.0), pace=5.0, push=7.0)
    paths = play_out([man("A", "offence", (0.0, 0.0), sent)], 0.0, 2.5)
    speed = np.linalg.norm(paths.velocities[:, 0], axis=1)
    assert paths.places[-1, 0] == pytest.approx((4.0, 3.0), abs=0.1)
    assert speed.max() <= 5.0 + 1e-9
    assert (speed[paths.times_s < 0.2] == 0).all()
    assert np.diff(speed).max() <= 7.0 / 120 + 1e-9


def test_men_do_not_run_through_one_another() -> None:
    """Two who meet head on stay a body's width apart."""
    a = man("A", "offence", (0.0, 0.0), Order(at_s=0.0, to=(4.0, 0.05)))
    b = man("B", "defence", (4.0, 0.05), Order(at_s=0.0, to=(0.0, 0.0)))
    paths = play_out([a, b], 0.0, 1.5)
    apart = np.linalg.norm(paths.places[:, 0] - paths.places[:, 1], axis=1)
    assert apart.min() > 0.6
    assert paths.met.max() == 1.0
