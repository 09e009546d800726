"""`check` of a signature and a time stamp beside a document, made here by the general tools themselves."""

from __future__ import annotations

import json
import shutil
import subprocess

import pytest

from tests.helpers.samples import copied_samples

pytestmark = pytest.mark.skipif(
    shutil.which("ssh-keygen") is None or shutil.which("openssl") is None, reason="no ssh-keygen or no openssl here"
)

TSA = """
[tsa]
default_tsa = this
[this]
dir = {folder}
serial = $dir/serial
signer_cert = $dir/tsa.pem
signer_key = $dir/tsa.key
certs = $dir/ca.pem
default_policy = 1.2.3.4.1
digests = sha256
signer_digest = sha256
"""
"""Of openssl-ts(1): as few keys as a reply needs."""


def tool(*words, **options):
    subprocess.run([str(word) for word in words], check=True, capture_output=True, **options)


def key(folder, name):
    """A key without a passphrase."""
    tool("ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", name, "-f", folder / name)
    return folder / name


def sign(by, path, namespace="file"):
    """What the help of `check` prints."""
    path.with_name(path.name + ".sig").unlink(missing_ok=True)
    tool("ssh-keygen", "-Y", "sign", "-f", by, "-n", namespace, path)


@pytest.fixture(scope="module")
def signer(tmp_path_factory):
    """A key, and a list of allowed signers that names it."""
    folder = tmp_path_factory.mktemp("keys")
    mine = key(folder, "mine")
    (folder / "signers").write_text(f"hale@example.org {mine.with_suffix('.pub').read_text()}")
    return mine


@pytest.fixture(scope="module")
def authority(tmp_path_factory):
    """A time stamp authority of our own: a certificate of its own root, as RFC 3161 wants it."""
    folder = tmp_path_factory.mktemp("authority")
    tool("openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-subj", "/CN=Root of a test", "-days", "2",
         "-keyout", folder / "ca.key", "-out", folder / "ca.pem")  # fmt: skip
    tool("openssl", "req", "-newkey", "rsa:2048", "-nodes", "-subj", "/CN=Stamps of a test",
         "-keyout", folder / "tsa.key", "-out", folder / "tsa.csr")  # fmt: skip
    (folder / "use").write_text("extendedKeyUsage = critical,timeStamping\n")
    tool("openssl", "x509", "-req", "-in", folder / "tsa.csr", "-CA", folder / "ca.pem", "-CAkey", folder / "ca.key",
         "-CAcreateserial", "-days", "2", "-extfile", folder / "use", "-out", folder / "tsa.pem")  # fmt: skip
    (folder / "serial").write_text("01\n")
    (folder / "tsa.cnf").write_text(TSA.format(folder=folder))
    return folder


def stamp(folder, path):
    """The query of the help of `check`, and what an authority answers."""
    query = path.with_name(path.name + ".tsq")
    tool("openssl", "ts", "-query", "-data", path, "-sha256", "-cert", "-out", query)
    reply = path.with_name(path.name + ".tsr")
    tool("openssl", "ts", "-reply", "-config", folder / "tsa.cnf", "-queryfile", query, "-out", reply)


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """A case with its trail, and a document that the trail knows by its hash."""
    from appraise.cli.parser import main

    folder = tmp_path_factory.mktemp("written")
    case = folder / "grand.toml"
    shutil.copy(copied_samples() / "recent_grand.toml", case)
    words = ["report", str(case), "--kind", "summary", "-o", str(folder / "owner.pdf"), "--draws", "100"]
    assert main(words) == 0
    return folder


@pytest.fixture
def document(written, tmp_path):
    folder = tmp_path / "work"
    shutil.copytree(written, folder)
    return folder / "owner.pdf"


def test_a_signature_and_a_stamp_that_hold_are_told(appraise, document, signer, authority):
    sign(signer, document)
    stamp(authority, document)
    trusted = ("--signers", signer.parent / "signers", "--authority", authority / "ca.pem")
    code, out, err = appraise("check", document, *trusted)
    assert (code, err) == (0, "")
    known, signed, stamped = out.splitlines()
    assert "the document as it was written on" in known
    assert signed.startswith(f"{document}.sig: signed by hale@example.org (ED25519 key SHA256:")
    assert stamped.startswith(f"{document}.tsr: time-stamped ")
    assert stamped.endswith("GMT")
    (found,) = json.loads(appraise("check", document, *trusted, "--json").out)["files"]
    assert [each["problem"] for each in found["signatures"]] == [None, None]


