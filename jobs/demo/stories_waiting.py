"""Jobs that wait for an answer, a parcel, or their examination."""

from jobs.demo.lines import (
    advised,
    by_time,
    examination,
    needed,
    one_of,
    optional,
    part,
    post_home,
    try_first,
    turns_out,
    up_to,
)
from jobs.demo.telling import Teller

RANGEFINDER = [
    "leaf_shutter",
    "coupled_rangefinder",
    "film_135",
    "lever_advance",
    "frame_counter",
    "rewind_button",
    "fixed_lens",
]
SLR = [
    "focal_plane_shutter",
    "reflex",
    "film_135",
    "lever_advance",
    "frame_counter",
    "rewind_button",
    "interchangeable_lens",
]
FOLDER = ["leaf_shutter", "folding", "bellows", "film_120", "knob_advance", "fixed_lens"]


def orla(tell: Teller) -> None:
    """The story is not the fault: an earlier attempt is. One suspicion is cleared, one thing cannot be known yet."""
    tell.on(18)
    job = tell.book(
        "Orla Fennimore",
        "Corvane Skerry",
        "I pushed the lever a bit harder and then it went slack. Did I break it? Some of my pictures were soft as well.",
        noticed_when="On holiday, half-way through a film",
        opened_before="unsure",
        traits=RANGEFINDER,
    )
    tell.on(17, 12).posted(job)
    tell.on(14, 10.5).arrived(
        job, "Clean and dry. One camera, its case, no film.", "corvane-skerry", case=True
    )
    tell.on(4, 11).examine(job)
    screw = tell.found(
        job,
        "A screw had dropped among the gears",
        "transport seen explains stops",
        "The screw at (1) belongs in the arm that keeps the big gear from running back. With the arm loose the "
        "lever slips; with the screw between the teeth it jams. You met both.",
        photos={
            "loose-screw-gears": (
                "Under the top cover. 1 the loose screw, 2 where it belongs.",
                ["screw", "home"],
            )
        },
    )
    haze = tell.found(
        job,
        "We cannot know yet if the haze will clear",
        "lens untried explains pictures",
        "The veil at (1) scatters light, most of all with the sun in front of you.",
        "lens/haze-inside",
        {"surfaces": "front_group", "strength": "even"},
        {"lens-haze": ("The lens against our lamp. 1 the haze.", ["haze"])},
    )
    tell.found(
        job,
        "Somebody has opened it before",
        "body inferred earlier know",
        "The slot at (1) was torn by a driver that did not fit. We think the screw among the gears was left loose that "
        "day. That part is inferred: it fits, but nobody saw it.",
        "body/screws-torn-by-earlier-hands",
        {"count": 2, "where": "on the base plate", "torn": 60},
        {"chewed-screw": ("The base plate. 1 the torn slot.", ["slot"])},
    )
    tell.found(
        job,
        "The rangefinder is right",
        "rangefinder ruled_out clears know",
        "You wondered about soft pictures. We measured the focus at one, three and ten metres. It agrees with the scale each time.",
    )
    tell.write_up(screw)
    tell.on(2, 15).answer_story(
        job, "No. A loose screw had jammed the gears. Pushing the lever bent nothing."
    )
    tell.promise(job, 14, 25, "if you answer by the end of the week")
    tell.quote(
        job,
        needed(
            "Free the winding gears, refit the screw",
            85,
            "Top cover off, gears cleaned and greased, the screw back in its thread and locked. Without this it cannot wind on.",
            screw,
        ),
        try_first(
            needed(
                "Clean the haze from the lens",
                38,
                "Nobody can say beforehand whether haze will clear. So we try, and you decide now what follows.",
                haze,
                months=3,
            ),
            turns_out("lens/haze-inside:clears", "It comes off, and the glass is clear.", 12),
            turns_out("lens/haze-inside:better", "Most of it comes off; a faint trace stays.", 5),
            turns_out(
                "lens/haze-inside:stays",
                "The glass itself has changed and stays hazy.",
                3,
                part("Fit a sound front lens group, used", 78, "From a camera that was past repair."),
                part("Leave it, put the lens together again", 0, ""),
            ),
        ),
        up_to(
            advised(
                "Clean and set the slow times",
                60,
                "From 1 second to 1/8 they run long. With slide film you would see it.",
            ),
            least=40,
        ),
        optional(
            "New screws for the base plate", 9, "The torn ones hold, and they will be hard to undo next time."
        ),
        post_home(),
        examination(),
        if_declined="together",
        if_declined_note="The screw that we found goes home in a bag. It would jam the gears again.",
    )


