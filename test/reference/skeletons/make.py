"""Writes skeletons.json: what ICU's spoof checker makes of some texts (UTS 39, section 4), by its own tables.

python3 test/reference/skeletons/make.py, on Debian 12 with libicu72 (ICU 72.1, Unicode 15.0).
"""

import ctypes
import json
import pathlib
import unicodedata

ICU = ctypes.CDLL("libicui18n.so.72")
ICU.uspoof_open_72.restype = ctypes.c_void_p
CHECKER = ctypes.c_void_p(ICU.uspoof_open_72(ctypes.byref(ctypes.c_int(0))))


def skeleton(text):
    written = text.encode()
    room = ctypes.create_string_buffer(4096)
    status = ctypes.c_int(0)
    length = ICU.uspoof_getSkeletonUTF8_72(
        CHECKER, ctypes.c_uint32(0), written, ctypes.c_int32(len(written)), room, ctypes.c_int32(4096),
        ctypes.byref(status))
    assert status.value <= 0, status.value
    return room.raw[:length].decode()


names = [
    "Odile", "0dile", "Оdile", "Odi1e", "OdiIe", "Ada", "Аdа", "Äda", "A\u0308da", "Maren", "Rnaren", "rnaren",
    "Tomás", "Тоmás", "paypal", "раураl", "ℍollis", "Ｈｏｌｌｉｓ", "Grebe’s", "Grebe's", "a\u00a0b", "fi ﬁ",
    "ΑΒΓ", "АВГ", "משה", "Ⅷ", "½", "ß", "β", "ı", "ł", "l\u0337", "王", "⺩", "ー", "一",
]
# Every hundredth of all that differ from their own decomposed form, so that no part of the table goes unseen.
differing = [
    chr(code) for code in range(0x20, 0x30000)
    if not 0xD800 <= code <= 0xDFFF and skeleton(chr(code)) != unicodedata.normalize("NFD", chr(code))
]
table = {text: skeleton(text) for text in names + differing[::100]}
path = pathlib.Path(__file__).with_name("skeletons.json")
path.write_text(json.dumps(table, ensure_ascii=True, indent=1) + "\n")
