"""The newer cipher of PDFs (AES), for computers where no package for it can be installed.

The editor's own Python often cannot take compiled packages, and many bought patterns are
encrypted although they open without a password.  Names follow FIPS 197; the ways of
chaining blocks follow NIST SP 800-38A.  Only for reading: nothing here is hardened against
someone who watches the clock.
"""

from typing import List, Tuple

import numpy as np

_WRONG_KEY = "the length of the data is no multiple of 16"


def _doubled(value: int) -> int:
    return (value << 1) ^ (0x11B if value & 0x80 else 0)


def _product(a: int, b: int) -> int:
    """Product in the field of FIPS 197, 4.2."""
    total = 0
    while b:
        total ^= a if b & 1 else 0
        a, b = _doubled(a), b >> 1
    return total


def _sbox() -> List[int]:
    """The substitution of FIPS 197, 5.1.1: the inverse in the field, then an affine map."""
    powers, logs, value = [0] * 256, [0] * 256, 1
    for exponent in range(255):
        powers[exponent], logs[value] = value, exponent
        value ^= _doubled(value)  # times 3
    box = []
    for byte in range(256):
        inverse = powers[(255 - logs[byte]) % 255] if byte else 0
        spread = inverse ^ inverse << 1 ^ inverse << 2 ^ inverse << 3 ^ inverse << 4
        box.append((spread & 255 ^ spread >> 8) ^ 0x63)
    return box


_SBOX = _sbox()
_INVERSE = np.zeros(256, np.uint8)
_INVERSE[_SBOX] = np.arange(256)
_TIMES = {k: np.array([_product(byte, k) for byte in range(256)], np.uint8) for k in (9, 11, 13, 14)}
# Where each byte comes from when the rows are shifted back (FIPS 197, 5.3.1).
_SHIFTED_BACK = [row + 4 * ((column - row) % 4) for column in range(4) for row in range(4)]
# One table for a byte's way through a round of encryption, as a word of four bytes.
_ROUND = [_product(s, 2) << 24 | s << 16 | s << 8 | _product(s, 3) for s in _SBOX]
_ROUND = [[word >> 8 * turn | word << 32 - 8 * turn & 0xFFFFFFFF for word in _ROUND] for turn in range(4)]  # type: ignore[misc]


def _keys(key: bytes) -> List[int]:
    """The key schedule of FIPS 197, 5.2, as words."""
    count = len(key) // 4
    words = [int.from_bytes(key[4 * i : 4 * i + 4], "big") for i in range(count)]
    constant = 1
    for i in range(count, 4 * (count + 7)):
        word = words[-1]
        if i % count == 0:
            word = _substituted(word << 8 & 0xFFFFFFFF | word >> 24) ^ constant << 24
            constant = _doubled(constant)
        elif count > 6 and i % count == 4:
            word = _substituted(word)
        words.append(words[i - count] ^ word)
    return words


def _substituted(word: int) -> int:
    return int.from_bytes(bytes(_SBOX[byte] for byte in word.to_bytes(4, "big")), "big")


def ecb_decrypt(key: bytes, data: bytes) -> bytes:
    """Every block on its own; all blocks at once."""
    if len(data) % 16:
        raise ValueError(_WRONG_KEY)
    words = _keys(key)
    keys = np.frombuffer(b"".join(word.to_bytes(4, "big") for word in words), np.uint8).reshape(-1, 16)
    state = np.frombuffer(data, np.uint8).reshape(-1, 16) ^ keys[-1]
    for step in range(len(keys) - 2, -1, -1):
        state = _INVERSE[state[:, _SHIFTED_BACK]] ^ keys[step]
        if step:
            state = _mixed_back(state)
    return state.tobytes()


def _mixed_back(state: np.ndarray) -> np.ndarray:
    """FIPS 197, 5.3.3."""
    rows = state.reshape(-1, 4, 4)
    mixed = np.zeros_like(rows)
    for row in range(4):
        for other, factor in zip(range(4), np.roll((14, 11, 13, 9), row).tolist()):
            mixed[:, :, row] ^= _TIMES[factor][rows[:, :, other]]
    return mixed.reshape(-1, 16)


def cbc_decrypt(key: bytes, start: bytes, data: bytes) -> bytes:
    """Blocks that were mixed with the ones before them."""
    before = np.frombuffer((start + data)[: len(data)], np.uint8)
    return (np.frombuffer(ecb_decrypt(key, data), np.uint8) ^ before).tobytes()


def cbc_encrypt(key: bytes, start: bytes, data: bytes) -> bytes:
    """As above, the other way; block by block, for each needs the last one.

    Reading needs it too: newer files work a key out of a password with it.
    """
    if len(data) % 16:
        raise ValueError(_WRONG_KEY)
    words, out = _keys(key), []
    last = _words(start)
    for at in range(0, len(data), 16):
        block = _words(data[at : at + 16])
        last = _encrypted(words, [a ^ b for a, b in zip(block, last)])
        out.extend(last)
    return b"".join(word.to_bytes(4, "big") for word in out)


def _words(block: bytes) -> List[int]:
    return [int.from_bytes(block[i : i + 4], "big") for i in (0, 4, 8, 12)]


def _encrypted(words: List[int], state: List[int]) -> List[int]:
    """One block (FIPS 197, 5.1), a column as a word."""
    first, second, third, fourth = _ROUND  # type: ignore[misc]
    state = [value ^ key for value, key in zip(state, words)]
    for at in range(4, len(words) - 4, 4):
        a, b, c, d = state
        state = [
            first[p >> 24] ^ second[q >> 16 & 255] ^ third[r >> 8 & 255] ^ fourth[s & 255] ^ words[at + i]  # type: ignore[index]
            for i, (p, q, r, s) in enumerate(_shifted(a, b, c, d))
        ]
    box, last = _SBOX, []
    for (p, q, r, s), key in zip(_shifted(*state), words[-4:]):
        mixed = box[p >> 24] << 24 | box[q >> 16 & 255] << 16 | box[r >> 8 & 255] << 8 | box[s & 255]
        last.append(mixed ^ key)
    return last


def _shifted(a: int, b: int, c: int, d: int) -> Tuple[Tuple[int, int, int, int], ...]:
    return (a, b, c, d), (b, c, d, a), (c, d, a, b), (d, a, b, c)


class StreamCipher:
    """A stream or string of a PDF: 16 bytes to start with, blocks, and filling at the end."""

    def __init__(self, key: bytes) -> None:
        self.key = key

    def decrypt(self, data: bytes, strict: bool = False) -> bytes:
        """The plain bytes; a broken last block is left off."""
        start, body = data[:16], data[16:]
        body = body[: len(body) // 16 * 16]
        if not body:
            return b""
        plain = cbc_decrypt(self.key, start, body)
        return plain[: -plain[-1]] if 1 <= plain[-1] <= 16 else plain


def lend_cipher() -> None:
    """Give pypdf this cipher where it has none of its own; where it differs inside, it stays as it is."""
    import pypdf._crypt_providers as providers
    import pypdf._encryption as encryption

    names = ("CryptAES", "aes_cbc_decrypt", "aes_cbc_encrypt", "aes_ecb_decrypt")
    lacking = getattr(providers, "crypt_provider", ("",))[0] == "local_crypt_fallback"
    if lacking and all(hasattr(encryption, name) for name in names):
        for name, ours in zip(names, (StreamCipher, cbc_decrypt, cbc_encrypt, ecb_decrypt)):
            setattr(encryption, name, ours)
