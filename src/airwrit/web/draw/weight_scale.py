"""The weights of an aircraft on a logarithmic scale, with posts at the limits of the law. Numbers and fixed words only."""

from __future__ import annotations

import math
from decimal import Decimal

from markupsafe import Markup

from airwrit.answers.registration.weight import WeighingOnFile, Weights
from airwrit.facts.vocabulary import kind_of

_LEAST, _MOST = 0.1, 110.0
_TICKS = ("0.1", "0.2", "0.5", "1", "2", "5", "10", "20", "50", "100")


def at(pounds: Decimal) -> float:
    """Where a weight lies on the scale, in percent; what lies outside stands at its ends."""
    value = min(_MOST, max(_LEAST, float(pounds)))
    return round(100 * math.log(value / _LEAST) / math.log(_MOST / _LEAST), 2)


def weight_scale(weights: Weights) -> Markup:
    """The drawing: ticks, posts at the limits, a dot for each weighing of the whole, whiskers for what it weighs as flown."""
    parts = [Markup('<svg class="scale" height="72" aria-hidden="true">')]
    parts.append(Markup('<line class="base" x1="0" x2="100%" y1="44" y2="44"/>'))
    for tick in _TICKS:
        parts.append(
            Markup(
                '<svg x="{}%" y="44"><path class="tick" d="M0 0v5"/><text y="20"{}>{}</text></svg>'
            ).format(at(Decimal(tick)), Markup(' class="first"') if tick == _TICKS[0] else "", tick)
        )
    for limit in weights.limits:
        parts.append(
            Markup(
                '<svg x="{}%" y="44"><path class="post" d="M0-18v28"/><text y="-24">{} lb</text></svg>'
            ).format(at(limit.pounds), format(limit.pounds, "f"))
        )
    parts += [_dot(one) for one in weights.weighings if kind_of(one.subject) == "aircraft"]
    if weights.flown is not None:
        parts.append(_whiskers(weights.flown))
    return Markup("").join([*parts, Markup("</svg>")])


def _dot(one: WeighingOnFile) -> Markup:
    return Markup('<svg x="{}%" y="44"><path class="dot" d="M0-5v10"/></svg>').format(at(one.pounds.best))


def _whiskers(one: WeighingOnFile) -> Markup:
    low, best, high = (at(value) for value in (one.pounds.low, one.pounds.best, one.pounds.high))
    return Markup(
        '<line class="whisker" x1="{0}%" x2="{2}%" y1="30" y2="30"/>'
        '<svg x="{0}%" y="30"><path class="whisker" d="M0-4v8"/></svg>'
        '<svg x="{2}%" y="30"><path class="whisker" d="M0-4v8"/></svg>'
        '<svg x="{1}%" y="44"><path class="flown" d="M0-20v20"/></svg>'
    ).format(low, best, high)
