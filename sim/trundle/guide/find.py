"""Finds what a builder asks for: by path, field, kind, a word of the trade, or words in the texts."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from trundle.errors import LONGEST_SLIP
from trundle.fields.docs import Doc
from trundle.guide.entries import Entry, entries, fits
from trundle.guide.tables import ANY, FAMILIES, Table, families, family_doc, tables
from trundle.guide.words import WORDS, Word

MOST_HITS = 12
"""The best of them."""

MOST_NEAR = 5


@dataclass(frozen=True)
class Family:
    """All kinds of a spring, bogie, obstacle, or of what a driver is told."""

    name: str

    @property
    def kinds(self) -> tuple[Table, ...]:
        """The kinds."""
        return families()[self.name]

    @property
    def doc(self) -> Doc:
        """What it is; other names stand at the class that its kinds derive from."""
        return Doc(FAMILIES[self.name], also_called=family_doc(self.name).also_called)

    @property
    def anchor(self) -> str:
        """Its name in links."""
        return f"{self.name}-kinds"


Topic = Table | Entry | Family | Word


@dataclass(frozen=True)
class Found:
    """topics: what was meant, one or several; alike: of entries, other tables whose field of that name is the same one;
    beside: what else goes by that word; near: where nothing was found, what may have been meant;
    more: how many things there are beyond these."""

    topics: tuple[Topic, ...] = ()
    alike: Mapping[Topic, tuple[Table, ...]] = field(default_factory=dict)
    beside: tuple[Topic, ...] = ()
    near: tuple[str, ...] = ()
    more: int = 0


def find(words: str) -> Found:
    """What is meant by a path, a name or a few words."""
    asked = words.strip().strip("\"'").strip()
    if not asked:
        return Found()
    ways: tuple[Callable[[str], list[Topic]], ...] = (_by_path, _by_name, _by_field, _by_other_name, _by_part)
    for way in ways:
        hits = way(asked)
        if not hits:
            continue
        topics, alike = _together(hits)
        # A path means one thing; a word may be another's other name, too.
        others: list[Topic] = []
        if len(topics) == 1 and way is not _by_path:
            named: list[Topic] = [e for e in _plain_entries() if _names(e, asked)]
            others = [t for t in (*named, *_by_other_name(asked)) if t not in hits]
        return Found(topics[:MOST_HITS], alike, _together(others)[0], more=len(topics[MOST_HITS:]))
    hits = _by_text(asked)
    if hits:
        topics, alike = _together(hits)
        return Found(topics[:MOST_HITS], alike, more=len(topics[MOST_HITS:]))
    return Found(near=_near(asked))


def asked_for(topic: Topic) -> str:
    """The words that ask for it, and for nothing else."""
    return topic.asked if isinstance(topic, Entry) else topic.name


def _by_path(asked: str) -> list[Topic]:
    """`hull.com_mm`, `[bogie.front]`, `bogie.spring.width_mm`, `leaf across.width_mm`, `spring.width_mm`."""
    path = re.sub(r"\.{2,}", ".", re.sub(r"[\[\]]", ".", asked)).strip(".")
    if "." not in path and path == asked:
        return []
    parts = [p.strip() for p in path.split(".")]
    # Without names first: bogie.arm is the arm of a bogie before it is a bogie called arm.
    for fitting in (_bare_path, fits):
        fields: list[Topic] = [e for e in _plain_entries() if any(fitting(parts, p) for p in e.paths)]
        places = [t for t in tables() if any(p and fitting(parts, p) for p in t.paths)]
        if fields or places:
            return fields or _as_family(places)
    before, last = ".".join(parts[:-1]), parts[-1]
    owners: list[Topic] = [e for e in _plain_entries() if e.name == last and _same(e.table.name, before)]
    if owners:
        return owners
    # The end of a path will do, if it is more than a name.
    ends: list[Topic] = [e for e in _plain_entries() if any(_ends(parts, p) for p in e.paths)]
    return ends or _as_family([t for t in tables() if any(_ends(parts, p) for p in t.paths)])


def _as_family(places: Sequence[Table]) -> list[Topic]:
    """All kinds of one family are the family."""
    for family in families():
        if len(places) > 1 and all(t.family == family for t in places):
            return [Family(family)]
    return list(places)


def _by_name(asked: str) -> list[Topic]:
    """hull, bogie, leaf across, course; `leaf across width_mm`."""
    found: list[Topic] = [Family(f) for f in families() if _same(f, asked)]
    found += [t for t in tables() if _same(t.name, asked)]
    found += [w for w in WORDS if _same(w.name, asked)]
    if found:
        exact = [t for t in found if t.name == asked]
        return exact or found
    for table in sorted(tables(), key=lambda t: -len(t.name)):
        if asked.lower().startswith(f"{table.name} "):
            rest = asked[len(table.name) :].strip()
            fields: list[Topic] = [e for e in entries() if e.table is table and _names(e, rest)]
            if fields:
                return fields
    return []


def _by_field(asked: str) -> list[Topic]:
    exact: list[Topic] = [e for e in _plain_entries() if e.name == asked]
    if any(isinstance(e, Entry) and e.unit for e in exact):
        return exact
    # A bare word also begins names: seat is seat_mm, seat_kg, and a leaf's seat.
    word = asked.lower().replace(" ", "_").replace("-", "_")
    named: list[Topic] = [e for e in _plain_entries() if _names(e, asked)]
    return named + [e for e in _plain_entries() if e.name.lower().startswith(f"{word}_") and e not in named]


def _by_other_name(asked: str) -> list[Topic]:
    word = plain(asked)
    return [t for t in _topics() if word in {plain(w) for w in t.doc.also_called}]


def _by_part(asked: str) -> list[Topic]:
    """All its words in a name or another name of a thing, or all of another name's in it: "rear swing arm"."""
    words = set(plain(asked).split())
    found: list[Topic] = []
    if not words:
        return found
    for topic in _topics():
        names = [set(plain(w).split()) for w in (*topic.doc.also_called, *_own_names(topic))]
        if any(words <= n for n in names) or (len(words) > 1 and any(len(n) > 1 and n <= words for n in names)):
            found.append(topic)
    return found


