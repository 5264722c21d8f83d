"""What the law says of the size of a mark: nothing in 14 CFR 48.205; Part 45 has sizes of its own for N-numbers."""

from __future__ import annotations

from airwrit.law.parameters import parameter

HEIGHT_SET = parameter("mark_letter_height_set", bool)
PART_45_SIZES = parameter("part_45_sets_mark_sizes", bool)
