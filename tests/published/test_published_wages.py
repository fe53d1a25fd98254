"""What a wage costs the employer: the loaded wage is common practice, no source; its taxes are read."""

import pytest

from sheetgen.engine.labour import loaded_wage


@pytest.mark.parametrize(("wage", "loaded"), [(32, 41.044), (24, 31.408)])
def test_loaded_wage(wage, loaded):
    """Worked job: 32 · 1.2045 + 2.50 and 24 · 1.2045 + 2.50, arithmetic."""
    assert loaded_wage(wage, 0.0845, 0.09, 0.03, 2.50) == pytest.approx(loaded, abs=1e-12)


def test_social_security_and_medicare():
    """FICA 6.2 % and 1.45 %, read: without anything else an hour at $20 costs $21.53."""
    assert loaded_wage(20, 0.062 + 0.0145, 0, 0, 0) == pytest.approx(21.53, abs=1e-12)
