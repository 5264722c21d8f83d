"""Sky and weather groups: BKN014TCU, VV002, OVC///, CLR, NCD; -SHRA, +TSRA, FZFG, VCTS, RERA."""

from __future__ import annotations

import re
from collections.abc import Sequence

from airwrit.sky.weather.draft import ReportDraft, said, words
from airwrit.sky.weather.values import Cover, Layer

_LAYER = re.compile(r"(?P<cover>FEW|SCT|BKN|OVC|VV|///)(?P<base>\d{3}|///)(?P<kind>CB|TCU|ACC|///)?")
_CLEAR = {"SKC": "SKC", "CLR": "CLR", "NSC": "NSC", "NCD": "NCD"}
_DESCRIPTORS = "MI|PR|BC|DR|BL|SH|TS|FZ"
_PHENOMENA = "DZ|RA|SN|SG|IC|PL|PE|GR|GS|UP|BR|FG|FU|VA|DU|SA|HZ|PY|PO|SQ|FC|SS|DS"
_WEATHER = re.compile(
    rf"(?P<strength>\+|-|VC|RE)?(?P<descriptors>(?:{_DESCRIPTORS})*)(?P<phenomena>(?:{_PHENOMENA})*)"
)
_MISSING_WEATHER, _MISSING_CLOUDS = "//", "//////"


def read_clouds(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A layer, a hidden sky, or the word of a sky without layers."""
    sign = signs[at]
    if sign in _CLEAR:
        if draft.layers or draft.sky:
            draft.refuse(sign, "repeated")
        else:
            draft.sky = _CLEAR[sign]
            draft.read(sign, words()["sky"][sign])
        return 1
    if sign == _MISSING_CLOUDS:
        draft.refuse(sign, "missing")
        return 1
    found = _LAYER.fullmatch(sign)
    if found is None:
        return 0
    base = int(found["base"]) * 100 if found["base"].isdigit() else None
    kind = found["kind"] if found["kind"] in ("CB", "TCU", "ACC") else ""
    layer = Layer(Cover(found["cover"]), base, kind)
    draft.layers.append(layer)
    draft.read(sign, _means(layer))
    return 1


def _means(layer: Layer) -> str:
    lists = words()
    cloud = f", {lists['cloud'][layer.kind]}" if layer.kind else ""
    cover = lists["cover"][layer.cover.value]
    if layer.base_ft is None:
        return said("layer_no_base", cover=cover, cloud=cloud)
    if layer.cover is Cover.HIDDEN:
        return said("layer_hidden", base=layer.base_ft)
    return said("layer", cover=cover, base=layer.base_ft, cloud=cloud)


def read_weather(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A group of present weather, kept as it was written."""
    sign = signs[at]
    if sign == _MISSING_WEATHER:
        draft.refuse(sign, "missing")
        return 1
    if sign == "NSW":
        draft.read(sign, said("no_weather"))
        return 1
    means = weather_words(sign)
    if not means:
        return 0
    draft.weather.append(sign)
    draft.read(sign, means)
    return 1


def weather_words(sign: str) -> str:
    """What a group of weather means; "" where it is none."""
    found = _WEATHER.fullmatch(sign)
    if found is None or not (found["descriptors"] or found["phenomena"]):
        return ""
    lists = words()
    descriptors, phenomena = _pairs(found["descriptors"]), _pairs(found["phenomena"])
    if not phenomena and not set(descriptors) <= set(lists["alone"]):
        return ""
    if phenomena:
        parts = [lists["descriptor"][one] for one in descriptors]
        parts.append(" and ".join(lists["phenomenon"][one] for one in phenomena))
    else:
        parts = [lists["alone"][one] for one in descriptors]
    text = " ".join(part for part in (lists["strength"][found["strength"] or ""], *parts) if part)
    return text[:1].upper() + text[1:] + "."


def _pairs(text: str) -> list[str]:
    return [text[at : at + 2] for at in range(0, len(text), 2)]
