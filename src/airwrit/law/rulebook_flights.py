"""Every rule of a flight and of an incident, in the order a lead would ask: limits, light, people, place, cargo, papers."""

from __future__ import annotations

from airwrit.law import (
    authority,
    broadcast,
    carriage,
    flights,
    incidents,
    light,
    limits,
    papers_carried,
    people,
    places,
    waivers,
)
from airwrit.law.judging import Bears, Rule

FLIGHT_RULES: tuple[Rule, ...] = (
    Rule("height_limit", "flight", Bears.ANSWER, limits.height_limit),
    Rule("speed_limit", "flight", Bears.ANSWER, limits.speed_limit),
    Rule("flight_visibility", "flight", Bears.ANSWER, limits.flight_visibility),
    Rule("cloud_distance", "flight", Bears.ANSWER, limits.cloud_distance),
    Rule("line_of_sight", "flight", Bears.ANSWER, limits.line_of_sight),
    Rule("from_moving_vehicle", "flight", Bears.ANSWER, limits.from_moving_vehicle),
    Rule("night_lights", "flight", Bears.ANSWER, light.night_lights),
    Rule("twilight_lights", "flight", Bears.ANSWER, light.twilight_lights),
    Rule("over_people", "flight", Bears.ANSWER, people.over_people),
    Rule("open_air_assembly_remote_id", "flight", Bears.ANSWER, people.open_air_assembly_remote_id),
    Rule("over_moving_vehicles", "flight", Bears.ANSWER, people.over_moving_vehicles),
    Rule("authority_controlled_airspace", "flight", Bears.ANSWER, authority.authority_controlled_airspace),
    Rule("facility_map_lowest", "flight", Bears.ANSWER, authority.facility_map_lowest),
    Rule("tfr", "flight", Bears.ANSWER, authority.tfr),
    Rule("restricted_area_permission", "flight", Bears.ANSWER, authority.restricted_area_permission),
    Rule("event_ring", "flight", Bears.ANSWER, places.event_ring),
    Rule("dc_inner_ring", "flight", Bears.ANSWER, places.dc_inner_ring),
    Rule("dc_outer_ring", "flight", Bears.ANSWER, places.dc_outer_ring),
    Rule("moving_asset_ring", "flight", Bears.ANSWER, places.moving_asset_ring),
    Rule("site_restriction_2209", "flight", Bears.ANSWER, places.site_restriction_2209),
    Rule("park_land_closure", "flight", Bears.ANSWER, places.park_land_closure),
    Rule("land_rules", "flight", Bears.ANSWER, places.land_rules),
    Rule("state_law", "flight", Bears.ANSWER, places.state_law),
    Rule("agricultural_certificate", "flight", Bears.ANSWER, carriage.agricultural_certificate),
    Rule("hazardous_material", "flight", Bears.ANSWER, carriage.hazardous_material),
    Rule("land_as_soon_as_practicable", "flight", Bears.ANSWER, broadcast.land_as_soon_as_practicable),
    Rule(
        "standard_remote_id_not_disabled", "flight", Bears.ANSWER, broadcast.standard_remote_id_not_disabled
    ),
    Rule("adsb_out_off", "flight", Bears.ANSWER, broadcast.adsb_out_off),
    Rule("waiver_terms", "flight", Bears.ANSWER, flights.waiver_terms),
    Rule("waiver_possible", "flight", Bears.ANSWER, waivers.waiver_possible),
    Rule("part_108_relief", "flight", Bears.ANSWER, waivers.part_108_relief),
    Rule("papers_at_hand", "flight", Bears.ANSWER, papers_carried.papers_at_hand),
    Rule("registration_at_hand", "flight", Bears.ANSWER, papers_carried.registration_at_hand),
    Rule("report_107_9", "incident", Bears.ANSWER, incidents.report_107_9),
    Rule("notify_ntsb", "incident", Bears.ANSWER, incidents.notify_ntsb),
    Rule("ntsb_written_report", "incident", Bears.ANSWER, incidents.ntsb_written_report),
    Rule("preserve_wreckage_and_records", "incident", Bears.ANSWER, incidents.preserve_wreckage_and_records),
)
