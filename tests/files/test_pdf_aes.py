"""The cipher against its own standard's numbers and against the package that others use."""

import importlib
import io

import pytest

from sewkit.errors import SewkitError
from sewkit.files.pdf_aes import StreamCipher, cbc_decrypt, cbc_encrypt, ecb_decrypt, lend_cipher
from sewkit.files.pdf_read import read_pages

NO_START = bytes(16)


@pytest.mark.parametrize(
    "key, packed",
    [
        # FIPS 197, Appendix C: keys 00 01 02 ..., plain 00112233445566778899aabbccddeeff
        (bytes(range(16)), "69c4e0d86a7b0430d8cdb78070b4c55a"),
        (bytes(range(32)), "8ea2b7ca516745bfeafc49904b496089"),
    ],
)
def test_the_standard_s_own_example(key, packed):
    plain = bytes.fromhex("00112233445566778899aabbccddeeff")

    assert ecb_decrypt(key, bytes.fromhex(packed)) == plain
    assert cbc_encrypt(key, NO_START, plain).hex() == packed


def test_chained_blocks_of_the_standard():
    # NIST SP 800-38A, F.2.1, the first two blocks
    key = bytes.fromhex("2b7e151628aed2a6abf7158809cf4f3c")
    plain = bytes.fromhex("6bc1bee22e409f96e93d7e117393172aae2d8a571e03ac9c9eb76fac45af8e51")
    packed = bytes.fromhex("7649abac8119b246cee98e9b12e9197d5086cb9b507219ee95db113a917678b2")

    assert cbc_encrypt(key, bytes(range(16)), plain) == packed
    assert cbc_decrypt(key, bytes(range(16)), packed) == plain


@pytest.mark.parametrize("length", [0, 1, 15, 16, 17, 1000])
@pytest.mark.parametrize("size", [16, 32])
def test_streams_as_the_package_encrypts_them(size, length):
    pytest.importorskip("cryptography")
    theirs = pytest.importorskip("pypdf._crypt_providers._cryptography")
    key, plain = bytes(range(7, 7 + size)), bytes(i * 37 % 256 for i in range(length))

    assert StreamCipher(key).decrypt(theirs.CryptAES(key).encrypt(plain)) == plain


@pytest.mark.parametrize("data", [b"", b"short", bytes(16), bytes(31), bytes(40)])
def test_broken_streams_give_something_or_nothing(data):
    assert len(StreamCipher(bytes(16)).decrypt(data)) <= 24


@pytest.mark.parametrize("how", ["AES-128", "AES-256"])
def test_whole_files_open_without_the_package(how, monkeypatch):
    pytest.importorskip("cryptography")
    pytest.importorskip("pypdf._crypt_providers")
    pypdf = pytest.importorskip("pypdf")
    providers, encryption = (
        importlib.import_module("pypdf." + n) for n in ("_crypt_providers", "_encryption")
    )
    fallback = importlib.import_module("pypdf._crypt_providers._fallback")
    data = encrypted(pypdf, how)
    for name in ("CryptAES", "aes_cbc_decrypt", "aes_cbc_encrypt", "aes_ecb_decrypt"):
        monkeypatch.setattr(encryption, name, getattr(fallback, name))
    monkeypatch.setattr(providers, "crypt_provider", fallback.crypt_provider)

    assert len(read_pages(io.BytesIO(data)).pages[0].drawn) == 1
    assert encryption.CryptAES is StreamCipher


@pytest.mark.parametrize("how", ["AES-128", "AES-256"])
def test_where_pypdf_is_made_otherwise_the_cure_is_told(how, monkeypatch):
    pytest.importorskip("cryptography")
    pytest.importorskip("pypdf._crypt_providers")
    pypdf = pytest.importorskip("pypdf")
    encryption = importlib.import_module("pypdf._encryption")
    fallback = importlib.import_module("pypdf._crypt_providers._fallback")
    data = encrypted(pypdf, how)
    for name in ("CryptAES", "aes_cbc_decrypt", "aes_cbc_encrypt", "aes_ecb_decrypt"):
        monkeypatch.setattr(encryption, name, getattr(fallback, name))
    with pytest.raises(SewkitError, match="pip install cryptography"):
        read_pages(io.BytesIO(data))


def encrypted(pypdf, how):
    """A page that opens without a password, and has an owner's."""
    from tests.files.pdf_assembler import page

    writer = pypdf.PdfWriter()
    writer.append(io.BytesIO(page(b"0 0 m 9 9 l S")))
    writer.encrypt("", "maker", algorithm=how)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def test_a_cipher_of_its_own_is_left_to_pypdf():
    pytest.importorskip("cryptography")
    pytest.importorskip("pypdf._crypt_providers")
    encryption = importlib.import_module("pypdf._encryption")
    before = encryption.CryptAES
    lend_cipher()

    assert encryption.CryptAES is before
