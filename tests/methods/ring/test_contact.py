"""The nearest point of an elliptic wall, for points set off from it along its normal by hand."""

import numpy as np
import pytest

from linerdesign.methods.ring.contact import Cavity


@pytest.mark.parametrize("inside", [-0.01, 0.0, 0.01, 0.1])
@pytest.mark.parametrize("ovality", [0.02, 0.05, 0.1])
def test_a_point_set_off_along_the_normal_finds_its_foot(ovality, inside):
    """The gradient of (x/a)^2 + (y/b)^2 is normal to the wall: along (b cos t, a sin t). The
    curvature is a b/(a^2 sin^2 t + b^2 cos^2 t)^(3/2). The normal is right to 1e-6 up to a tenth
    of the radius inside at an ovality of 10 %."""
    a, b = 1.0 + ovality, 1.0 - ovality
    t = np.linspace(0.0, 2.0 * np.pi, 49)
    along = np.stack([b * np.cos(t), a * np.sin(t)])
    speed = np.hypot(*along)
    points = np.stack([a * np.cos(t), b * np.sin(t)]) - inside * along / speed
    distance, normal, curvature = Cavity(a, b).nearest(points.T)
    assert distance == pytest.approx(np.full(t.size, inside), abs=1e-11)
    assert np.abs(normal.T - along / speed).max() < 1e-6
    assert curvature == pytest.approx(a * b / speed**3, rel=1e-5)
    outward, bent = Cavity(a, b).outward(t)
    assert outward == pytest.approx((along / speed).T)
    assert bent == pytest.approx(a * b / speed**3)
