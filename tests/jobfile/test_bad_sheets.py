"""Faults of job.toml and gauges.toml: one clear message each, with its line, its field and the mend."""

import pytest

JOB, GAUGES = "job.toml", "gauges.toml"
NO_CHANGE = ""

# what is written for what; on which line it is told (words of that line), field, words of what is wrong and of the mend
JOB_FAULTS = {
    "unknown key": ('bore = "97.25 mm"', 'bor = "97.25 mm"', "bor =", "engine, bor", "'bor' is not known", "'bore'?"),
    "unknown table": ("[duty]", "[dutty]", "[dutty]", "dutty", "'dutty' is not known", "'duty'?"),
    "unknown list": ('[[order]]\npart = "B1"', '[[ordr]]\npart = "B1"', "[[ordr]]", "ordr", "'ordr' is not known", "'order'?"),
    "strange key": ('front = "sea-water pump end"', "colour = 3", "colour =", "engine, colour", "'colour'", "known here: name,"),
    "missing key": ('stroke = "4.070 in"\n', NO_CHANGE, "[engine]", "engine, stroke", "'stroke' is missing", "Add a line: stroke ="),
    "no unit": ('bore = "97.25 mm"', "bore = 97.25", "bore = 97.25", "engine, bore", "no unit", "97.25 mm"),
    "not a number": ('bore = "97.25 mm"', "bore = nan", "bore = nan", "engine, bore", "does not begin with a number", "number and its unit"),
    "endless": ('bore = "97.25 mm"', "bore = inf", "bore = inf", "engine, bore", "does not begin with a number", "number and its unit"),
    "past all numbers": ('level = "95 %"', "level = 1e999", "level = 1e999", "rules, level", "does not begin with a number", "number"),
    "yes for a size": ('bore = "97.25 mm"', "bore = true", "bore = true", "engine, bore", "true stands here", "0.584 mm"),
    "a list for a size": ('bore = "97.25 mm"', "bore = [97]", "bore = [97]", "engine, bore", "a list stands here", "0.584 mm"),
    "wrong unit": ('bore = "97.25 mm"', 'bore = "97.25 Nm"', "97.25 Nm", "engine, bore", "unit of torque", "mm"),
    "inches for mm": ('bore = "97.25 mm"', 'bore = "3.829 mm"', "3.829 mm", "engine, bore", "did you mean 3.829 in", "30 to 200 mm"),
    "a size below zero": ('stroke = "4.070 in"', 'stroke = "-4.070 in"', "-4.070", "engine, stroke", "has a sign", "without"),
    "a key in other words": ('rod_length = "168.4 mm"', 'rod_length = "1684 mm"', "1684", "engine, rod_length", "a rod length of 1684 mm", "50 to 500"),
    "unknown choice": ('layout = "inline"', 'layout = "inlin"', '"inlin"', "engine, layout", "'inlin' is not possible", "'inline'? Possible: inline, V"),
    "a number for a word": ('layout = "inline"', "layout = 4", "layout = 4", "engine, layout", "'4' is not possible", "Possible: inline"),
    "a word for a count": ("cylinders = 4", 'cylinders = "four"', '"four"', "engine, cylinders", "a whole number is wanted", NO_CHANGE),
    "half a cylinder": ("cylinders = 4", "cylinders = 4.5", "4.5", "engine, cylinders", "a whole number is wanted", NO_CHANGE),
    "a word for yes": ("torque_plate = true", 'torque_plate = "yes"', '"yes"', "engine, torque_plate", "true or false", NO_CHANGE),
    "text for a list": ("firing_order = [1, 3, 4, 2]", 'firing_order = "1342"', "1342", "engine, firing_order", "a list in square", NO_CHANGE),
    "one table for a list": ('[[order]]\npart = "B1"', '[order]\npart = "B1"', "[order]", "order", "a list", "[[order]]"),
    "unknown alloy": ('housing_material = "grey iron"', 'housing_material = "gray iron"', "gray", "engine, housing_material", "'gray iron'", "'grey iron'?"),
    "unknown alloy of a part": ('"aluminium 2618"', '"aluminum 2618"', "aluminum", "part 3, alloy", "'aluminum 2618'", "'aluminium 2618'?"),
    "banks against cylinders": ("cylinders = 4", "cylinders = 4\nbanks = [[1, 2, 3]]", "banks =", "engine, banks", "banks name the cylinders", NO_CHANGE),
    "two banks inline": ("cylinders = 4", "cylinders = 4\nbanks = [[1, 2], [3, 4]]", "banks =", "engine, banks", "inline engine has one bank", NO_CHANGE),
    "a V without angle": ('layout = "inline"', 'layout = "V"', "[engine]", "engine, bank_angle", "bank angle", NO_CHANGE),
    "firing order": ("[1, 3, 4, 2]", "[1, 3, 4, 4]", "[1, 3, 4, 4]", "engine, firing_order", "each cylinder once", NO_CHANGE),
    "short rod": ('"168.4 mm"', '"51 mm"', "51 mm", "engine, rod_length", "no longer than the crank's throw", NO_CHANGE),
    "a journal wider than its housing": ('main_housing = "74.80 mm"', 'main_housing = "64.80 mm"', "main_journal =", "engine, main_journal", "no smaller than its housing", "main_housing"),
    "a coolant that would be steam": ('coolant = "82 °C"', 'coolant = "900 °C"', "900", "duty, coolant", "a coolant of 900 °C", "20 to 300"),
    "an oil that would burn": ('oil = "105 °C"', 'oil = "900 °C"', "900", "duty, oil", "an oil of 900 °C", "20 to 200"),
    "redline under the power": ('redline = "4000 rpm"', 'redline = "3000 rpm"', "3000", "duty, redline", "below the speed", "at_speed"),
    "heights": ('middle = "75 mm"', 'midle = "75 mm"', "[engine.heights]", "engine, heights", "top, middle, bottom", NO_CHANGE),
    "a mark twice": ('mark = "K1"', 'mark = "B1"', 'mark = "B1"\nkind = "crank"', "part 2, mark", "the part 'B1' is there twice", "own mark"),
    "a second block": ('[[part]]\nmark = "K1"', '[[part]]\nmark = "B2"\nkind = "block"\n\n[[part]]\nmark = "K1"', 'kind = "block"\n\n[[part]]\nmark = "K1"', "part 2, kind", "an engine has one block", "case halves"),
    "a part in two places": ('piston = "P2"', 'piston = "P1"', 'piston = "P1"\npin = "W2"', "cylinder 2, piston", "P1 is already in cylinder 1", "one place"),
    "an unknown part": ('pin = "W2"', 'pin = "W22"', "W22", "cylinder 2, pin", "no part bears the mark 'W22'", "'W2'?"),
    "another kind of part": ('pin = "W2"', 'pin = "CU2"', 'pin = "CU2"', "cylinder 2, pin", "CU2 is a shell; a pin is wanted", "another part"),
    "a cylinder too many": ('[[cylinder]]\nnumber = 4', '[[cylinder]]\nnumber = 5', "number = 5", "cylinder 4, number", "no cylinder 5", "cylinder 1, cylinder 2"),
    "a cylinder twice": ('[[cylinder]]\nnumber = 4', '[[cylinder]]\nnumber = 3', 'number = 3\npiston = "P4"', "cylinder 4, number", "two tables for cylinder 3", "one of the two"),
    "one shell": ('shells = ["MU5", "ML5"]', 'shells = ["MU5"]', '["MU5"]', "main 5, shells", "has two shells", '["upper", "lower"]'),
    "unknown fit": ('fit = "wall clearance"', 'fit = "wall clearence"', "clearence", "limit 1, fit", "no fit 'wall clearence'", "'wall clearance'?"),
    "unknown place of a limit": ('fit = "rod side"', 'fit = "rod side"\nat = "throw 5"', "throw 5", "limit 7, at", "'throw 5'", "Possible: throw 1"),
    "low above high": ('low = "1.8 thou"', 'low = "4.8 thou"', "4.8 thou", "limit 4, low", "low is not below high", "Exchange"),
    "low above high per size": ('low_per_size = "0.00115"', 'low_per_size = "0.00215"', "0.00215", "limit 1, low_per_size", "low is not below high", "Exchange"),
    "aim outside": ('aim = "2.3 thou"', 'aim = "3.3 thou"', "3.3 thou", "limit 4, aim", "the aim lies outside", NO_CHANGE),
    "thou for a ratio": ('low_per_size = "0.0062"', "low_per_size = 6.2", "6.2", "limit 2, low_per_size", "far too much", "4.5 thou/in"),
    "unsigned rule": ('by = "R. Quill (invented)"\n', NO_CHANGE, '[[limit]]\nfit = "turning torque"', "limit 10, by", "a builder's own rule needs 'by'", "who"),
    "rule without a reason": ('why = "what this shop sees on fours of this size"\n', NO_CHANGE, '[[limit]]\nfit = "turning torque"', "limit 10, why", "needs 'why'", "reason"),
    "the program's authority": ('authority = "part maker"', 'authority = "common practice"', "common practice", "limit 1, authority", "this program's own", "part maker"),
    "a silent limit": ('low = "0.08 mm"\nhigh = "0.23 mm"\n', NO_CHANGE, '[[limit]]\nfit = "crank end float"', "limit 6", "says nothing", "Write low"),
    "said twice": ('fit = "rod film"', 'fit = "main film"', '[[limit]]\nfit = "main film"\nauthority = "engine manual"\nsource = "invented engine manual"\nlow = "0.040 mm"', "limit 5", "limit 4 gives low", "rule of your own"),
    "an order for nothing": ('part = "B1"\nfeature = "bore"', 'part = "B9"\nfeature = "bore"', 'part = "B9"', "order 1, part", "'B9'", "Marks that would do: B1"),
    "an order of another part": ('part = "B1"\nfeature = "bore"', 'part = "K1"\nfeature = "bore"', 'part = "K1"\nfeature', "order 1, part", "K1 is a crank, and bore belongs to a block", "sent out"),
    "an order of no feature": ('feature = "bore"', 'feature = "boer"', "boer", "order 1, feature", "no feature 'boer'", "'bore'?"),
    "an order without size": ('low = "97.245 mm"\nhigh = "97.265 mm"\n', NO_CHANGE, "[[order]]", "order 1, low", "says no size", "low, high or both"),
    "an order upside down": ('low = "97.245 mm"', 'low = "97.345 mm"', "97.345", "order 1, low", "low is not below high", "Exchange"),
    "an order for no place": ('feature = "bore"', 'feature = "bore"\nat = "cylinder 9"', "cylinder 9", "order 1, at", "'cylinder 9'", "Possible: cylinder 1"),
    "clocking of no cylinder": ("[[order]]", '[[clocking]]\nat = "cylinder 7"\n\n[[order]]', "cylinder 7", "clocking 1, at", "no 'cylinder 7'", "cylinder 4."),
    "another format": ('format = "blockwright job 1"', 'format = "blockwright job 2"', "job 2", "format", "this program reads 'blockwright job 1'", "format ="),
    "another file": ('format = "blockwright job 1"', 'format = "shopping"', "shopping", "format", "no file of the format", "format ="),
    "no format": ('format = "blockwright job 1"\n', NO_CHANGE, NO_CHANGE, "format", "'format' is missing", "format ="),
    "text without quotes": ('layout = "inline"', "layout = inline", "layout = inline", "", "cannot be read", "double quotes"),
    "a size without quotes": ('bore = "97.25 mm"', "bore = 97.25 mm", "bore = 97.25 mm", "", "after the value", "double quotes"),
    "an open quote": ('layout = "inline"', 'layout = "inline', 'layout = "inline\n', "", "a quotation mark is open", "same line"),
    "no equals sign": ('layout = "inline"', 'layout "inline"', 'layout "inline"', "", "no equals sign", "name = value"),
    "a key twice": ("cylinders = 4", "cylinders = 4\ncylinders = 6", "cylinders = 6", "", "there twice", "Keep one"),
    "a table twice": ("[duty]", "[engine]", NO_CHANGE, "", "there twice", "Keep one"),
    "an open bracket": ("[duty]", "[duty", "[duty\n", "", "brackets", "[engine]"),
    "an open list": ("[1, 3, 4, 2]", "[1, 3, 4, 2", NO_CHANGE, "", "a square bracket is open", "]"),
    "a path in quotes": ('front = "sea-water pump end"', 'front = "C:\\pump"', "C:\\pump", "", "backslash", "single quotes"),
    "no such day": ("invented = true", "invented = 2027-02-30", "2027-02-30", "", "no such date", "2026-03-31"),
}  # fmt: skip


