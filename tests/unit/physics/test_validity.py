"""Which value lies outside a range."""

import numpy as np

from airledger.physics.validity import outlier


def test_the_ends_belong_to_the_range():
    assert outlier(0.0, 0.0, 1.0) is None
    assert outlier(np.array([0.0, 1.0]), 0.0, 1.0) is None


def test_the_first_offender_is_named():
    assert outlier(np.array([[0.5, 2.0], [-3.0, 0.1]]), 0.0, 1.0) == 2.0
    assert outlier(-1, 0.0, 1.0) == -1.0


def test_not_a_number_lies_outside():
    assert np.isnan(outlier(np.array([0.5, np.nan]), 0.0, 1.0))
    assert np.isnan(outlier(float("nan"), 0.0, 1.0))
