"""The made-up shop is worth trying things in: its fits rest on what they should, and come in every standing."""

from blockwright.fits.assessment import Standing

from .book import fit_does
from .shop import FILM, HARBOUR, SIDE, TURN, WALL, WALL_1, World, fit_now, rests_on


def test_what_the_fits_of_the_shop_rest_on() -> None:
    """The bore across the thrust and both readings of the skirt; one bearing bore and one journal; the blades between the rods."""
    named = {reading.id: (reading.part, reading.feature, reading.at) for reading in HARBOUR.readings}
    found = {at: {named[mark] for mark, _ in rests_on(World(), at)} for at in (WALL, FILM, SIDE)}
    assert found[WALL] == {("B1", "bore", "cylinder 2"), ("P2", "skirt", "")}
    assert found[FILM] == {("C2", "big end shelled bore", ""), ("K1", "rod journal", "throw 2")}
    assert found[SIDE] == {("engine", "rod side", "throw 2")}
    assert len(rests_on(World(), WALL)) == 3


def test_the_shop_has_every_standing_in_it() -> None:
    """What the state machine may come upon; none of it would be worth much if every fit conformed whatever is done."""
    worlds = (World(), World(piston=""), World(low_m=2.0e-4, high_m=1e-3), World(low_m=1.28e-4, high_m=1e-3))
    assert [fit_now(world, WALL).standing for world in worlds] == [
        Standing.CONFORMS, Standing.OPEN, Standing.NONCONFORMING, Standing.UNDECIDED,
    ]  # fmt: skip
    assert fit_now(World(turning_high_nm=None), TURN).standing is Standing.UNLIMITED
    assert fit_now(World(turning_high_nm=0.5), TURN).standing is Standing.NONCONFORMING
    assert not fit_does(World(), WALL_1)
