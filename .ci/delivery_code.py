#!/usr/bin/env python3
"""Works the delivery code of sealed builds anew, from git alone and with nothing
of the program: delivery_code.py BOOK ENGINE/BUILD ...

The sum is SHA-256 of the lines "stackbook-delivery 1", engine and build, then
a line as sha256sum prints it for each file of the engine's folder, book.yaml
and the limit set, sorted by the bytes of their paths. The code is the version
digit 1, 120 bits of the sum in base 32 (RFC 4648) and a check character: with
each character a number of the field of 32 elements modulo x^5 + x^2 + 1, the
code as a polynomial is zero at x.
"""

import base64
import hashlib
import re
import subprocess
import sys

DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"


def git(book, *args):
    return subprocess.run(("git", "-C", book) + args, check=True, capture_output=True).stdout


def delivery_sum(book, engine, build, tag):
    paths = git(book, "ls-tree", "-r", "-z", "--name-only", tag).split(b"\0")
    spec = next(p for p in paths if re.fullmatch(rb"engines/[^/]+/%s/spec\.yaml" % engine.encode(), p))
    folder = spec[: -len(b"spec.yaml")]
    named = re.search(rb"^limits: *(\S+)", git(book, "show", b"%s:%s" % (tag.encode(), spec)), re.M)
    named = named or re.search(rb"^limits: *(\S+)", git(book, "show", tag + ":book.yaml"), re.M)
    sealed = {b"book.yaml", b"limits/" + named[1] + b".yaml"}
    whole = hashlib.sha256(f"stackbook-delivery 1\n{engine}\n{build}\n".encode())
    for path in sorted(p for p in paths if p.startswith(folder) or p in sealed):
        blob = git(book, "cat-file", "blob", b"%s:%s" % (tag.encode(), path))
        whole.update(hashlib.sha256(blob).hexdigest().encode() + b"  " + path + b"\n")
    return whole


def times(a, b):
    product = 0
    while b:
        product ^= a if b & 1 else 0
        a, b = a << 1, b >> 1
        a ^= 0b100101 if a & 32 else 0
    return product


def code(digest):
    body = "1" + base64.b32encode(digest[:15]).decode()
    check, weight = 0, 2
    for character in reversed(body):
        check ^= times(weight, 1 if character == "1" else DIGITS.index(character))
        weight = times(weight, 2)
    body += DIGITS[check]
    return "-".join([body[0]] + [body[i : i + 4] for i in range(1, len(body), 4)])


def main():
    book, wrong = sys.argv[1], 0
    for name in sys.argv[2:]:
        engine, build = name.split("/")
        tag = f"build/{engine}/{build}"
        found = delivery_sum(book, engine, build, tag)
        message = git(book, "tag", "-l", "--format=%(contents)", tag).decode()
        sealed = dict(line.split(": ", 1) for line in message.splitlines() if ": " in line)
        same = sealed["SHA-256"] == found.hexdigest() and sealed["Code"] == code(found.digest())
        wrong += not same
        print(f"{name}: {code(found.digest())}, {'as sealed' if same else 'sealed as ' + sealed['Code']}")
    return 1 if wrong else 0


sys.exit(main())
