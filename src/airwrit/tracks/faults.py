"""What can be wrong with a log: codes that faces put into words, and which of them hide samples."""

from __future__ import annotations

from enum import StrEnum


class TrackFault(StrEnum):
    """What a reader saw in a log that a person should know."""

    CUT_SHORT = "cut_short"
    DAMAGED = "damaged"
    MISSING_PART = "missing_part"
    NO_TIME = "no_time"
    NO_DATE = "no_date"
    NO_ZONE = "no_zone"
    HOUR_TWICE = "hour_twice"
    CLOCK_BACKWARDS = "clock_backwards"
    CLOCK_OUTLIER = "clock_outlier"
    CLOCK_RESTARTED = "clock_restarted"
    UTC_BESIDE = "utc_beside"
    CLOCKS_DISAGREE = "clocks_disagree"
    IMPLAUSIBLE_DATE = "implausible_date"
    WEEKS_LOST = "weeks_lost"
    WEEKS_ADDED = "weeks_added"
    UTC_DERIVED = "utc_derived"
    LEAP_SECONDS_EXPIRED = "leap_seconds_expired"
    ZERO_PLACE = "zero_place"
    OFF_THE_EARTH = "off_the_earth"
    NO_PLACE = "no_place"
    NO_FIX = "no_fix"
    NO_GPS = "no_gps"
    NUMBER = "number"
    DUPLICATE = "duplicate"
    SAME_TIME = "same_time"
    HEIGHTS_ALL_ZERO = "heights_all_zero"
    HEIGHTS_UNNAMED = "heights_unnamed"
    HEIGHTS_ON_GROUND = "heights_on_ground"
    HEIGHTS_RESET = "heights_reset"
    HEIGHT_NOT_EARTH = "height_not_earth"
    HOME_MOVED = "home_moved"
    ESTIMATE_RESET = "estimate_reset"
    OTHER_VEHICLE = "other_vehicle"
    OTHER_RECEIVER = "other_receiver"
    NOT_A_TRACK = "not_a_track"
    REPEATED_HEADER = "repeated_header"
    REPEATED_ROWS = "repeated_rows"
    SIMULATED = "simulated"
    LENGTHS_DIFFER = "lengths_differ"
    REJECTED_CUES = "rejected_cues"
    VIDEO_RESTARTED = "video_restarted"
    LATITUDE_FIRST = "latitude_first"


HIDES_SAMPLES = frozenset(
    {
        TrackFault.CUT_SHORT,
        TrackFault.DAMAGED,
        TrackFault.MISSING_PART,
        TrackFault.NO_TIME,
        TrackFault.CLOCK_OUTLIER,
        TrackFault.LENGTHS_DIFFER,
        TrackFault.REJECTED_CUES,
    }
)
"""Faults that leave samples of the flight out: what the track does not show may have happened in them."""
