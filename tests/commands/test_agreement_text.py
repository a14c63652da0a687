"""The agreement table for people."""

from pathlib import Path

from observe.commands.agreement_text import agreement_text
from observe.work.file_agreement import Wanted, file_agreement

TWO_ITEMS = "item,unit,observer,value\n" + "".join(
    f"{item},u{unit},{who},{value}\n"
    for item, split in (("asks for \x1b[31mconsent", 4), ("needle in, bevel up", 0))
    for unit in range(12)
    for who, value in (("A", "done"), ("B", "not done" if unit < split else "done"))
)


def text_of(folder: Path, **how: object) -> str:
    path = folder / "ratings.csv"
    path.write_text(TWO_ITEMS.replace("needle in, bevel up", '"needle in, bevel up"'))
    wanted = Wanted(categories=["done", "not done"], **how)  # type: ignore[arg-type]  # forwards keywords
    found = file_agreement(path, wanted)
    return agreement_text(found, 0.95)


def test_each_item_has_its_table_and_the_methods_stand_at_the_end(tmp_path: Path) -> None:
    text = text_of(tmp_path)
    assert text.index("needle in, bevel up") < text.index("How it was computed")
    assert text.count("12 units; observers A, B; nominal scale") == 2
    assert text.count("exact (Clopper-Pearson).") == 1
    assert "beside percent agreement." in text


def test_values_and_reasons(tmp_path: Path) -> None:
    text = text_of(tmp_path)
    assert "Percent agreement                     66.7 %   34.9 % to 90.1 %           12" in text
    assert "Agreeing pairs: 8 of 12." in text
    assert "interval not estimable: one observer used one category only." in text
    assert "Cohen's kappa                              -   -                          12" in text
    assert "every rating is the same" in " ".join(text.split())
    assert "nan" not in text.lower().replace("name", "")


def test_a_note_is_said_once_per_item(tmp_path: Path) -> None:
    path = tmp_path / "few.csv"
    path.write_text("unit,observer,value\nu1,A,x\nu1,B,y\nu2,A,x\nu2,B,x\n")
    text = " ".join(agreement_text(file_agreement(path), 0.95).split())
    assert text.count("Categories taken from the ratings, not declared: x, y.") == 1


def test_nothing_a_terminal_would_obey_and_no_long_line(tmp_path: Path) -> None:
    text = text_of(tmp_path)
    assert "\x1b" not in text
    assert max(map(len, text.splitlines())) <= 88


def test_an_item_that_nobody_rated(tmp_path: Path) -> None:
    path = tmp_path / "empty.csv"
    path.write_text("unit,observer,value\nu1,A,\nu1,B,\n")
    text = agreement_text(file_agreement(path), 0.95)
    assert "1 unit; no ratings; nominal scale" in text
    assert "no unit was rated by two or more observers" in " ".join(text.split())


def test_a_value_below_chance_keeps_its_sign_on_any_terminal(tmp_path: Path) -> None:
    path = tmp_path / "below.csv"
    path.write_text("unit,observer,value\nu1,A,x\nu1,B,y\nu2,A,y\nu2,B,x\n")
    text = agreement_text(file_agreement(path, Wanted(methods=["cohen_kappa"])), 0.95)
    assert "-1.000" in text.encode("ascii").decode()


def test_many_observers_are_counted_not_listed(tmp_path: Path) -> None:
    path = tmp_path / "many.csv"
    rows = "".join(f"u{who % 7},observer {who},done\n" for who in range(2000))
    path.write_text("unit,observer,value\n" + rows)
    text = agreement_text(file_agreement(path), 0.95)
    assert "and 1,992 more" in text
    assert len(text) < 2000


def test_percent_agreement_alone_needs_no_word_on_chance(tmp_path: Path) -> None:
    text = text_of(tmp_path, methods=["percent_agreement", "specific_agreement"])
    assert "chance" not in text
