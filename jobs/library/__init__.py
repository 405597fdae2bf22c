"""The findings library: explanations written once, well, and filled with one camera's facts.

    from jobs import library
    entry = library.get("counter/stops-at-a-frame")
    shown = entry.fill({"frame": 22})           # MissingFact or BadFact when a fact does not fit
    shown.title, shown.short, shown.sections    # sections: (key, heading, safe HTML)
    shown.picture.html                          # drawing with its legend, or None without one
    shown.as_dict(), shown.digest, shown.plain()

Finding one: `find(text, traits, entries)` lists entries best first, `rank` the same with scores, `offers` at most two checks
for an owner's story. All take any collection (`jobs.collection.entries()`: with the workshop's own versions).

How to add an explanation
-------------------------
1. Make `jobs/library/<mechanism>/<slug>.md`. The folder is a value of `jobs.words.Mechanism`.
2. Between two `+++` lines write the front matter in TOML; `schema.py` (class Front) names every key:
   title (as a customer would ask it), short (one sentence), notice (three or more phrasings in owners' words), traits
   (all that the item must have; none = any camera), certainty, bearing, effect, minutes, sources, cautions (keys of
   cautions.toml), fields, outcomes (what may come of work that must be tried), drawing.
3. Below, the parts, each under its `## ` heading, in this order: What is happening; How we know; How sure we can be,
   and when; What we do about it; What cannot be undone (if anything); What you can do (if anything is safe from
   outside, as numbered steps). Outcomes and cautions are put in between by themselves.
4. Run `python -m jobs.library.check`. It names file and line of everything to mend.
5. Look at it: `/library/` shows each entry filled with its own examples.

Writing
-------
Short sentences, everyday words, "we". The verb obeys the certainty: seen, "there is"; measured, the figure; inferred,
"we think"; not known until tried, "we cannot know yet". An owner's step never opens a camera, never uses a liquid and
never forces anything. Trade words are welcome when glossary.toml defines them.

Places in the text: `{frame}` is the fact of the field `frame`; a choice can have a second wording at `{cover.also}`, so
that one answer ("we have seen it", "we think so") keeps two sentences true. `{mark:1}` is a ringed figure, the one on the entry's
drawing; `drawing.legend` says what each stands for. In a text fact that a technician types, `{mark:1}` also gives a ringed
figure. It becomes `<b class="n">1</b>`, the ringed figure of the pages; everything else in a fact is escaped and never read as markup.

Glossary: the first use of each defined word becomes `<a class="word" href="#word-haze">haze</a>`. The page lists the
words once, `words_of(*all_shown)`, each in an element with `id="word-<key>"`. It needs no script: the link goes to the
meaning, the browser's Back returns, and `:target` can light it up.

Drawings: `drawings/<name>.svg`, explained in `drawings/README.md`. `drawing(name, **params)` renders one.
"""

from .draw import drawing
from .errors import BadFact, FactError, LibraryError, MissingFact, Problem
from .explanation import Explanation
from .finding import Hit, find, match, rank
from .load import entries
from .offering import can_offer, offers
from .shared import Word, cautions, glossary
from .shown import Picture, Section, Shown, words_of

__all__ = [
    "entries",
    "get",
    "match",
    "find",
    "rank",
    "Hit",
    "offers",
    "can_offer",
    "drawing",
    "words_of",
    "cautions",
    "glossary",
    "Explanation",
    "Shown",
    "Section",
    "Picture",
    "Word",
    "FactError",
    "MissingFact",
    "BadFact",
    "LibraryError",
    "Problem",
]


def get(key: str) -> Explanation:
    """One entry by its key, "mechanism/slug". Raises KeyError when there is none."""
    return entries()[key]
