"""What a misspelt name most likely meant."""

from engine.job.likely_name import nearest


def test_a_misspelt_key_finds_its_neighbour():
    assert nearest("statoin_ft", ["station_ft", "offset_ft", "line"]) == "station_ft"
    assert nearest("Kind", ["kind", "line"]) == "kind"
    assert nearest("colour", ["kind", "line"]) is None