@pytest.mark.parametrize("fault", JOB_FAULTS.values(), ids=JOB_FAULTS)
def test_a_fault_in_the_job(harbour, fault) -> None:
    old, new, there, field, what, mend = fault
    harbour.change(JOB, old, new)
    found = harbour.only()
    assert found.place.file == JOB
    assert found.place.field == field
    assert what in found.what
    assert mend in found.mend
    assert found.place.line == (harbour.line(JOB, there) if there else found.place.line)


GAUGE_FAULTS = {
    "a gauge twice": ('id = "M2"', 'id = "M1"', 'id = "M1"\nname = "outside micrometer 2 to 3 in"', "gauge 2, id", "the gauge 'M1' is there twice", "own mark"),
    "a blank mark": ('id = "M2"', 'id = "  "', 'id = "  "', "gauge 2, id", "the gauge has no mark", "Give it one"),
    "no mark": ('id = "M2"\n', NO_CHANGE, '[[gauge]]\nname = "outside micrometer 2 to 3 in"', "gauge 2, id", "'id' is missing", "id ="),
    "unknown sense": ('sense = "blades"', 'sense = "blade"', 'sense = "blade"', "gauge 8, sense", "'blade' is not possible", "'blades'?"),
    "unknown kind": ('measures = "torque"', 'measures = "torqe"', '"torqe"', "gauge 13, measures", "'torqe' is not possible", "'torque'?"),
    "a unit of another kind": ('resolution = "0.1 Nm"', 'resolution = "0.1 mm"', '"0.1 mm"', "gauge 13, resolution", "unit of length", "Nm"),
    "no coverage at all": ('resolution = "0.1 Nm"', 'resolution = "0.1 Nm"\ncoverage = 0', "coverage = 0", "gauge 13, coverage", "coverage factor of 0", "certificate"),
    "coverage in words": ('resolution = "0.1 Nm"', 'resolution = "0.1 Nm"\ncoverage = "two"', '"two"', "gauge 13, coverage", "'two' is no number", "plain number"),
    "endless coverage": ('resolution = "0.1 Nm"', 'resolution = "0.1 Nm"\ncoverage = inf', "= inf", "gauge 13, coverage", "'inf' is no number", "plain number"),
    "freedom below zero": ("repeatability_dof = 12", "repeatability_dof = -12", "-12", "gauge 11, repeatability_dof", "not below 0", "study"),
    "steel as if it were rubber": ('resolution = "0.1 Nm"', 'resolution = "0.1 Nm"\nexpansion = 11.5', "= 11.5", "gauge 13, expansion", "no gauge expands so much", "um/m/K"),
    "range upside down": ('low = "75 mm"', 'low = "175 mm"', '"175 mm"', "gauge 1, low", "not below its largest", "Exchange"),
    "no such day": ('due = "2028-01-31"', 'due = "31.1.2028"', "31.1.2028", "gauge 10, due", "'31.1.2028' is no date", "2026-03-31"),
    "a setting twice": ('id = "S4"', 'id = "S3"', 'id = "S3"\ngauge = "BG2"', "setting 4, id", "the setting 'S3' is there twice", "own mark"),
    "a setting of no gauge": ('gauge = "BG2"', 'gauge = "BG9"', '"BG9"', "setting 4, gauge", "no gauge 'BG9'", "'BG"),
    "a setting of a micrometer": ('gauge = "BG2"', 'gauge = "M4"', 'gauge = "M4"', "setting 4, gauge", "shows sizes by itself", "deviation"),
    "an unknown master": ('master = "M4"', 'master = "M44"', "M44", "setting 4, master", "no gauge 'M44'", "'M4'?"),
    "a comparator as master": ('master = "M4"', 'master = "BG1"', 'master = "BG1"', "setting 4, master", "itself a comparator", "micrometer or ring"),
    "a torque wrench as master": ('master = "M4"', 'master = "TW1"', 'master = "TW1"', "setting 4, master", "measures torque", "another gauge"),
    "a hot master": ('master_temp = "20.5 °C"', 'master_temp = "70"', '= "70"', "setting 3, master_temp", "a master at 70 °C", "°F"),
    "a setting without size": ('size = "27.000 mm"\n', NO_CHANGE, '[[setting]]\nid = "S4"', "setting 4, size", "'size' is missing", "size ="),
    "unknown key": ('size = "27.000 mm"', 'sise = "27.000 mm"', "sise", "setting 4, sise", "'sise' is not known", "'size'?"),
    "another format": ("gauges 1", "gauge 1", "gauge 1", "format", "no file of the format", "blockwright gauges 1"),
}  # fmt: skip


