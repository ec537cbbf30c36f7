"""Which checks are one piece of work, and of which kind."""

from engine.ahead.work_kinds import Piece, WorkKind, pieces_of
from engine.job.model.item_key import item_key


def pieces(*keys: str, soil: str = "clay", **bays: int) -> dict[str, Piece]:
    return {str(key): piece for key, piece in pieces_of([item_key(key) for key in keys], soil, bays).items()}


def test_all_checks_of_a_sleeve_are_one_piece_of_its_soil() -> None:
    found = pieces("posts.P2.driven_depth", "posts.P2.solid", "posts.P2.plumb", "posts.P2.eyes", soil="gravel")
    assert set(found.values()) == {Piece(WorkKind("posts", "sleeve in gravel"), "P2")}


def test_what_carries_the_eyes_tells_the_kind() -> None:
    found = pieces("posts.P1.eyes", "posts.P3.diameter", "posts.P3.eyes", "posts.P4.plate", "posts.P4.plumb", "posts.P5.2.old_sleeve")
    assert [piece.kind.name for piece in found.values()] == [
        *("eyes in a wall", "tree for cables", "tree for cables"),
        *("base plate", "base plate", "old sleeve"),
    ]


def test_each_brace_is_a_piece_and_its_post_goes_with_the_first() -> None:
    found = pieces("bracing.P5.foot_a", "bracing.P5.solid_b", "bracing.P5.plumb", "bracing.P5.footed", "bracing.P5.pinned")
    assert [(piece.kind.name, piece.of) for piece in found.values()] == [
        *(("brace", "P5 a"), ("brace", "P5 b"), ("brace", "P5 a"), ("brace", "P5 a"), ("post pinned", "P5")),
    ]


def test_wire_and_mesh_count_by_the_bays_of_their_loop() -> None:
    found = pieces("fabric.L1.wire_hung", "fabric.L1.mesh_hung", "fabric.L2.wire_hung", "fabric.P1-P2.infill", L1=3)
    assert [(piece.kind.name, piece.of, piece.counts) for piece in found.values()] == [
        *(("bay of wire and mesh", "L1", 3), ("bay of wire and mesh", "L1", 3), ("bay of wire and mesh", "L2", 0)),
        ("infill piece", "P1-P2", 1),
    ]


def test_loops_stakes_gates_and_checks() -> None:
    found = pieces(
        *("cables.L1.cut_length", "cables.job.round_again", "staking.P1-P2.flush", "gate.front.opening", "gate.drive.diagonal_a2"),
        *("layout.P1.flag", "layout.P1-P2.taped", "survey.job.dogs_asked", "survey.job.marks_seen", "punch.yard.walked"),
    )
    assert [piece.kind.name for piece in found.values()] == [
        *("cable loop", "loops read again", "bay of stakes", "gate", "gate of two leaves"),
        *("post set out", "bay taped", "survey check", "survey check", "closing check"),
    ]
    assert found["survey.job.dogs_asked"] != found["survey.job.marks_seen"]
