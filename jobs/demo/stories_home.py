"""Jobs that are done, on their way home, or ended without repair."""

from jobs.demo.lines import needed, part, post_home, seals, try_first, turns_out
from jobs.demo.stories_waiting import FOLDER, RANGEFINDER, SLR
from jobs.demo.telling import Teller


def cosmo(tell: Teller) -> None:
    """Home and under warranty: a counter that an earlier attempt put together wrongly. One finding was corrected in the open."""
    tell.on(75)
    job = tell.book(
        "Cosmo Penhallow",
        "Corvane Skerry",
        "It locks at picture 22 on every film. I bought it like that.",
        opened_before="unsure",
        traits=RANGEFINDER,
    )
    tell.on(71, 11).arrived(job, "Lens clear, covering sound.", "corvane-skerry", caps=True)
    tell.on(68, 10).examine(job)
    counter = tell.found(
        job,
        "The frame counter was put back one tooth out",
        "counter seen earlier stops",
        "The stop at (1) meets its catch too early.",
        "counter/stops-at-one-number",
        {"frame": 21, "cover": "off"},
        {
            "counter-misassembled": (
                "The counter with its cover off. 1 the stop, 2 the catch.",
                ["stop", "catch"],
            )
        },
    )
    tell.found(
        job,
        "The fastest time runs half a stop long",
        "leaf_shutter measured separate pictures",
        "1/500 took 2.8 thousandths of a second; it should take 2. The old spring gives no more. Print film forgives it; with slide "
        "film, set the aperture half a stop smaller.",
    )
    tell.times(job, False, s1=1_030_000, s30=31_900, s125=8_000, s500=2_800)
    tell.on(67, 9).correct(
        counter,
        "We counted again on a test film: it locks at 22, as you said.",
        text="The stop at (1) meets its catch at 22.",
    )
    tell.on(66, 14).answer_story(
        job, "Yes, always at 22: the counter had been put together wrongly before you bought it."
    )
    sent = tell.quote(
        job,
        needed(
            "Take the counter apart, set it right", 72, "And wind a whole film through to prove it.", counter
        ),
        seals(33, "Begun to crumble."),
        post_home(),
    )
    tell.on(64, 20).agreed(sent, "needed", "advised")
    tell.on(60, 10).promise(job, 16, 22)
    tell.on(52, 10).work(job)
    tell.on(50, 15).proving(job)
    tell.on(49, 11).proved(
        job,
        "ready-on-bench",
        transport="36 pictures, even gaps, no lock.",
        light="No leak in a lamp test.",
        times="As before; 1/500 stays half a stop long, as we told you.",
    )
    tell.on(48, 20).paid(job, "transfer")
    tell.on(47, 12).sent_back(job)
    tell.on(46, 13).home(job)


def aurelio(tell: Teller) -> None:
    """A claim on a warranty: the second job is linked to the first, and it has arrived."""
    tell.on(170)
    job = tell.book(
        "Aurelio Finch", "Corvane Merle", "The shutter clicks but nothing opens.", traits=RANGEFINDER
    )
    tell.on(166, 11).arrived(job, "Clean.", "corvane-merle")
    tell.on(160, 10).examine(job)
    oil = tell.found(
        job,
        "Oil holds the shutter's blades together",
        "leaf_shutter seen explains stops",
        "",
        "leaf_shutter/oil-on-the-blades",
        {"opened": 35},
        {"oily-iris": ("Looking into the lens. 1 the oil.", ["oil"])},
    )
    tell.on(158, 14).answer_story(job, "Oil has crept onto the blades. That comes with age and warmth.")
    sent = tell.quote(
        job,
        needed("Clean the shutter's blades", 98, "Dry, without oil, tested warm and cold.", oil),
        post_home(),
    )
    tell.on(155, 20).agreed(sent)
    tell.on(140, 10).work(job)
    tell.on(139, 15).proving(job)
    tell.on(138, 11).proved(job, "clean-iris", times="All within tolerance.", light="No leak.")
    tell.on(137, 9).paid(job)
    tell.on(137, 12).sent_back(job)
    tell.on(134, 13).home(job)
    claim = tell.on(5, 19).claim(job, "It has begun to hang again, only when it is cold.")
    tell.on(3, 9).posted(claim)
    tell.on(0, 9).arrived(claim, "As we sent it out, and well packed.", "packed-parcel")


def rosalind(tell: Teller) -> None:
    """Ended without repair: what cannot be undone was said beforehand, and the customer chose."""
    tell.on(40)
    job = tell.book(
        "Rosalind Teague",
        "Tellmark Reefer",
        "There is a rainbow inside the lens, growing from the edge.",
        traits=SLR,
    )
    tell.on(36, 11).arrived(job, "Camera and lens both good to the touch.", "tellmark-reefer")
    tell.on(30, 11).examine(job)
    balsam = tell.found(
        job,
        "Two glasses of the lens are coming apart",
        "lens seen explains worsens",
        "",
        "lens/glasses-coming-apart",
        {"reach": 20, "which": "rear"},
        {"balsam-edge": ("The rear of the lens. 1 the edge that has let go.", ["edge"])},
    )
    tell.on(28, 15).answer_story(
        job, "The cement between two glasses is letting go at the edge. Your pictures do not show it yet."
    )
    sent = tell.quote(
        job,
        needed(
            "Part the glasses and cement them again",
            190,
            "It may fail: the glass can chip, and then nothing brings it back.",
            balsam,
            months=3,
        ),
        post_home(),
        note="You can also use it as it is, for years perhaps. We would.",
        if_declined="as_it_came",
        if_declined_note="We have only looked. Nothing has been taken apart.",
    )
    tell.on(25, 20).agreed(sent, "none of it")
    tell.on(24, 10).paid(job, "transfer")
    tell.on(23, 11).sent_back(job)
    tell.on(20, 12).home(job)


