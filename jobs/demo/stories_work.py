"""Jobs that are agreed and not finished: in work, proving, or waiting for a part."""

from jobs.demo.lines import needed, optional, part, post_home, seals
from jobs.demo.stories_waiting import FOLDER, RANGEFINDER, SLR
from jobs.demo.telling import Teller


def eamon(tell: Teller) -> None:
    """A promise that has passed, because a part is late."""
    tell.on(44)
    job = tell.book(
        "Eamon Fairlight", "Corvane Merle", "The two images in the finder no longer meet.", traits=RANGEFINDER
    )
    tell.on(40, 11).arrived(job, "A small dent at one corner of the top.", "corvane-merle")
    tell.on(36, 11).examine(job)
    prism = tell.found(
        job,
        "The rangefinder's glass block has slipped from its cement",
        "rangefinder seen explains stops",
        "The block at (1) has turned on its seat. It is chipped where it hit the frame, so it cannot be used again.",
        photos={"rangefinder-prism": ("Under the top cover. 1 the block, out of its place.", ["prism"])},
    )
    tell.on(34, 15).answer_story(
        job, "A knock has loosened a small glass block in the rangefinder. It cannot have been your focusing."
    )
    sent = tell.quote(
        job,
        needed("Set the rangefinder at near, middle and far", 95, "After the new block is in.", prism),
        part("A sound glass block, used", 60, "From a camera that was past repair.", prism),
        post_home(),
    )
    tell.on(31, 20).agreed(sent)
    tell.on(30, 10).promise(job, 26, 33)
    tell.on(23, 10).part(job, "A sound glass block for the rangefinder", "A dealer in worn-out cameras", 12)


def morwenna(tell: Teller) -> None:
    """Waits for a part; the day by which it should come is known. She asked something by answering a letter."""
    tell.on(30)
    job = tell.book("Morwenna Pike", "Tellmark Bosun", "The mirror sticks up after each picture.", traits=SLR)
    tell.on(26, 12).arrived(job, "Some wear, no dents.", "tellmark-bosun")
    tell.on(23, 10).examine(job)
    foam = tell.found(
        job,
        "The mirror's foam has turned sticky",
        "finder seen explains stops",
        "The mirror catches in the foam at (1) and stays up.",
        photos={"mirror-foam": ("Looking up into the mirror box. 1 the foam.", ["foam"])},
    )
    spring = tell.found(
        job,
        "The mirror's return spring is cracked",
        "finder seen separate worsens",
        "It still pulls, but not for long.",
    )
    tell.on(21, 14).answer_story(job, "Sticky foam holds the mirror up. Nothing that you did.")
    sent = tell.quote(
        job,
        needed(
            "Clean the mirror box, new foam", 55, "Old foam off, glass cleaned, new foam cut to size.", foam
        ),
        part("Return spring", 20, "Made to order.", spring),
        needed(
            "Fit the spring, set the mirror's rest", 65, "So that finder and film agree on the focus.", spring
        ),
        post_home(),
    )
    tell.on(18, 9).agreed(sent)
    tell.on(17, 16).promise(job, 28, 39)
    tell.on(16, 10).part(job, "Return spring for the mirror", "A spring maker", 21)
    question = tell.on(12, 19).wrote(
        job, "Thank you for telling me. Will the new spring be as strong as the old one was?\n\nMorwenna"
    )
    if question:  # told without mail, nothing came
        tell.on(11, 10).answered(
            question, "Yes. It is wound to the old one's measure, and we try it a hundred times."
        )


def ivo(tell: Teller) -> None:
    """A promise at risk; shutter times measured before the work."""
    tell.on(26)
    job = tell.book(
        "Ivo Harkaway", "Tellmark Bosun", "Pictures on slide film come out too bright.", traits=SLR
    )
    tell.on(22, 11).arrived(job, "Clean.", "tellmark-bosun")
    tell.on(19, 10).examine(job)
    slow = tell.found(
        job,
        "The slow times run long",
        "focal_shutter measured explains pictures",
        "1/30 took 48 thousandths of a second; it should take 31. Print film forgives that. Slide film does not.",
        photos={"shutter-tester": ("The camera before our timing lamp. 1 the sensor.", ["sensor"])},
    )
    tell.times(
        job, False, s1=1_480_000, s2=720_000, s15=91_000, s30=48_000, s60=17_000, s125=8_100, s500=2_050
    )
    tell.on(17, 12).answer_story(
        job, "Yes, the shutter is slow from 1/30 down. The lens and its iris are right."
    )
    sent = tell.quote(
        job,
        needed(
            "Clean the slow-speed train, set the times",
            140,
            "Taken out, washed, a trace of oil, set and measured.",
            slow,
        ),
        seals(33, "They still hold, but they have begun to crumble."),
        post_home(),
    )
    tell.on(15, 21).agreed(sent, "needed", "advised")
    tell.on(14, 10).promise(job, 15, 22)
    tell.on(3, 10).work(job)
    hole = tell.on(2, 15).found(
        job,
        "Two pinholes in the first curtain",
        "focal_shutter seen separate pictures",
        "At (1) light comes through where the cloth has worn. It showed only with the shutter out.",
        photos={"curtain-pinhole": ("The first curtain before a lamp. 1 two points of light.", ["pinholes"])},
    )
    tell.on(1, 10).quote(
        job,
        needed(
            "Seal the pinholes in the curtain", 28, "While the shutter is out it is an hour less work.", hole
        ),
        note="The rest of the work goes on while you think about it.",
    )


