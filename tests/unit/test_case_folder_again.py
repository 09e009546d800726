"""A folder listed a second time: what has not changed is not read again, and what has changed is."""

from appraise.services import case_folder
from appraise.services.case_folder import scan
from appraise.store.write import write_case
from tests.helpers import worksheet_cases


def test_only_what_changed_is_read_again(tmp_path, tables, monkeypatch):
    write_case(tmp_path / "one.toml", worksheet_cases.upright(), tables)
    write_case(tmp_path / "other.toml", worksheet_cases.bare(), tables)
    (tmp_path / "broken.toml").write_text('schema = 1\n[identity]\nkind = "organ"\n')
    first = scan(tmp_path, tables)
    read = []
    real = case_folder.read_case_file

    def counted(path, *arguments):
        read.append(path.name)
        return real(path, *arguments)

    monkeypatch.setattr(case_folder, "read_case_file", counted)
    assert scan(tmp_path, tables) == first
    assert read == []
    write_case(tmp_path / "one.toml", worksheet_cases.grand(tables), tables)
    again = scan(tmp_path, tables)
    assert read == ["one.toml"]
    assert [entry.case.identity.kind for entry in again if entry.case][:1] == ["grand"]