def anselm(tell: Teller) -> None:
    """An answer that has been owed for long: nudged three times, now somebody should ring. Once their mail program answered by itself."""
    tell.on(31)
    job = tell.book(
        "Anselm Okoro-Byrne",
        "Tellmark Reefer",
        "One side of my pictures is dark, but only in sunshine.",
        traits=SLR,
    )
    tell.on(27, 11).arrived(job, "Chrome worn at the corners, otherwise sound.", "tellmark-reefer")
    tell.on(22, 13).examine(job)
    curtains = tell.found(
        job,
        "The second curtain catches up with the first",
        "focal_shutter measured explains pictures",
        "",
        "focal_shutter/dark-side-at-fast-speeds",
        {"share": 30, "fastest_good": "s125"},
        {"curtain-slit": ("The shutter half-way across. 1 the slit, narrower than it should be.", ["slit"])},
    )
    tell.times(job, False, s60=16_100, s125=8_300, s250=3_100, s500=1_150, s1000=420)
    tell.on(19, 16).answer_story(
        job, "At fast speeds the shutter's two curtains run unevenly. Your metering was right."
    )
    tell.quote(
        job,
        needed(
            "Clean and set the shutter curtains",
            165,
            "Both curtains freed and set to run at one speed.",
            curtains,
        ),
        needed("Replace the mirror's foam", 25, "The old foam is crumbling onto the screen."),
        *one_of(
            1,
            optional("Clean the focusing screen", 18, "Only dust. It is not in your pictures."),
            optional(
                "Fit a brighter focusing screen", 46, "A used one of the later kind. Easier in the dark."
            ),
        ),
        post_home(),
        note="No hurry on our side: the camera is safe here.",
    )
    tell.on(16, 10).nudged(job)
    tell.on(12, 10).nudged(job)
    tell.wrote(job, "I am travelling, and read my mail again in a week.\n\nAnselm Okoro-Byrne", "absent")
    tell.on(5, 10).nudged(job)


def theda(tell: Teller) -> None:
    """A question about a line, and the bench's answer; some truths show only when the work is tried."""
    tell.on(20)
    job = tell.book(
        "Theda Marchbanks",
        "Pellam Six",
        "There are bright spots on every picture, always in the same place.",
        traits=FOLDER,
    )
    tell.on(16, 12).arrived(job, "The leather is dry. Opens and closes well.", "pellam-six")
    tell.on(11, 11).examine(job)
    holes = tell.found(
        job,
        "The bellows lets light in at the corners",
        "seals seen explains pictures",
        "The light at (1) comes through from a lamp behind.",
        "seals/bellows-pinholes",
        {"count": "few"},
        {
            "bellows-pinhole": (
                "Looking into the bellows, a lamp behind it. 1 light where there should be none.",
                ["pinhole"],
            )
        },
    )
    tell.on(9, 15).answer_story(
        job,
        "The spots are light that comes in through worn folds in the bellows. Your film was not at fault.",
    )
    sent = tell.quote(
        job,
        needed(
            "Patch the bellows from inside",
            58,
            "Holds for years where the leather round the holes is sound.",
            holes,
        ),
        advised("Clean the lens from outside and check the focus", 22, "While it stands open on the bench."),
        post_home(),
    )
    question = tell.on(6, 19).asked(
        job, "If the patches do not hold, what would new bellows cost?", sent.lines.first()
    )
    tell.on(5, 10).answered(
        question,
        "About £120. We would ask you first, and what you paid for the patches comes off. We think patches will do.",
    )


