"""Whole sections of pages of the invented records, from their first word to their last: nothing
else stands there, in no other order. Each was read against the records in tests/small and
tests/full by hand: counts were counted there, and the rules are those of DEVELOPERS.md."""

import pytest

from tests.shown import by_section

BRASS, TEST_STEEL = "materials/test-brass.md", "materials/test-steel.md"
STEEL, PLATE = "materials/full-steel.md", "materials/full-plate.md"
CASE, PINION = "parts/test-case.md", "parts/full-pinion.md"
SEA, DAMP = "hazards/test-sea.md", "hazards/full-damp.md"
FIT_PINION = """hardness at least 500 HV: met, found 650 HV, Nobody density at most 9 g/cm³:
    met, found 7.85 g/cm³ ◇ borrowed from density relative, Full author turning and milling:
    goes badly or better: met, goes well at most attracted by a magnet: met, attracted hardens
    by quenching: met not transparent: met expansion within 8 ×10⁻⁶/K of the test
    case: met, found 11.0 to 12.0 ×10⁻⁶/K, Full author"""
FIT_SETTING = """density at most 8.5 g/cm³: met, found 7.85 g/cm³ ◇ borrowed from density
    relative, Full author Full damp, seldom: suffers, rust Precedent: Full pinion setting
    name"""
BRASS_AS_PINION = """the figures allow it, but nobody makes it from this; not known: hardness
    hardness at least 500 HV: unknown, not known density at most 9 g/cm³: met, found 8.53 g/cm³,
    Nobody turning and milling: goes badly or better: met, goes well at most attracted by a
    magnet: met, not attracted hardens by quenching: missed not transparent: met
    expansion within 8 ×10⁻⁶/K of the test case: met, found 19.9 ×10⁻⁶/K, Nobody Full damp,
    seldom: holds with care Find it: Full hardening"""
SCALES = """◇ borrowed: measured on a relative or in another state, which is named; ∑ worked out
    from the recipe; ⇄ converted between hardness scales. Figures for the metal itself count
    before these."""

