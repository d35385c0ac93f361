"""One way to change a job, two places to keep it: the same acts in a book and in a job folder make the same files, or the same refusals."""

import datetime as dt
import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockwright.acts.store import FolderStore, Store
from blockwright.jobfile.folder import read_folder, texts_of_folder
from blockwright.ledger import cache
from blockwright.ledger.books import open_book
from blockwright.ledger.store import LedgerStore
from blockwright.ledger.verify import verify
from blockwright.problems import BlockwrightError

pytestmark = pytest.mark.django_db(transaction=True)
AT = dt.datetime(2026, 5, 4, 9, 30, tzinfo=dt.UTC)

ROWS = st.sampled_from([*(f"r{number}" for number in range(1, 9)), "r168", "r999"])
VALUES = st.sampled_from(["3 um", "-2,5 um", "0.1 thou", "12", "nonsense", "97.250 mm", ""])
ACTS = st.one_of(
    st.tuples(st.just("reading taken"), st.fixed_dictionaries({"row": ROWS, "value": VALUES}, optional={"note": st.text(max_size=12)})),
    st.tuples(st.just("reading withdrawn"), st.fixed_dictionaries({"row": ROWS, "why": st.sampled_from(["slipped", ""])})),
    st.tuples(
        st.just("state set"),
        st.fixed_dictionaries({"rows": st.lists(ROWS, max_size=3, unique=True), "part_temp": st.sampled_from(["21.5 C", "hot"])}),
    ),
    st.tuples(st.just("never heard of"), st.just({})),
)  # fmt: skip


def done(store: Store, kind: str, words: dict[str, Any], key: str) -> tuple[str, ...]:
    """What came of an act: its event, or the refusal."""
    try:
        event = store.keep(kind, words, by="A. Hand", at=AT, key=key)
    except BlockwrightError as refused:
        return ("refused", *map(str, refused.problems))
    return (event.kind, str(sorted(event.body.items())))


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(st.lists(st.tuples(ACTS, st.integers(0, 9)), max_size=8), st.booleans())
def test_a_book_and_a_folder_agree(
    new_folder: Path, acts: list[tuple[tuple[str, dict[str, Any]], int]], forget: bool
) -> None:
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "job"
        shutil.copytree(new_folder, folder)
        on_disk, on_record = FolderStore(folder), LedgerStore(open_book(texts_of_folder(folder), "A. Hand", name="job"))
        for (kind, words), key in acts:
            assert done(on_record, kind, words, f"k{key}") == done(on_disk, kind, words, f"k{key}")
            if forget:
                cache.drop(on_record.book.slug)
        kept = on_record.kept()
        assert kept.texts() == texts_of_folder(folder)
        assert kept.job == read_folder(folder).job
        assert verify(on_record.book).sound
