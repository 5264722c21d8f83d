"""What 14 CFR 48.205 says of the size of a mark: nothing; Part 45 has sizes of its own for N-numbers (`part_47`)."""

from __future__ import annotations

from airwrit.law.parameters import parameter

HEIGHT_SET = parameter("mark_letter_height_set", bool)