MATERIALS = [
    (
        TEST_STEEL,
        "top",
        """Start Materials Austenitic stainless steels Test steel Test steel An invented case
        steel. Where it belongs Figures States Working it What attacks it and what it shrugs off
        Parts it can be used for Names and composition Mentioned by No caution: Nothing here
        hurts. density 7.98 to 8.0 g/cm³ hardness, annealed 140 to 215 HV thermal expansion 16.0
        ×10⁻⁶/K a magnet not attracted Side by side with another""",
    ),
    (
        PLATE,
        "top",
        """Start Materials Precious platings Full plate Full plate An invented plating with its
        fields. Where it belongs Figures States What attacks it and what it shrugs off Mentioned
        by No caution: why no caution words usual thickness 0.3 µm a magnet not attracted Side
        by side with another Deutsch full-plate auf Deutsch common practice""",
    ),
    (
        TEST_STEEL,
        "where-it-belongs",
        """Show reasons and states ✓ The trade uses it for Test case, annealed: it stands the
        sea Needs care turning and milling Designations EN steel number 1.4499""",
    ),
    (
        BRASS,
        "where-it-belongs",
        """Show reasons and states ✗ Wrong for Full pinion setting name: setting wrong words
        Test case: it is eaten ⚠ Full caution danger words Goes well turning and milling Fails
        test sea Holds with care full damp Designations EN copper name CuZn30""",
    ),
    (
        PLATE,
        "where-it-belongs",
        """Show reasons and states ✓ The trade uses it for Full pinion, full tempered, on Full
        steel: coated words""",
    ),
    (
        TEST_STEEL,
        "figures",
        f"""property state value source density any 7.98 g/cm³ Source Nobody density any 8.0
        g/cm³ Source Nobody hardness annealed 140 to 215 HV Source Nobody proof strength
        annealed at least 200 MPa Source Nobody elastic modulus any 200 GPa Source Nobody
        thermal expansion any 16.0 ×10⁻⁶/K20 to 100 °C Source Nobody {SCALES} Among all metals
        density7.98 to 8.0 g/cm³Full steelTest brassthermal expansion16.0 ×10⁻⁶/KFull steelTest
        brass No source found for: tensile strength, melting range.""",
    ),
    (
        PLATE,
        "figures",
        f"""property state value source usual thickness any 0.3 µmthickness note Source Full
        author {SCALES} No source found for: hardness.""",
    ),
    (TEST_STEEL, "states", "annealed weichgeglüht, geglüht recuit 1050 °C, water."),
    (
        STEEL,
        "states",
        "full annealed annealed how. Magnetic: attracted. full tempered tempered how.",
    ),
    (PLATE, "states", "full half done half done how. Only a stage of the work. stage words."),
    (
        STEEL,
        "exposure",
        """hazard verdict what happens source Full damp suffers rust. second why words
        Source Full author, rule 2 Test sea holds the film holds Source common practice, rule 2
        Beside other metals: carbon steel and soft iron in contact""",
    ),
    (
        BRASS,
        "exposure",
        """hazard verdict what happens source Test sea fails dezincification. zinc leaves Source
        common practice, rule 1 Full damp holds with care first why words Source Full author,
        rule 1 Beside other metals: brass in contact""",
    ),
    (
        STEEL,
        "fit",
        f"""Usual choice part why Full pinionfull tempered Figures and hazards ◇ rests on a
        borrowed figure {FIT_PINION} Full damp, seldom: suffers, rust Precedent: Full
        pinion Full pinionfull tempered, coated: Full plate Figures and hazards ◇ rests on a
        borrowed figure {FIT_PINION} Full damp, seldom: cannot say Full damp, where the coating
        is worn through, seldom: suffers, rust Precedent: Full pinion Full pinion setting
        namefull annealed Figures and hazards ◇ rests on a borrowed figure {FIT_SETTING} Just as
        good part why Full pinion setting namefull tempered as good as Full steel, full annealed
        on every count ◇ rests on a borrowed figure {FIT_SETTING} On paper only (1) The figures
        allow it, but nobody makes the part from it. part why Test casefull annealedalso: full
        tempered the figures allow it, but nobody makes it from this hardness at least 120 HV:
        in part, found at most 200 HV, Full author turning and milling: needs care or better:
        met, goes well Holds: Test sea No (1) Full pinion (full annealed): hardness at least 500
        HV: found at most 200 HV, Full author; its softest state; the trade always makes this
        part harder; not hardened; the trade hardens this part""",
    ),
    (
        BRASS,
        "fit",
        f"""On paper only (1) The figures allow it, but nobody makes the part from it. part why
        Full pinion {BRASS_AS_PINION} No (1) Test case: test sea: fails (dezincification), rule
        1""",
    ),
    (
        TEST_STEEL,
        "names",
        """system designation EN steel number 1.4499 Also called: trial steel. Composition, per
        cent by mass. Nobody Fe Cr Mo N rest 16.5–18.5 2.0–2.5 ≤ 0.10""",
    ),
    (
        BRASS,
        "names",
        """system designation EN copper name CuZn30 Composition, per cent by mass. Nobody Zn Cu
        rest 70""",
    ),
    (
        BRASS,
        "mentioned",
        """Parts Full pinion Test case Hazards Full damp Sayings Full saying Lessons Full lesson
        In the tables: Density and density ratio, The same case in each material, Density from
        composition, Thermal expansion and mismatch.""",
    ),
]
PARTS = [
    (
        CASE,
        "top",
        """Start Parts Case Test case Where it sits: case Test case An invented case. What else
        it can be made of What it does and what it needs What it is exposed to How to make a new
        one In which kinds of watch, and what it touches there Mentioned by Usual choice Test
        steel ◔ thinly sourced I have only or choose Hardness at least 120 HV ✓ Usual choice
        Test steel, annealed: it stands the sea common practice Figures and hazards ◔ thinly
        sourced hardness at least 120 HV: met, found 140 to 215 HV, Nobody turning and milling:
        needs care or better: met, needs care Holds: Test sea Precedent: Test case ✗ Wrong Test
        brass: it is eaten common practice Must have hardness at least 120 HV; turning and
        milling: needs care or better Often exposed to test sea Work to make one Test polish""",
    ),
    (
        PINION,
        "top",
        f"""Start Parts Train Full pinion Where it sits: train Full pinion An invented pinion
        with every field. Notes of the workshop note of the workshop about full-pinion ⚠ Safety
        Full short What else it can be made of In other watches What it does and what it needs
        What it is exposed to What is it made of? How to make a new one How it fails After a
        service In which kinds of watch, and what it touches there Mentioned by Safety Usual
        choice Full steel ◇ rests on a borrowed figure I have only or choose Hardness at least
        500 HV Heat remake words How Setting name Full steel ◇ rests on a borrowed figure Which
        watch is that? Deutsch full-pinion auf Deutsch common practice ✓ Usual choice Full
        steel, full tempered: usual words Source Full author Figures and hazards ◇ rests on a
        borrowed figure {FIT_PINION} Full damp, seldom: suffers, rust Precedent: Full
        pinion Full steel, full tempered, coated with Full plate: coated words Source Full
        author Figures and hazards ◇ rests on a borrowed figure {FIT_PINION} Full damp, seldom:
        cannot say Full damp, where the coating is worn through, seldom: suffers, rust
        Precedent: Full pinion ✗ Wrong Full steel, full annealed: wrong words Source Full author
        ⚠ Full caution danger words Must have hardness at least 500 HV; turning and milling:
        goes badly or better; at most attracted by a magnet; not transparent Should have density
        at most 9 g/cm³; hardens by quenching; expansion within 8 ×10⁻⁶/K of the test case
        Seldom exposed to full damp Work to make one Full hardening""",
    ),
    (
        PINION,
        "fit",
        f"""Nothing else: no other material here meets every demand and is used for parts like
        this. On paper only (1) The figures allow it, but nobody makes the part from it.
        material why Test brass {BRASS_AS_PINION} No (2) Full steel (full annealed): hardness at
        least 500 HV: found at most 200 HV, Full author; its softest state; the trade always
        makes this part harder; not hardened; the trade hardens this part Test steel
        (annealed): hardness at least 500 HV: found 140 to 215 HV, Nobody; the same kind of
        metal as the Test case it rubs on; the two gall and wear""",
    ),
    (
        PINION,
        "settings",
        f"""Full pinion setting name How to tell: setting tells Restoration needs the material
        of the period. ✓ Usual choice Full steel, full annealed: setting usual words Source Full
        author Figures and hazards ◇ rests on a borrowed figure {FIT_SETTING} ✗ Wrong Test
        brass: setting wrong words Source Full author density at most 8.5 g/cm³: setting demand
        words Source Full author Just as good (1) material why Full steelfull tempered as good
        as Full steel, full annealed on every count ◇ rests on a borrowed figure {FIT_SETTING}
        No (1) Test brass: density at most 8.5 g/cm³: found 8.53 g/cm³, Nobody As above: no (1).""",
    ),
    (CASE, "watches", "Full watch: first pinion words (rubs on)."),
    (PINION, "watches", "Full watch: as first pinion words: test case (rubs on)."),
    (PINION, "mentioned", "Sayings Full saying Also called: other pinion name."),
]
HAZARDS_AND_WORK = [
    (
        DAMP,
        "exposure",
        """suffers Full steel: rust. second why words rule 2 cannot say Full plate, Test
        plate: fifth why words rule 6 holds with care Test brass: first why words rule 1 holds
        Test steel: third why words rule 3""",
    ),
    (
        SEA,
        "exposure",
        """fails Test brass: dezincification. zinc leaves rule 1 holds Test steel, Full steel,
        Full plate, Test plate: the film holds rule 2""",
    ),
    (
        SEA,
        "rules",
        """The first rule that fits a material decides. fails brass: dezincification zinc leaves
        common practice holds everything else the film holds common practice""",
    ),
    (
        DAMP,
        "rules",
        """The first rule that fits a material decides. holds with care Test brass first why
        words Source Full author suffers carbon and tool steel; in the state annealed or
        tempered hard: rust second why words Looks like: looks words. How fast: fast words.
        Source Full author holds with at least 12 % chromium; with a pitting index of at least
        20; not hardens by quenching; a magnet: not attracted third why words common practice
        fails metal; hardens by quenching fourth why words unsourced, from memory holds plastic
        (only in: train, Test case) placed why words common practice cannot say everything else
        fifth why words common practice""",
    ),
    (
        DAMP,
        "mentioned",
        "Parts Full pinion Work Full hardening Sayings Full saying Also called:"
        " other damp name. Other hazards (1) Test sea",
    ),
    ("processes/full-harden.md", "suits", "Full steel"),
    ("processes/full-harden.md", "does", "hardening does words It measures: hardness."),
    (
        "processes/test-polish.md",
        "top",
        """Start Work Test polish Test polish Invented polishing. No caution: Nothing here
        hurts. layer taken off 5 µm""",
    ),
]
OTHERS = [
    (
        "tables/matrix-parts-movement.md",
        "top",
        """Start Tables Movement parts and materials Movement parts and materials What can be
        made of what, at a glance. ● usual choice + just as good (+) at a pinch p on paper only
        − no ? cannot say ◇ rests on a borrowed figure ◔ thinly sourced material Full pinion
        Test steel − Full steel ●◇ Test brass p Each sign is the best verdict over all states.
        The page of the part gives the reasons. Other tables (15) Density and density ratio The
        same case in each material Specific strength Specific stiffness Elastic reach Elastic
        store Carat, fineness and marks Density from composition Pitting index (PREN) Thermal
        expansion and mismatch Hardness by state Coatings and their thickness Outside parts and
        materials Hazards and materials Metals in contact Edition of the knowledge base:
        2026-11-25. Page tables/matrix-parts-movement.html.""",
    ),
    (
        "tables/pairs.md",
        "overview",
        """+ no attack (−) slow − fast u usual, though one corrodes slowly ◂ in the open the
        metal of the row corrodes ▴ in the open the metal of the column corrodes in sweat
        precious plating 316L and its like brass carbon steel and soft iron precious plating · u
        (−) ▴ − ▴ 316L and its like u · u ▴ − ▴ brass (−) ◂ u ◂ · − ▴ carbon steel and soft iron
        − ◂ − ◂ − ◂ ·""",
    ),
    (
        "tables/pairs.md",
        "pores",
        """A pore or worn edge is a small bare spot in a large coating. Where the coating is the
        nobler one, the base corrodes there and lifts the coating. These are the bases, in
        sweat. Precious plating fast at pores carbon steel and soft iron. slow at pores brass.
        no attack at pores 316L and its like.""",
    ),
    (
        "editions.md",
        "card",
        "No edition has been stamped yet, so no card can be checked. Edition of the"
        " knowledge base: 2026-11-25. Page editions.html.",
    ),
    (
        "coverage.md",
        "materials",
        """material figures published from memory properties with two sources basic figures not
        found reviewed Full plate 1 1 0 0 hardness 25 November 2026 Full steel 12 11 1 1 tensile
        strength, melting range 25 November 2026 Test brass 2 2 0 0 hardness, proof strength,
        tensile strength, elastic modulus, melting range 25 November 2026 Test plate 1 1 0 0
        hardness 25 November 2026 Test steel 6 6 0 1 tensile strength, melting range 25 November
        2026""",
    ),
    (
        "identify.md",
        "signs",
        """material colour a magnet density, g/cm³ a file film or rust mark Test steel not known
        not attracted 7.98–8.0 bites easily, bites with effort bright, no film Full steel steel
        grey strongly attracted 7.85 ◇ borrowed bites easily, bites with effort, skates off
        bright, no film, brown or black film, rust Test brass not known not attracted 8.53 not
        known bright, no film Full plate not known not attracted not found not known what lies
        below Test plate not known not attracted not found not known what lies below Edition of
        the knowledge base: 2026-11-25. Page identify.html.""",
    ),
    (
        "lessons/mentor.md",
        "answers",
        """Full lesson first ask words right say words second ask words 7.98 to 8.0 g/cm³ third
        ask words one say → two say → three say fourth ask words at most 7 % fifth ask words
        fifth right say Full case case ask words case right say second case ask case yes say""",
    ),
    (
        "lessons/mentor.md",
        "sheet",
        """TraineeBegan onMentor Full lesson: twenty questions right, then each point shown
        point date signed show words Full week what passed when date signed Full lesson all
        questions right, pages closed Full task passed words Full case decided aloud, each
        reason with its page""",
    ),
    ("lessons/again.md", "pages", "Full lesson, 5 questions Full case, 2 questions"),
    (
        "formulas/tempering-temperature.md",
        "top",
        """Start Calculations Tempering temperature for a wanted hardness Tempering temperature for
        a wanted hardness Where to set the oven, from the steel's published tempering table.
        Steel and
        tableFull steel, Full author Hardness wantedHRC Read by straight lines between printed
        points; another melt, section or holding time shifts it. Test a scrap first. The colour of
        the film shows temperature and time together: the same brown comes at 321 °C in eight
        minutes and at 221 °C in an hour.""",
    ),
    (
        "formulas/tempering-temperature.md",
        "table",
        """steel scale tempered at °C: hardness source Full steel HRC 150: 64, 300: 56 Full
        author Edition of the knowledge base: 2026-11-25. Page
        formulas/tempering-temperature.html.""",
    ),
    (
        "materials/index.md",
        "brass",
        """Copper and zinc, often with a little lead. Cuts cleanly, tarnishes, cracks in ammonia
        when stressed. All of them Test brassAn invented brass.""",
    ),
    (
        "parts/index.md",
        "train",
        """Wheels and pinions between barrel and escapement. All of them Full pinionAn invented
        pinion with every field. Edition of the knowledge base: 2026-11-25. Page
        parts/index.html.""",
    ),
    (
        "processes/index.md",
        "top",
        """Start Work Work Hardening, finishing, plating, joining, cleaning, testing: step by
        step with the numbers. Heat treatment Finishing Testing and identifying""",
    ),
    ("formulas/index.md", "jobs", "Full jobAn invented job with every field."),
    (
        "formulas/index.md",
        "tables",
        """Hardness conversion for steelsA steel's hardness in HV, HRC, HRB, HBW and tensile
        strength, by published table. Tempering temperature for a wanted hardnessWhere to set
        the oven, from the steel's published tempering table.""",
    ),
    ("sayings/index.md", "judged-holds", "“Full saying”An invented saying with every field."),
    (
        "lessons/index.md",
        "top",
        """Start Lessons Lessons Safety first, then twelve short lessons, bench tasks and cases,
        in four weeks. The four-week planWhich lesson, task and case in which week, and why.
        Questions that come backWhat you missed, after 1, 3, 7 and 21 days; or ten mixed
        questions. Twelve bench tasksSamples, what to do, what the mentor must see. Eight
        casesWatches that need several pages at once. For the mentorSheets to sign and right
        answers, to print. 1. Full lessonAn invented lesson with every field. Forget my progress
        on this device""",
    ),
    (
        "sources.md",
        "top",
        """Start Sources Sources Where every figure and judgement comes from. Standard9 sources
        Law or regulation1 source Government publication1 source Handbook or textbook3 sources
        Scientific paper3 sources Trade association2 sources Producer's sheet or page1 source
        Data sheet of unknown origin1 source Reference data library2 sources From
        memory No publication was found or read. The value is what a person remembered. It is
        shown so that it can be checked, and never decides a verdict on its own. 1 figure.
        Common practice What the trade does, with no publication behind it. Edition of the
        knowledge base: 2026-11-25. Page sources.html.""",
    ),
    (
        "sources/law.md",
        "top",
        """Start Sources Sources: law or regulation Sources: law or regulation Where every
        figure and judgement comes from. Full law full parliament. full state, 1999, full
        paragraph. Edition of the knowledge base: 2026-11-25. Page sources/law.html.""",
    ),
    (
        "leaflet.md",
        "materials",
        "Deutsch Français Carbon and tool steels Full steel owner words of steel",
    ),
    (
        "leaflet.md",
        "hazards",
        "Full damp owner words of damp Full damp Test sea Rinse it. Test sea",
    ),
    (
        "map.md",
        "outside",
        "Case movementsee inside Case Middle, bezel and back: the body of the watch. Test case",
    ),
]


@pytest.mark.parametrize(("page", "section", "said"), MATERIALS + PARTS + HAZARDS_AND_WORK + OTHERS)
def test_a_section_says_this_and_nothing_else(invented_pages, page, section, said):
    assert by_section(invented_pages[page].body)[section][0] == " ".join(said.split())


def test_coverage_counts_the_figures_of_materials(invented_pages):
    """Counted in the records; how many sources are cited depends on the shipped lists too."""
    said = by_section(invented_pages["coverage.md"].body)["top"][0]
    assert said.startswith(
        "Start Coverage Coverage How much of this reference is sourced, remembered or missing."
        " materials 5 parts 2 hazards 2 processes 3 calculations 13 figures of materials 22 from a"
        " publication 21 (95.5 %) from memory 1 basic figures not found 11 sources "
    )
