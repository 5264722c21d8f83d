"""The jobs by their names; a page and a command have the name of their job."""

from __future__ import annotations

from collections.abc import Mapping

from airwrit.answers.jobs.filing import FILE_CHANGES
from airwrit.answers.jobs.job import Job
from airwrit.answers.jobs.joining import JOIN
from airwrit.answers.jobs.leaving import LEAVE
from airwrit.answers.jobs.new_aircraft import NEW_AIRCRAFT
from airwrit.answers.jobs.renewing import RENEW

JOBS: Mapping[str, Job] = {job.name: job for job in (NEW_AIRCRAFT, RENEW, FILE_CHANGES, JOIN, LEAVE)}