@pytest.mark.parametrize("fault", GAUGE_FAULTS.values(), ids=GAUGE_FAULTS)
def test_a_fault_in_the_gauges(harbour, fault) -> None:
    old, new, there, field, what, mend = fault
    harbour.change(GAUGES, old, new)
    found = harbour.only()
    assert (found.place.file, found.place.field) == (GAUGES, field)
    assert what in found.what
    assert mend in found.mend
    assert found.place.line == harbour.line(GAUGES, there)


def test_a_limit_per_size_needs_the_size(harbour) -> None:
    harbour.change(JOB, 'main_journal = "2.7550 in"\n', "")
    harbour.change(JOB, 'low = "1.8 thou"\naim = "2.3 thou"\nhigh = "3.0 thou"', "low_per_size = 0.0007")
    found = harbour.only()
    assert (found.code, found.place.field) == ("limit-size", "limit 4, low_per_size")
    assert "nominal size for main film" in found.what


def test_a_table_by_size(harbour) -> None:
    table = (
        'by_size = [{to = "80 mm", low = "2 thou", high = "1 thou"}, {to = "80 mm", aim = "9 thou", high = "3 thou"}]'
    )
    harbour.change(JOB, 'low = "1.8 thou"\naim = "2.3 thou"\nhigh = "3.0 thou"', table)
    words = [problem.what for problem in harbour.refused()]
    assert words == ["low is not below high."]
    harbour.change(JOB, 'low = "2 thou", high = "1 thou"', 'low = "1 thou", high = "2 thou"')
    assert "the aim lies outside" in harbour.only().what
    harbour.change(JOB, 'aim = "9 thou", ', "")
    assert "go up to the same size" in harbour.only().what
    harbour.change(JOB, 'to = "80 mm"', 'to = "60 mm"')
    assert [row.to_m for row in harbour.job().sheet.limit[3].by_size] == [0.06, 0.08]


