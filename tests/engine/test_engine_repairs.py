"""The repairs that labour and materials take up."""

import pytest
from engine_jobs import changed, one_area, with_check

from sheetgen.engine.job import compute
from sheetgen.engine.records import Area, Joint, Line, Product, Role, Task, Zone


class TestRepairs:
    """A kitchen with a hollow patch, a patio with cracks: what is accepted is worked and bought, and only there."""

    JOB = one_area(
        zones=(
            Zone(name="Kitchen", hollow_area=6),
            Zone(name="Patio", place="outside", hollow_area=4, moving_cracks="yes"),
            Zone(name="Hall"),
        ),
        areas=tuple(Area(zone=name, first=10, second=10) for name in ("Kitchen", "Patio", "Hall")),
        joints=(Joint(zone="Patio", kind="moving_crack", length=12), Joint(zone="Hall", kind="still_crack", length=5)),
        products=(Product(name="Topping", unit="bag", size=1, price=40), Product(name="Mortar", size=1, price=10)),
        lines=(Line(name="Repair mortar", product="Mortar", basis="hollow", dose=1, repair="hollow"),),
        roles=(Role(name="Helper", wage=20),),
        tasks=(
            Task(name="Patch hollow areas", role="Helper", basis="hollow", rate=2, repair="hollow"),
            Task(name="Treat moving cracks", role="Helper", basis="crack", rate=6, repair="cracks", set_up=0.5, set_up_per="zone"),
            Task(name="Fetch the saw", role="Helper", basis="once", rate=1, repair="cracks"),
            Task(name="Sweep", role="Helper", basis="area", rate=100),
        ),
    )

    def hours(self, job):
        return compute(job).column("labour.hours", "accepted")

    def test_nothing_is_accepted(self):
        values = compute(self.JOB)

        assert self.hours(self.JOB) == (0, 0, 0, 3)
        assert values.column("line_needs.need", "accepted") == (0,)
        assert values.column("repairs.always") == (1, 1, 1)
        assert values.column("repairs.hollow") == (0, 0, 0)

    def test_one_zone(self):
        job = with_check(self.JOB, "hollow", zone=1, repair="yes")

        assert self.hours(job) == (2, 0, 0, 3)
        assert compute(job).column("line_needs.need", "accepted") == (4,)
        assert compute(job).column("repairs.hollow") == (0, 1, 0)

    def test_two_zones(self):
        job = with_check(with_check(self.JOB, "hollow", zone=0, repair="yes"), "hollow", zone=1, repair="yes")

        assert self.hours(job)[0] == 5

    def test_only_what_fails_is_repaired(self):
        """Cracks are not known in the hall: a yes there asks for nothing."""
        job = with_check(self.JOB, "cracks", zone=2, repair="yes")

        assert self.hours(job)[1:3] == (0, 0)

    def test_cracks_and_once(self):
        """Half an hour of set-up, 12 ft at 6 ft/h, and the saw fetched once."""
        job = with_check(self.JOB, "cracks", zone=1, repair="yes")

        assert self.hours(job) == (0, 2.5, 1, 3)

    @pytest.mark.parametrize(("scope", "fetched"), [({"zone": "Patio"}, 1), ({"zone": "Hall"}, 0), ({"surface": "wall"}, 0), ({"surface": "floor"}, 1)])
    def test_once_needs_a_zone_in_scope(self, scope, fetched):
        job = changed(with_check(self.JOB, "cracks", zone=1, repair="yes"), "tasks", 2, **scope)

        assert self.hours(job)[2] == fetched

    def test_a_task_that_repairs_no_criterion(self):
        job = changed(self.JOB, "tasks", 0, repair="ghosts")
        values = compute(job)

        assert values.column("tasks.fault")[0] == 9
        assert values.scalar("price.total", "accepted") is None

    def test_a_line_that_repairs_no_criterion(self):
        values = compute(changed(self.JOB, "lines", 0, repair="ghosts"))

        assert values.column("lines.fault") == (7,)
        assert values.scalar("price.total", "accepted") is None

    def test_hollow_area_as_a_basis(self):
        """0 where it is blank; no figure where the zone has a fault."""
        assert compute(self.JOB).column("basis.hollow", "accepted") == (6, 4, 0)
        assert compute(changed(self.JOB, "areas", 0, second=None)).column("basis.hollow", "accepted") == (None, None, None)
