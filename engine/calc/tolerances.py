"""Are these two the same? Every tolerance of the house, each by the question it answers, with the reason for its size."""

ROUNDING_FT = 1e-6
"""Are two lengths that were worked out in two ways one length? Sums of floats over ten miles stray less than this, and no tape shows it."""

ROUNDING_PLACES = 9
"""To how many places is a length kept that stands for a place? Stations further along are larger floats: so far they give the same one."""

ROUNDING_DEG = 1e-6
"""Is a turn just as sharp as the rule says? The same of degrees: two azimuths of one line stray less than this."""

ROUNDING_IN = 0.01
"""Is a figure in inches over its rule, or over the last whole inch? Figures are shown to an eighth; a hundredth is arithmetic."""

ROUNDING_COUNT = 1e-6
"""Is a count of packs, steps or stakes whole, and does what is left suffice? A quotient of two lengths strays less than this."""

AT_REST_FT = 1e-8
"""Has an adjustment come to rest? Two digits past the rounding of lengths, so that its last step changes none of them."""

SAME_SPOT_FT = 0.01
"""Are these two one spot, so that nothing was moved and no direction runs between them? An eighth of an inch: closer than any tape sets."""

WRITTEN_FT = 1e-4
"""Are two stations still apart once they are written? A file keeps a plan's stations to four places."""

SAME_GROUND_FT = 0.001
"""Does a post stand on the ground it stood on? What a rod tells apart is ten times more, and stations as they are kept stray less."""

EDGE_FT = SAME_SPOT_FT
"""Does a place lie past an edge: of a keep-out, a stretch, a setback? One that is set on the edge, as near as anybody sets it, does not."""

TAPE_FT = 0.25 / 12
"""Is a length out of its rule? A quarter of an inch is what two tapings of one bay differ by: common practice, no source."""

STAKE_FT = 1 / 12
"""Does a stake stand where it stood? One is set by eye along a bay, and a bay whose post stands a foot off its line is half an inch shorter
along that than from post to post, so that a line drawn anew through the post moves no stake: judgement."""

TAPE_IN = 1 / 16
"""How far may a reading be off? Half of an eighth, the smallest mark that is read on a tape: common practice, no source."""

MARK_IN = 1 / 8
"""What is the least that a tape tells apart? Its smallest mark that is read: common practice, no source."""

ALIKE_IN = 0.1
"""Is one side of a gate better to open to? Less than a tape's mark is no reason to hang it the other way round."""

NO_GAP_IN = 0.5
"""Is there a gap between a post and what the line meets? No dog gets through less than half an inch: judgement."""

TOUCHING_FT = 0.05
"""Do these two touch, so that there is no bay, no stretch and no slope between them? Less than a post is thick: no fence fits there."""

ONE_SUPPORT_FT = 0.5
"""Would one support serve both? Two sleeves half a foot apart loosen each other's ground: common practice, no source."""

MEETS_FT = 0.5
"""Does a line meet the wall, the deck, the tree or the line that it is drawn up to? As near as a line's end is drawn: judgement."""

ONE_OPENING_FT = 1.0
"""Are a yard's gap and a line's free end one way out? A dog at one of them is at the other: judgement."""

AT_YARD_FT = 3.0
"""Does a thing at a yard's edge belong to that yard? A stride from the fence a dog still gets at it: judgement."""

STRAIGHT_DEG = 0.5
"""Does a line go straight on here? A string pulled past a turn of half a degree shows none: common practice, no source."""

SAME_WAY_DEG = 5.0
"""Does a brace still lean the way it was set? Less turns it by no more than its foot gives: judgement."""