def test_a_missing_table_is_one_fault(harbour) -> None:
    start, end = (harbour.text(JOB).index(words) for words in ("[duty]", "[rules]"))
    harbour.write(JOB, harbour.text(JOB)[:start] + harbour.text(JOB)[end:])
    found = harbour.only()
    assert (found.code, found.place.field) == ("toml-missing", "duty")


def test_a_word_for_a_table_is_one_fault(harbour) -> None:
    start, end = (harbour.text(JOB).index(words) for words in ("[duty]", "[rules]"))
    text = harbour.text(JOB)[:start] + harbour.text(JOB)[end:]
    harbour.write(JOB, text.replace('job = "HB', 'duty = "harbour"\njob = "HB'))
    found = harbour.only()
    assert found.what == "'harbour' stands here; a table with names and values is wanted."


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("cylinders = 4", "cylinders = 1000000000"),
        ("cylinders = 4", "cylinders = 0x" + "f" * 6000),
        ("cylinders = 4", "cylinders = -4"),
        ("cylinders = 4", "cylinders = 4\nmains = 1000000000"),
        ("cylinders = 4", f"cylinders = 4\nbanks = [{list(range(5000))}]"),
        ("cylinders = 4", f"cylinders = {'9' * 5000}"),
        ('bore = "97.25 mm"', f'bore = "{"9" * 5000} mm"'),
        ('name = "Harbour', "a" + ".a" * 5000 + ' = 1\nname = "Harbour'),
        ('name = "Harbour', f'{"x" * 100_000} = 1\nname = "Harbour'),
        ('front = "sea-water pump end"', f"front = {'[' * 5000}{']' * 5000}"),
        ('front = "sea-water pump end"', "front = 1979-05-27T07:32:00Z"),
        ('front = "sea-water pump end"', "front = 07:32:00"),
    ],
)
def test_what_no_builder_would_write_is_refused_at_once(harbour, old, new) -> None:
    harbour.change(JOB, old, new)
    assert all(len(str(problem)) < 2000 for problem in harbour.refused())