def dymphna(tell: Teller) -> None:
    """Proving: times before and after; once we were not content."""
    tell.on(33)
    job = tell.book(
        "Dymphna Cole",
        "Corvane Merle",
        "A long exposure never seems to end. The shutter hums and hangs.",
        traits=RANGEFINDER,
    )
    tell.on(29, 11).arrived(job, "In its case, very clean.", "corvane-merle", case=True)
    tell.on(25, 10).examine(job)
    train = tell.found(
        job,
        "Old oil holds the slow-speed gears back",
        "leaf_shutter measured explains pictures",
        "The gears at (1) should run down in one second. They took nearly two.",
        "leaf_shutter/slow-speeds-drag",
        {"measured": "1.9", "spread": "uneven"},
        {
            "slow-speed-train": (
                "The slow-speed gears. 1 the star wheel, 2 the rocking anchor.",
                ["star", "anchor"],
            )
        },
    )
    tell.times(
        job, False, s1=1_900_000, s2=910_000, s4=400_000, s8=170_000, s30=33_000, s125=8_300, s500=2_600
    )
    tell.on(23, 15).answer_story(
        job, "Old oil slows the little gears that count out the long times. It is age, not use."
    )
    sent = tell.quote(
        job,
        needed(
            "Clean the shutter and set its times",
            120,
            "Shutter out, slow-speed gears washed and oiled, all times measured.",
            train,
        ),
        optional("Polish the case", 15, "Leather fed and buffed."),
        post_home(),
    )
    tell.on(21, 18).agreed(sent)
    tell.on(20, 10).promise(job, 23, 30)
    tell.on(9, 10).work(job)
    tell.on(6, 16).proving(job)
    tell.on(5, 11).not_content(job, "times", "One second still took 1.3 seconds when cold.")
    tell.on(3, 10).times(
        job, True, s1=1_040_000, s2=520_000, s4=255_000, s8=128_000, s30=31_800, s125=8_000, s500=2_500
    )
    tell.on(2, 16).proving(job)


def crispin(tell: Teller) -> None:
    """In work; agreed by telephone and noted as such."""
    tell.on(24)
    job = tell.book(
        "Crispin Adeyemi",
        "Pellam Six",
        "The focus hardly turns, and near things are never sharp.",
        traits=FOLDER,
    )
    tell.on(20, 12).arrived(job, "Opens with a click, as it should.", "pellam-six")
    tell.on(15, 10).examine(job)
    thread = tell.found(
        job,
        "The focus thread is dry",
        "focus seen explains worsens",
        "The old grease at (1) has turned to wax.",
        "focus/stiff-focus-ring",
        {"where": "near", "came_apart": "yes"},
        {"dry-focus-thread": ("The focus thread. 1 hard old grease.", ["grease"])},
    )
    tell.on(13, 15).answer_story(job, "Dry grease stops the ring before the near end. The glass is good.")
    sent = tell.quote(
        job,
        needed(
            "Clean and grease the focus thread, set infinity",
            84,
            "Then near and far agree with the scale.",
            thread,
        ),
        post_home(),
    )
    tell.on(11, 10).agreed_by_telephone(sent)
    tell.promise(job, 14, 20)
    tell.on(4, 10).work(job)


def petra(tell: Teller) -> None:
    """Agreed, waiting for its turn on the bench. Our question was answered by mail."""
    tell.on(19)
    job = tell.book(
        "Petra Lindqvist-Hale",
        "Oakhurst Box",
        "A bright smear across every picture.",
        traits=["box", "film_120", "knob_advance", "fixed_lens"],
    )
    tell.on(15, 11).arrived(job, "Handle torn at one end.", "oakhurst-box", lens=True)
    tell.on(12, 14).examine(job)
    smear = tell.found(
        job,
        "The lens is coated with old polish on the inside",
        "lens seen explains pictures",
        "It wipes off at the edge, where we tried.",
    )
    tell.answer_story(job, "Old polish on the inside of the lens. It comes off.")
    sent = tell.on(11, 12).quote(
        job,
        needed(
            "Clean the lens, inside and out",
            34,
            "And look at the shutter while we are there.",
            smear,
            months=3,
        ),
        optional("Sew a new handle", 24, "In black, as the old one."),
        post_home(),
        deposit=2000,
    )
    tell.on(8, 21).agreed(sent, "needed", "optional")
    tell.on(7, 9).paid(job, "transfer", 2000, "deposit")
    tell.on(7, 10).promise(job, 15, 24)
    tell.on(5, 11).enquired(
        job,
        "The old handle was sewn with brown thread. Shall we take brown again, or black like the leather?",
    )
    tell.on(4, 12.5).wrote(job, "Brown again, please, like the old one.\n\nPetra")