def test_both_are_named_in_the_settings(appraise, document, signer, authority, tmp_path, monkeypatch):
    own = tmp_path / "settings.toml"
    shutil.copy(signer.parent / "signers", tmp_path / "signers")
    own.write_text(f'[signatures]\nsigners = "signers"\nauthority = "{authority / "ca.pem"}"\n')
    monkeypatch.setenv("APPRAISE_SETTINGS", str(own))
    sign(signer, document)
    stamp(authority, document)
    assert appraise("check", document).code == 0


def test_a_document_that_was_tampered_with_is_refused(appraise, document, signer, authority):
    sign(signer, document)
    stamp(authority, document)
    document.write_bytes(document.read_bytes() + b"\n% more\n")
    trusted = ("--signers", signer.parent / "signers", "--authority", authority / "ca.pem")
    code, out, _ = appraise("check", document, *trusted)
    assert code == 1
    known, signed, stamped = out.splitlines()
    assert "as line" in known
    assert f"{document}.sig: found a signature that does not hold" in signed
    assert f"{document}.tsr: found a time stamp that does not hold" in stamped


def test_a_key_of_somebody_else_is_refused(appraise, document, signer, tmp_path):
    sign(key(tmp_path, "foreign"), document)
    code, out, _ = appraise("check", document, "--signers", signer.parent / "signers")
    assert code == 1
    assert "found a signature by a key that" in out
    assert "expected one by an allowed signer" in out


def test_a_signature_for_something_else_is_refused(appraise, document, signer):
    sign(signer, document, namespace="email")
    code, out, _ = appraise("check", document, "--signers", signer.parent / "signers")
    assert code == 1
    assert 'signed for another namespace than "file"' in out


def test_another_authority_is_refused(appraise, document, authority, tmp_path):
    stamp(authority, document)
    tool("openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-subj", "/CN=Another root", "-days", "2",
         "-keyout", tmp_path / "other.key", "-out", tmp_path / "other.pem")  # fmt: skip
    code, out, _ = appraise("check", document, "--authority", tmp_path / "other.pem")
    assert code == 1
    assert "found a time stamp that does not hold" in out


@pytest.mark.parametrize(
    ("ending", "said"),
    [
        (".sig", "found no allowed signers to verify it by, expected --signers FILE, or [signatures] signers"),
        (".tsr", "found no authority to verify it by, expected --authority FILE, or [signatures] authority"),
    ],
)
def test_without_anybody_to_trust_one_line_says_what_is_missing(appraise, document, ending, said):
    document.with_name(document.name + ending).write_text("not one\n")
    code, out, _ = appraise("check", document)
    assert code == 1
    assert out.splitlines()[1].startswith(f"{document}{ending}: {said}")


@pytest.mark.parametrize("content", [b"", b"\x00\xff" * 40, b"-----BEGIN SSH SIGNATURE-----\nAAAA\n"])
def test_what_is_no_signature_is_one_line(appraise, document, signer, authority, content):
    for ending in (".sig", ".tsr"):
        document.with_name(document.name + ending).write_bytes(content)
    trusted = ("--signers", signer.parent / "signers", "--authority", authority / "ca.pem")
    code, out, err = appraise("check", document, *trusted)
    assert (code, err) == (1, "")
    assert len(out.splitlines()) == 3


def test_where_the_tools_are_missing_a_line_says_so(appraise, document, signer, authority, monkeypatch):
    sign(signer, document)
    stamp(authority, document)
    monkeypatch.setenv("PATH", "/nowhere")
    code, out, _ = appraise("check", document)
    assert code == 1
    assert "found no ssh-keygen on this machine, expected ssh-keygen, which verifies it" in out
    assert "found no openssl on this machine" in out


def test_the_help_prints_the_commands_that_make_one(appraise):
    told = " ".join(appraise("check", "--help").out.split())
    assert "ssh-keygen -Y sign -f KEY -n file DOCUMENT" in told
    assert "openssl ts -query -data DOCUMENT -sha256 -cert -out DOCUMENT.tsq" in told


def test_a_name_that_leaves_no_room_for_an_ending_is_no_trouble(appraise, tmp_path):
    case = tmp_path / f"{'x' * 250}.toml"
    shutil.copy(copied_samples() / "recent_grand.toml", case)
    code, out, err = appraise("check", case)
    assert (code, err) == (0, "")
    assert "no problems" in out