def lubin(tell: Teller) -> None:
    """A small spacer fell in while the top was off. Said without blame. The quote replaced one."""
    tell.on(15)
    job = tell.book(
        "Lubin Strake",
        "Corvane Merle",
        "I took the top off to clean the finder. It went back on well, but now the lever stops half-way.",
        opened_before="yes",
        traits=RANGEFINDER,
    )
    tell.story_photo(job, "corvane-merle")
    tell.on(11, 11).arrived(job, "Two screws in a bag, as you wrote.", "two-screws-bag", loose_parts=2)
    tell.on(6, 10).examine(job)
    spacer = tell.found(
        job,
        "A small spacer lies between the gears",
        "body seen earlier stops",
        "It is at (1). It belongs on the lever's shaft.",
        "body/spacer-fallen-in",
        {"what": "spacer", "where": "gears", "belongs": "on the shaft of the winding lever"},
        {"spacer-in-gears": ("Under the top cover. 1 the spacer.", ["spacer"])},
    )
    bumps = tell.found(
        job,
        "Small bumps under the covering",
        "covering inferred separate looks",
        "",
        "covering/bumps-under-the-covering",
        {"bumps": 4, "place": "front"},
        {"covering-bumps": ("The front under a low lamp. 1 the largest bump.", ["bump"])},
    )
    tell.answer_story(
        job, "A spacer the size of a lentil had slipped out when the top was off. Nothing is worn or bent."
    )
    tell.on(4, 12).quote(
        job,
        by_time(
            needed(
                "Lift out the spacer, put it back", 0, "Top cover off, gears looked over, tested.", spacer
            ),
            minutes=45,
        ),
        post_home(),
    )
    tell.on(1, 11).quote(
        job,
        optional(
            "Lift the covering and clean the rivets",
            48,
            "Only for the looks. It may come back in some years.",
            bumps,
            months=3,
        ),
        note="As you asked by telephone: now with the covering, if you like.",
    )
    tell.promise(job, 9, 16)


def perpetua(tell: Teller) -> None:
    """Booked and not sent yet."""
    tell.on(12, 20)
    tell.book(
        "Perpetua Vane",
        "Oakhurst Stereo",
        "The two pictures of a pair are not equally bright. It was my aunt's and has lain in a drawer for years.",
        film_inside="unsure",
        traits=["stereo", "leaf_shutter", "film_120", "knob_advance", "fixed_lens"],
    )


def sunniva(tell: Teller) -> None:
    """On the bench now: one finding posted, one kept for later; a question waits for us."""
    tell.on(9)
    job = tell.book(
        "Sunniva Rook", "Tellmark Reefer", "Orange streaks along the edge of some pictures.", traits=SLR
    )
    tell.on(4, 12).arrived(job, "Door opens and shuts well. Old foam in the channels.", "tellmark-reefer")
    tell.on(1, 10).examine(job)
    tell.found(
        job,
        "The foam round the door has turned to crumbs",
        "seals seen explains pictures",
        "The channel at (1) should hold soft foam.",
        photos={"light-seal-crumbs": ("The door's channel. 1 crumbs where foam should be.", ["crumbs"])},
    )
    tell.found(
        job,
        "Grease has spread onto the iris blades",
        "aperture seen separate worsens",
        "To look at again under the lamp.",
        keep=True,
    )
    tell.on(0, 8.5).asked(job, "Is it safe to keep using it until you have time?")


def barnaby(tell: Teller) -> None:
    """Arrived with a bag of loose parts; we ask where they come from."""
    tell.on(8)
    job = tell.book(
        "Barnaby Thwaite",
        "Corvane Skerry",
        "The focus ring is so stiff that I turn the whole lens. A neighbour tried to help and some screws were left over.",
        opened_before="yes",
        traits=RANGEFINDER,
    )
    tell.on(5, 9).posted(job)
    tell.on(1, 11).arrived(
        job, "In a padded box. A bag with seven small parts beside it.", "parcel-arrived", loose_parts=7
    )
    tell.photo(job, "loose-parts-bag", "The seven parts that came beside it.")
    tell.on(1, 15).enquired(
        job,
        "Seven small parts came beside it. Do you know whether anything else came out, and whether the lens was in one piece before"
        " your neighbour opened it?",
    )
