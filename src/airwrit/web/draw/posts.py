"""The strip of posts, one for each aircraft or person, grouped by how it stands; and lines into the near future."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

from markupsafe import Markup

from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.today import Lot, Post, PostStrip
from airwrit.base.verdict import Verdict
from airwrit.web.draw.svg import Axis
from airwrit.web.draw.words import name_of, path_of

Link = Callable[[str], str]

_NAMED = 60
_DRAWN = 400
_LEAST, _BESIDE = 9, 12
_SHAPES = {Headline.GROUNDED: "bad", Headline.CANT_SAY: "open", Headline.RECREATION: "fun"}
_CLASSES = {Headline.GROUNDED: " bad", Headline.CANT_SAY: " open"}
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WEEK = timedelta(days=7)

_STOCK = Markup(
    '<symbol id="p-met" viewBox="0 0 24 30"><path d="M12 4v26" stroke-width="3"/></symbol>'
    '<symbol id="p-soon" viewBox="0 0 24 30"><path d="M12 4v26" stroke-width="3"/>'
    '<path class="soon" d="M15.5 26.5h8"/></symbol>'
    '<symbol id="p-bad" viewBox="0 0 24 30"><path d="M12 2v7M12 23v7" stroke-width="4.5"/>'
    '<path d="M6 15.5l12-4M6 21l12-4" stroke-width="2.6"/></symbol>'
    '<symbol id="p-open" viewBox="0 0 24 30"><path d="M12 7h.01M12 15.5h.01M12 24h.01" stroke-width="4.5" '
    'stroke-linecap="round"/></symbol>'
    '<symbol id="p-fun" viewBox="0 0 24 30"><path d="M12 18v12" stroke-width="3"/></symbol>'
)
_KEYS = (
    ("bad", "grounded"),
    ("open", "can't tell yet"),
    ("met", "papers OK for work"),
    ("fun", "papers OK for recreation only"),
    ("soon", "something expires within 90 days"),
)


def posts_stock() -> Markup:
    """The shapes of the posts, once a page."""
    return _STOCK


def posts_key() -> Markup:
    """What each post means."""
    items = Markup("").join(
        Markup('<li><svg class="post{}" aria-hidden="true"><use href="#p-{}"/></svg>{}</li>').format(
            " bad" if shape == "bad" else "", shape, words
        )
        for shape, words in _KEYS
    )
    return Markup('<ul class="key" aria-label="How to read the posts">{}</ul>').format(items)


def posts(strip: PostStrip, link: Link) -> Markup:
    """The strip: with names up to sixty posts, else small and, on a phone, one line for each state."""
    if strip.many <= _NAMED:
        lots = Markup("").join(_named(lot, link) for lot in strip.lots)
        return Markup('<div class="lots">{}</div>').format(lots)
    lots = Markup("").join(_many(lot, strip, link) for lot in strip.lots)
    return Markup('{}<div class="lots over60">{}</div>').format(_short(strip), lots)


def _named(lot: Lot, link: Link) -> Markup:
    items = Markup("").join(_post(post, lot.headline, link, named=True) for post in lot.posts)
    return Markup('<div class="lot named{}"><ul>{}</ul><p>{}</p></div>').format(
        _CLASSES.get(lot.headline, ""), items, _counted(lot)
    )


def _many(lot: Lot, strip: PostStrip, link: Link) -> Markup:
    """Small posts without names. Those that need nothing are left to their list."""
    whole = lot.headline not in _SHAPES
    if len(lot.posts) > _DRAWN or (whole and strip.kind == "person"):
        drawn = _stretched(100, "bad" if lot.headline is Headline.GROUNDED else "met")
        return Markup('<div class="lot long{}">{}<p>{}</p></div>').format(
            _CLASSES.get(lot.headline, ""), drawn, _counted(lot)
        )
    items = Markup("").join(
        _mark(post, lot.headline) if whole else _post(post, lot.headline, link, named=False)
        for post in lot.posts
    )
    soon = sum(post.soon for post in lot.posts) if whole else 0
    more = f", {soon} of them with something that expires within 90 days" if soon else ""
    return Markup('<div class="lot small{}"><ul>{}</ul><p>{}{}</p></div>').format(
        " whole" if whole else _CLASSES.get(lot.headline, ""), items, _counted(lot), more
    )


def _shape(post: Post, headline: Headline) -> str:
    return _SHAPES.get(headline) or ("soon" if post.soon else "met")


def _mark(post: Post, headline: Headline) -> Markup:
    return Markup('<li><svg class="post" aria-hidden="true"><use href="#p-{}"/></svg></li>').format(
        _shape(post, headline)
    )


def _post(post: Post, headline: Headline, link: Link, *, named: bool) -> Markup:
    name = name_of(post.subject)
    told = Markup("<span{}>{}</span>").format(Markup("" if named else ' class="hide"'), name)
    return Markup(
        '<li><a href="{}"{}><svg class="post" aria-hidden="true"><use href="#p-{}"/></svg>{}</a></li>'
    ).format(
        link(path_of(post.subject)),
        Markup("") if named else Markup(' title="{}"').format(name),
        _shape(post, headline),
        told,
    )


def _counted(lot: Lot) -> Markup:
    """How many there are, as a link to where they are told."""
    to = _target(lot.headline, lot.fix)
    if lot.short:
        return Markup('<a href="#{}">{}</a> <b>{:,}</b>').format(to, lot.short, len(lot.posts))
    return Markup('<a href="#{}"><b>{:,} {}</b></a>').format(to, len(lot.posts), _with(lot.headline))


def _with(headline: Headline) -> str:
    """A headline after a number: 9 grounded, 1 with papers OK for work."""
    return f"with {headline.value}" if headline.mark is Verdict.MET else headline.value


def _target(headline: Headline, fix: int = 0) -> str:
    if headline is Headline.CANT_SAY:
        return "asks"
    return (f"fix{fix}" if fix else "fix") if headline in _SHAPES else "ok"


def _short(strip: PostStrip) -> Markup:
    """One mark for each state, as long as its share."""
    lines = []
    for headline in dict.fromkeys(lot.headline for lot in strip.lots):
        many = strip.of(headline)
        shape = _SHAPES.get(headline, "met")
        share = max(_LEAST, round(100 * many / strip.many, 2))
        lines.append(
            Markup('<li class="{}">{}<a href="#{}">{:,} {}</a></li>').format(
                shape, _stretched(share, shape), _target(headline), many, _with(headline)
            )
        )
    return Markup('<ul class="short">{}</ul>').format(Markup("").join(lines))


def _stretched(share: float, shape: str) -> Markup:
    """One mark between two posts, of a share of the width."""
    body = {
        "bad": Markup('<rect width="100%" height="9" y="4.5" fill="url(#hatch)" stroke="none"/>'),
        "open": Markup(
            '<line x1="10" x2="100%" y1="9" y2="9" stroke-width="4" stroke-dasharray="0 8" stroke-linecap="round"/>'
        ),
    }.get(shape, Markup('<line x1="0" x2="100%" y1="9" y2="9" stroke-width="3"/>'))
    return Markup(
        '<svg class="st" width="{}%" height="18" aria-hidden="true">{}<line x1="1" x2="1" y1="2" y2="16" '
        'stroke-width="2"/><svg x="100%"><path d="M-1 2v14" stroke-width="2"/></svg></svg>'
    ).format(share, body)


def ahead_axis(axis: Axis) -> Markup:
    """The scale over lines into the near future: today, and the first of each month."""
    parts: list[Markup] = [
        Markup('<svg class="ahead-axis" aria-hidden="true"><text x="0" y="16">{}</text>').format("today")
    ]
    for first, left, _ in _months_apart(axis):
        parts.append(
            Markup(
                '<line x1="{0}%" x2="{0}%" y1="6" y2="100%"/><text x="{0}%" dx="4" y="16">{1} 1</text>'
            ).format(left, _MONTHS[first.month - 1])
        )
    return Markup("").join(parts) + Markup("</svg>")


def _months_apart(axis: Axis) -> Sequence[tuple[date, float, float]]:
    """The months whose name does not run into the word at the beginning."""
    return [month for month in axis.months() if month[1] > _LEAST]


def ahead_line(axis: Axis, day: date) -> Markup:
    """A line from the day shown to the end of a last good day, over weeks that begin on Mondays."""
    end = axis.at(day + timedelta(days=1))
    return Markup(
        '<svg class="ahead" aria-hidden="true">{0}<line class="holds" x1="0" x2="{1}%" y1="50%" y2="50%"/>'
        '<svg x="{1}%" y="50%"><path class="post" d="M0-8v16"/></svg><line class="now" x1="1" x2="1" y1="0" y2="100%"/></svg>'
    ).format(Markup("").join(_weeks(axis)), end)


def runway(axis: Axis, days: Sequence[date]) -> Markup:
    """What comes due, a post for each on its day, over weeks that begin on Mondays."""
    parts = list(_weeks(axis))
    seen: dict[date, int] = {}
    for day in days:
        beside = seen[day] = seen.get(day, -1) + 1
        if beside < _BESIDE:
            parts.append(
                Markup('<svg x="{}%"><path class="post" d="M{} 14v40"/></svg>').format(
                    axis.at(day), 5 * beside
                )
            )
    parts.append(Markup('<line class="now" x1="1" x2="1" y1="0" y2="100%"/>'))
    names = [Markup('<text x="0" y="16">today</text>')]
    for number, monday in enumerate(_mondays(axis)):
        if axis.at(monday) > _LEAST:
            far = Markup(' class="far"') if number % 2 else Markup("")
            told = f"{_MONTHS[monday.month - 1]} {monday.day}"
            names.append(Markup('<text x="{}%" y="16"{}>{}</text>').format(axis.at(monday), far, told))
    return Markup(
        '<svg class="ahead runway" aria-hidden="true">{}<line class="ground" x1="0" x2="100%" y1="100%" y2="100%"/></svg>'
        '<svg class="ahead-axis" aria-hidden="true">{}</svg>'
    ).format(Markup("").join(parts), Markup("").join(names))


def _mondays(axis: Axis) -> Iterable[date]:
    monday = axis.start + timedelta(days=7 - axis.start.weekday())
    while monday < axis.until:
        yield monday
        monday += _WEEK


def _weeks(axis: Axis) -> Iterable[Markup]:
    """A hair line at the beginning of each week."""
    for monday in _mondays(axis):
        yield Markup('<line class="week" x1="{0}%" x2="{0}%" y1="0" y2="100%"/>').format(axis.at(monday))
