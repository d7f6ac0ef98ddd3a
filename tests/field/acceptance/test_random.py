"""No accepted wall has a reading that `size` fails as the design thickness."""

from random_acceptances import failures


def test_no_accepted_wall_has_a_reading_that_fails():
    failed, accepted = failures(200, seed=19)
    assert failed == []
    assert accepted >= 25
