"""What stands on the faces: what is shown, what it stands for, what it says, who made it.

What is computed: sentences on faces, motifs, legends, people and the edge. A face that is as it was
on the coin before is passed over; a motif's meaning and a legend's translation are told once in a
talk, and a motif that comes back is referred back to.

>>> old = Story("a", "5 tinne", faces=(
...     FaceTold("obverse", "The lighthouse, the date below.", motifs=(MotifTold("lighthouse"),)),
...     FaceTold("reverse", "A net.", motifs=(MotifTold("net"),))))
>>> new = Story("b", "5 tinne", faces=(
...     FaceTold("obverse", "A net with floats.", motifs=(MotifTold("net"),)),
...     FaceTold("reverse", "A gull.", motifs=(MotifTold("gull", "", "Noah's raven here."),))))
>>> for said in on_faces(Context(new, old)):
...     print(said.text)
On the obverse, in place of the lighthouse, a net with floats; the net came over from the reverse.
On the reverse, in place of the net, a gull.
The gull: Noah's raven here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from series.telling import words
from series.telling.context import SIDES, Context, earlier, of_faces
from series.telling.sentences import Sentence
from series.telling.story import FaceTold, LegendTold, MotifTold, Story
from series.text.english import NUMBERS, listed
from series.text.folding import fold
from series.text.scripts import script_name

LONG_AGO = 3
"""A motif that was not on so many coins before is referred back to; common practice, no source."""


def on_faces(here: Context) -> list[Sentence]:
    """All that is said of the faces, in order."""
    shown = [said for side in SIDES for said in _shown(here, side)]
    read = [said for side in SIDES for said in legends(here, side)]
    return [*shown, *_value(here), *meanings(here), *read, *people(here), *edge(here)]


# ---- what is shown ----
def _shown(here: Context, side: str) -> list[Sentence]:
    now = here.story.face(side)
    was = here.relative.face(side) if here.relative else FaceTold(side)
    paths = [f"faces.{side}.description", f"faces.{side}.motifs"]
    if not (was.description or was.motifs):
        said = _description(now)
        text = words.sentence(f"on the {side}{said}") if said else ""
        return [Sentence(f"faces.{side}", text, here.of_design(*paths))] if text else []
    gone, come = _differing(was, now), _differing(now, was)
    if now.description == was.description and not gone and not come:
        return []
    if not (now.description or now.motifs):
        return []  # that nothing is recorded is no change
    moved = {name: where for name in come if (where := _left(here, name, side))}
    others = of_faces("motifs") if come else []
    text, brief = _new_face(now, was, gone, come, moved)
    return [Sentence(f"faces.{side}", words.sentence(text), here.of_design(*paths, *others), brief)]


def _differing(of: FaceTold, other: FaceTold) -> list[str]:
    """Names of motifs that a face has and another has not."""
    there = {motif.name for motif in other.motifs}
    return [motif.name for motif in of.motifs if motif.name not in there]


def _left(here: Context, name: str, side: str) -> str:
    """From which face a motif came over, which that one has no more; "" from none."""
    for other in SIDES:
        on_now = any(motif.name == name for motif in here.story.face(other).motifs)
        on_then = here.relative is not None and any(
            motif.name == name for motif in here.relative.face(other).motifs
        )
        if other != side and on_then and not on_now:
            return other
    return ""


def _new_face(
    now: FaceTold, was: FaceTold, gone: list[str], come: list[str], moved: dict[str, str]
) -> tuple[str, str]:
    """The face in words, and in a few for the wall."""
    side = now.side
    old = f"{listed(gone, words.this)} {words.are(gone)}"
    new = listed(words.this(name) if name in moved else words.some(name) for name in come)
    brief = f"{new} where {old}" if new and gone else f"{new} on the {side}" if new else ""
    if gone and not come:
        brief = f"{listed(gone, words.this)} gone"
    if not now.description or now.description == was.description:
        said = f"on the {side}, {new or 'no more'}"
        if new and gone:
            return f"on the {side}, {new} where {old}", brief
        return (f"{said}, which was not there" if new else f"the {side} has lost "
                f"{listed(gone, words.this)}"), brief  # fmt: skip
    place = ""
    if gone:
        place = f", {'in place of' if come else 'now without'} {listed(gone, words.this)}"
    text = f"on the {side}{place}{_description(now)}"
    for name, where in moved.items():
        verb = words.are([name], "came", "came")
        text += f"; {words.this(name)} {verb} over from the {where}"
    return text, brief


def _description(face: FaceTold) -> str:
    """What the record says the face shows, with a comma or colon before it and without its stop;
    else its motifs."""
    if face.description:
        names = [motif.name for motif in face.motifs]
        return words.following(words.aloud(face.description).rstrip("."), names)
    shown = listed(_motif(motif) for motif in face.motifs)
    return f", {shown}" if shown else ""


def _motif(motif: MotifTold) -> str:
    """ "a fishing net hung to dry", "a ship, a ferry"."""
    if not motif.note:
        return words.some(motif.name)
    comma = "," if re.match(r"(?:an?|the)\b", motif.note) else ""
    return f"{words.some(motif.name)}{comma} {motif.note}"


# ---- how the value is given ----
def _value(here: Context) -> list[Sentence]:
    steps = [step for step in here.changes if step.kind == "value" and here.relative]
    cites = here.of_design(*of_faces("value_as"))
    found = []
    for step in steps:
        text = step.words.replace("value in", "the value is now in").replace(" where", ", where")
        found.append(Sentence("faces.value", words.sentence(text), cites))
    return found


# ---- what it stands for ----
def meanings(here: Context) -> list[Sentence]:
    """What each motif stands for, once in a talk; one that comes back is referred back to."""
    found: list[Sentence] = []
    told = here.earlier.motifs
    before = {motif.name for motif in _motifs(here.last)}
    cites = (*here.beside_last(*of_faces("motifs")), "earlier.motifs")
    for name, meaning in dict.fromkeys((m.name, words.aloud(m.meaning)) for m in
                                       _motifs(here.story)):  # fmt: skip
        if not meaning:
            continue
        more: tuple[str, ...] = ()
        seen = told.get((name, meaning))
        if seen is None:
            said = words.following(meaning, [name]).lstrip(",: ")
            text = f"{words.this(name)}: {said}"
        elif name not in before and here.earlier.coins - seen[1] >= LONG_AGO:
            text = f"{words.this(name)} again, as on {seen[0]}"
            more = earlier("denomination", "units", "series")
        else:
            continue
        key = f"faces.motif.{name}"
        if all(said.key != key for said in found):
            found.append(Sentence(key, words.sentence(text), (*cites, *more)))
    return found


def _motifs(story: Story | None) -> Iterable[MotifTold]:
    return (motif for face in story.faces for motif in face.motifs) if story else ()


# ---- what it says ----
def legends(here: Context, side: str) -> list[Sentence]:
    """Legends that were not on the coin before: those that need translating, and new words."""
    known = {fold(x.text) for face in here.last.faces for x in face.legends} if here.last else set()
    known |= here.earlier.legends
    new = [x for x in here.story.face(side).legends if x.text and fold(x.text) not in known]
    cites = (
        f"faces.{side}.legends",
        *(f"before.{path}" for path in of_faces("legends") if here.last),
        "earlier.legends",
    )
    key, found = f"faces.{side}.legend", []
    for place, legend in enumerate(x for x in new if _foreign(x)):
        text = words.sentence(_translated(legend, side))
        found.append(Sentence(f"{key}.{place}" if place else key, text, cites))
    named = _names(here.story)
    read = [f"“{x.text}”" for x in new if not _foreign(x) and _tells(x.text, named)]
    if read:
        text = f"the {side} reads {listed(read)}"
        paths = ("country", "currency", "denomination", "units")
        found.append(Sentence(f"{key}.words", words.sentence(text), (*cites, *paths)))
    return found


def _tells(text: str, named: set[str]) -> bool:
    """Whether a legend says more than ``named``; single letters and figures say nothing."""
    said = {word for word in fold(text).split() if len(word) > 1 and not word.isdigit()}
    return not said <= named


def _foreign(legend: LegendTold) -> bool:
    return bool(legend.translation or legend.transliteration)


def _translated(legend: LegendTold, side: str) -> str:
    aloud, meaning = legend.transliteration, legend.translation
    tongue = f" in {script_name(legend.script)} letters" if legend.script != "Latn" else ""
    said = f"on the {side} stands{tongue} {legend.text}"
    if aloud and fold(aloud) != fold(legend.text):
        said += f", read {aloud}"
    if meaning and fold(meaning) != fold(aloud):
        said += f": “{meaning}”"
    return said


def _names(story: Story) -> set[str]:
    """Words that tell nothing new: of the country, the money and the value, and numbers."""
    texts = [story.country, story.currency, story.denomination]
    texts += [name for unit in story.units for name in unit]
    return _NUMBERS | {word for text in texts for word in fold(text).split()}


_NUMBERS = {fold(word) for word in NUMBERS}


# ---- who made it ----
def people(here: Context) -> list[Sentence]:
    """Who designed it, as far as that is new."""
    now, was = _designers(here.story), _designers(here.relative)
    new = {side: by for side, by in now.items() if by != was.get(side)}
    if not new:
        return []
    sides: dict[str, list[str]] = {}
    for side, by in new.items():
        sides.setdefault(by, []).append(f"the {side}")
    if len(sides) == 1 and len(new) == len(now):
        sides = {by: ["it"] for by in sides}
    done = [f"{by} designed {listed(of)}" for by, of in sides.items()]
    done[1:] = [said.replace(" designed ", " ", 1) for said in done[1:]]
    text = f"{'now ' if was else ''}{listed(done)}"
    paths = of_faces("designers")
    cites = (*here.of_design(*paths), *earlier(*paths))
    return [Sentence("faces.people", words.sentence(text), cites)]


def _designers(story: Story | None) -> dict[str, str]:
    """Who designed each face, as far as it is recorded."""
    faces = story.faces if story else ()
    return {face.side: listed(face.designers) for face in faces if face.designers}


# ---- the edge ----
def edge(here: Context) -> list[Sentence]:
    """The edge where it changed."""
    was = here.relative.body.edge if here.relative else ""
    now = here.story.body.edge
    if not was or not now or fold(was) == fold(now):
        return []
    text = words.sentence(f"the edge is now {now}; it was {was}")
    return [Sentence("faces.edge.finish", text, here.of_design("edge"))]