def hyacinth(tell: Teller) -> None:
    """On its way home."""
    tell.on(38)
    job = tell.book("Hyacinth Brode", "Pellam Six", "The shutter is stuck open.", traits=FOLDER)
    tell.on(34, 12).arrived(job, "A good clean body.", "pellam-six")
    tell.on(29, 10).examine(job)
    oil = tell.found(
        job,
        "Oil on the blades keeps them from closing",
        "leaf_shutter seen explains stops",
        "",
        "leaf_shutter/oil-on-the-blades",
        {"opened": 80},
    )
    tell.on(27, 15).answer_story(job, "Oil has spread over the blades. Nothing is bent or worn.")
    sent = tell.quote(
        job,
        needed("Clean the shutter and its blades", 98, "All times measured afterwards.", oil),
        post_home(),
    )
    tell.on(24, 8).agreed(sent)
    tell.on(23, 10).promise(job, 20, 27)
    tell.on(10, 10).work(job)
    tell.on(6, 15).proving(job)
    tell.times(job, True, s1=1_020_000, s2=508_000, s25=41_500, s50=20_900, s100=10_300, s300=3_900)
    tell.on(5, 11).proved(
        job,
        "ready-on-bench",
        times="Good from 1 second to 1/100; the fastest a little long, as we told you.",
        focus="Sharp at 1.5 m and far.",
    )
    tell.on(3, 18).paid(job, "transfer")
    tell.on(1, 12).sent_back(job)


def thaddeus(tell: Teller) -> None:
    """Ready, and not paid yet. A try turned out in the way that had been agreed beforehand, under the ceiling. What he wrote last came
    from an address that we do not know, so the office has to look at it.
    """
    tell.on(34)
    job = tell.book(
        "Thaddeus Orme",
        "Corvane Skerry",
        "Lights in my pictures have a glow around them, and everything looks flat.",
        traits=RANGEFINDER,
    )
    tell.on(30, 11).arrived(job, "A clean body. The lens looks milky.", "corvane-skerry")
    tell.on(26, 10).examine(job)
    haze = tell.found(
        job,
        "We cannot know yet if the haze will clear",
        "lens untried explains pictures",
        "The veil at (1) lies on the rear glass.",
        "lens/haze-inside",
        {"surfaces": "rear_group", "strength": "even"},
        {"lens-haze": ("The lens against our lamp. 1 the haze.", ["haze"])},
    )
    tell.on(25, 15).answer_story(job, "Haze inside the lens makes the glow. Your exposure was right.")
    sent = tell.quote(
        job,
        try_first(
            needed("Clean the haze from the lens", 38, "We try it and look again.", haze, months=3),
            turns_out("lens/haze-inside:clears", "It comes off, and the glass is clear.", 12),
            turns_out("lens/haze-inside:better", "Most of it comes off; a faint trace stays.", 5),
            turns_out(
                "lens/haze-inside:stays",
                "The glass itself has changed and stays hazy.",
                3,
                part("Fit a sound rear lens group, used", 78, "From a camera that was past repair."),
                part("Leave it, put the lens together again", 0, ""),
            ),
        ),
        post_home(),
    )
    tell.on(22, 20).agreed(sent, ceiling=140, branches=("Fit a sound rear lens group, used",))
    tell.on(20, 10).promise(job, 18, 24)
    tell.on(9, 10).work(job)
    line = sent.lines.asked().first()
    assert line is not None
    tell.on(8, 15).came_out(line, "lens/haze-inside:stays", "Two kinds of solvent changed nothing.")
    tell.on(4, 15).proving(job)
    tell.on(2, 11).proved(job, "lens-clear", focus="Sharp at 1 m and far with the new group.")
    tell.on(1, 12).wrote(
        job,
        "I am writing from work. The money is on its way to you by bank transfer. Please send the camera to my home, as before.\n\nT. Orme",
        "orme@pierhead-printing.example",
    )


def wilhelmina(tell: Teller) -> None:
    """A matter of use: nothing was broken, and she is told how to avoid it. Collects it herself."""
    tell.on(10)
    job = tell.book(
        "Wilhelmina Ash",
        "Corvane Skerry",
        "The little button for rewinding will not stay in. I could not get my film out.",
        film_inside="yes",
        return_by="collect",
        traits=RANGEFINDER,
    )
    tell.on(6, 16).arrived(
        job,
        "Brought in by hand. A film inside, which we took out in the dark and kept for you.",
        "corvane-skerry",
    )
    tell.on(2, 10).examine(job)
    tell.found(
        job,
        "The lever stood a little off its rest",
        "rewind seen use know",
        "While the lever is part-way, as at (1), the button cannot catch. Back at its rest (2), it can: we tried it ten times.",
        "rewind/button-will-not-stay-in",
        {"lever_angle": 30, "button_place": "base"},
        {
            "lever-off-rest": ("As it came. 1 the lever, 2 where it rests.", ["lever", "rest"]),
            "rewind-button": ("The base. The button, pressed, stays in.", []),
        },
    )
    tell.on(1, 11).answer_story(
        job, "Nothing is broken. Let the lever go all the way back to its rest, then the button stays in."
    )
    tell.nothing_to_mend(job)


def who_looked_first(tell: Teller) -> None:
    """No jobs: cameras that stayed at home, because their owners looked before posting."""
    tell.on(41).settled("transport/film-not-caught", "reflex")
    tell.on(19).settled("rewind/button-will-not-stay-in", "rangefinder")
    tell.on(6, 17).settled("rewind/button-will-not-stay-in", "window")
    tell.on(2, 20).settled("handling/film-came-to-its-end", "reflex")