def _by_text(asked: str) -> list[Topic]:
    words = [w for w in plain(asked).split() if len(w) > 1 and w not in _FILLING]
    if not words:
        return []
    worth: list[tuple[float, int, Topic]] = []
    for k, topic in enumerate(_topics()):
        doc = topic.doc
        names = set(plain(" ".join((*_own_names(topic), *doc.also_called))).split())
        what = set(plain(doc.what).split())
        rest = set(plain(" ".join((doc.measure, doc.if_wrong))).split())
        if all(w in names or w in what or w in rest for w in words):
            value = sum(4.0 * (w in names) + 2.0 * (w in what) + 1.0 * (w in rest) for w in words)
            worth.append((-value, k, topic))
    return [topic for _, _, topic in sorted(worth, key=lambda w: w[:2])]


_FILLING = {"the", "of", "a", "an", "to", "in", "on", "is", "what", "how", "and", "for", "my"}


def _near(asked: str) -> tuple[str, ...]:
    if len(asked) > LONGEST_SLIP:
        return ()
    known: dict[str, str] = {}
    for topic in _topics():
        for name in (asked_for(topic), *_own_names(topic), *topic.doc.also_called):
            known.setdefault(name.lower(), asked_for(topic))
    found = difflib.get_close_matches(asked.lower(), known, n=MOST_NEAR * 2, cutoff=0.55)
    last = asked.rpartition(".")[2].lower()
    found += difflib.get_close_matches(last, known, n=MOST_NEAR, cutoff=0.6)
    return tuple(dict.fromkeys(known[f] for f in found))[:MOST_NEAR]


def _together(hits: Sequence[Topic]) -> tuple[tuple[Topic, ...], dict[Topic, tuple[Table, ...]]]:
    """A field that several tables have from one place counts once; with the other tables of each such."""
    first: dict[object, Topic] = {}
    others: dict[Topic, list[Table]] = {}
    for topic in dict.fromkeys(hits):
        key: object = (topic.name, topic.doc) if isinstance(topic, Entry) and topic.doc.what else topic
        one = first.setdefault(key, topic)
        if isinstance(topic, Entry) and topic is not one:
            others.setdefault(one, []).append(topic.table)
    return tuple(first.values()), {topic: tuple(found) for topic, found in others.items()}


@cache
def _topics() -> tuple[Topic, ...]:
    return (*(Family(f) for f in families()), *tables(), *_plain_entries(), *WORDS)


@cache
def _plain_entries() -> tuple[Entry, ...]:
    """Without fields that hold tables: those are told of with the tables."""
    return tuple(e for e in entries() if not e.holds)


def _own_names(topic: Topic) -> tuple[str, ...]:
    if isinstance(topic, Entry):
        return (topic.name, _bare(topic))
    return (topic.name,)


def _names(entry: Entry, asked: str) -> bool:
    """Whether it is the field's name, with or without its unit, words apart."""
    word = asked.lower().replace(" ", "_").replace("-", "_")
    return word in (entry.name.lower(), _bare(entry).lower())


@cache
def _bare(entry: Entry) -> str:
    """The field's name without its unit: com of com_mm."""
    unit = entry.unit.replace("/", "_per_").replace(" ", "_")
    for end in (unit, unit.replace("m_per_s", "m_s").replace("Nm_per_rad", "Nm")):
        if end and entry.name.endswith(f"_{end}"):
            return entry.name.removesuffix(f"_{end}")
    return entry.name


def _bare_path(parts: Sequence[str], path: str) -> bool:
    return [p for p in path.split(".") if p != ANY] == [p for p in parts if p != ANY]


def _ends(parts: Sequence[str], path: str) -> bool:
    known = [p for p in path.split(".") if p != ANY]
    named = [p for p in parts if p != ANY]
    return 1 < len(named) <= len(known) and known[-len(named) :] == named


def _same(name: str, asked: str) -> bool:
    return plain(name) == plain(asked)


@cache
def plain(words: str) -> str:
    """For comparing: small letters, dots, dashes and underscores as spaces, each word without its plural's s."""
    return " ".join(_one(w) for w in re.findall(r"[a-z0-9]+", words.lower()))


def _one(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
