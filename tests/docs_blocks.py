#!/usr/bin/env python3
"""Every block and every command of README and docs/*.md, but for ```console blocks, which tests/docs.sh
compares with what their commands print, and whose second half this is. A block belongs to the first row of
KINDS that it fits; one that fits none is a failure, so that nothing stands there that is not tried. What
cannot be tried is a row too, and is listed at the end. Prints TAP without numbers.
"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

os.chdir(os.path.dirname(os.path.abspath(__file__)) + "/..")
FAREND = os.path.abspath(os.environ.get("FAREND", "build/farend"))
PAGES = ["README.md"] + sorted("docs/" + name for name in os.listdir("docs") if name.endswith(".md"))
ANSWERS = "fixtures/cases/new-ask/answers"
failed = False
left_out = []


class Block:
    def __init__(self, page, line, fence, lines):
        self.page, self.line, self.fence, self.lines = page, line, fence, lines
        self.text = "\n".join(lines) + "\n"
        self.place = f"{page}:{line}"


def tell(good, name, comment=""):
    global failed
    failed = failed or not good
    print("ok" if good else "not ok", "-", name)
    if not good:
        print("".join("# " + line + "\n" for line in str(comment).splitlines()[:8]), end="")


def read(page):
    with open(page, encoding="utf-8") as file:
        return file.read()


def split(page):
    """The blocks of a page, and its text without them."""
    blocks, rest, block = [], [], None
    for number, line in enumerate(read(page).splitlines(), 1):
        if line.startswith("```"):
            if block is None:
                block = (number, line, [])
            else:
                blocks.append(Block(page, *block))
                block = None
        elif block is None:
            rest.append(line)
        else:
            block[2].append(line)
    return blocks, "\n".join(rest)


def farend(*words, stdin="", folder="."):
    return subprocess.run([FAREND, *words], input=stdin, cwd=folder, capture_output=True, text=True, check=False)


def outline(done):
    return f"exit status {done.returncode}\n{done.stderr}\n{done.stdout}"


# Commands. Names that stand for anything are those of files that are laid ready.

FILES = {"offcuts.csv": "strip_type,length\nwarm,1 m\n",
         "as-built.csv": "item,length\nL1,850 mm\n", "AS-BUILT.csv": "item,length\nL1,850 mm\n"}
JOBS = ["my-job.yaml", "JOB.yaml", "A.yaml", "B.yaml"]
STAND_FOR = {"NAME": "far-end-drop", "CHECK": "far-end-drop", "COMMAND": "check", "SHELL": "bash", "...": ""}


def run_command(folder, command):
    """In a folder with jobs, readings and offcuts; a shell sees to quotation marks and '>'."""
    words = re.sub(r"(?<!\S)(%s)(?!\S)" % "|".join(map(re.escape, STAND_FOR)),
                   lambda m: STAND_FOR[m[1]], re.sub(r"^(build/)?farend ", "", command))
    written = re.findall(r"(?<!\S)(?:-o|--output|--apply|>) ?([\w.-]+)", words)
    for name in JOBS:
        if not os.path.exists(f"{folder}/{name}"):
            farend("new", "-o", name, folder=folder)
    for name, text in FILES.items():
        with open(f"{folder}/{name}", "w", encoding="utf-8") as file:
            file.write(text)
    for name in written:
        if os.path.exists(f"{folder}/{name}"):
            os.remove(f"{folder}/{name}")
    done = subprocess.run(["bash", "-c", f"'{FAREND}' {words}"], input=read(ANSWERS), cwd=folder,
                          capture_output=True, text=True, check=False)
    quiet = not done.stderr or "--ask" in words
    full = all(os.path.exists(f"{folder}/{name}") and os.path.getsize(f"{folder}/{name}") for name in written)
    return done.returncode == 0 and quiet and full and bool(written or done.stdout), outline(done)


def commands_in(block):
    with tempfile.TemporaryDirectory() as folder:
        for line in block.lines:
            tell(*reorder(run_command(folder, line), f"{block.place}: {line}"))


def reorder(result, name):
    return result[0], name, result[1]


def spans(page, text):
    """Commands within the text: with arguments they are run, a bare name must be a command's."""
    found = sorted({" ".join(span.split()) for span in re.findall(r"`([^`]+)`", text)})
    with tempfile.TemporaryDirectory() as folder:
        for span in found:
            words = re.sub(r"^(build/)?farend ", "", span)
            if words == span:
                continue
            if re.fullmatch(r"[a-z]+", words):
                done = farend("help", words)
                tell(done.returncode == 0, f"{page}: there is a command '{words}'", outline(done))
            else:
                tell(*reorder(run_command(folder, span), f"{page}: {span}"))


# Jobs: whole ones, and parts of one, to which the test adds what they leave out.

COMPLETE = {
    "docs/bench-tests.md": ("    voltage: 24 V\n    power: 9.6 W/m\n    cut_length: 50 mm\n    mount: aluminium\n"
                            "drivers: {D1: {voltage: 24 V, power: 60 W}}\nstrips: {L1: {type: warm, length: 1800 mm},"
                            " L2: {type: warm, length: 2400 mm}}\n"
                            "cables: {C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}, "
                            "C2: {size: 0.75 mm2, from: D1, to: L2, length: 1 m}}\n"),
    "docs/buying.md": ("strips: {L1: {type: warm-24, length: 1 m, mount: aluminium}}\n"
                       "cables: {C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}}\n"),
    "docs/editor.md": ("drivers: {D1: {voltage: 24 V, power: 30 W}}\n"
                       "strips: {L1: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 1 m}}\n"
                       "cables: {C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}}\n"),
    "docs/input.md": ("drivers: {D1: {voltage: 24 V, power: 60 W}}\n"
                      "strips: {L1: {type: warm, length: 1 m}, L2: {type: bright, length: 1 m, mount: aluminium}}\n"
                      "cables: {C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}, "
                      "C2: {size: 0.75 mm2, from: D1, to: L2, length: 1 m}}\n"),
}


def whole(block):
    return all(re.search(f"^{group}:", block.text, re.M) for group in ("drivers", "strips", "cables"))


def checks_clean(place, text):
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree("fixtures/parts", folder + "/parts")
        with open(folder + "/job.yaml", "w", encoding="utf-8") as file:
            file.write(text)
        done = farend("check", "--strict", "job.yaml", folder=folder)
    tell(done.returncode == 0 and not done.stderr, f"{place}: the job checks clean", outline(done))
    return done.stdout


def job(block):
    checks_clean(block.place, block.text)


parts_of_jobs = {}


def part_of_a_job(block):
    parts_of_jobs.setdefault(block.page, []).append(block)


def complete_jobs():
    """The parts of each page, one after another, and the rest."""
    for page, blocks in parts_of_jobs.items():
        text = "".join(block.text for block in blocks) + COMPLETE.get(page, "")
        said = checks_clean(" and ".join(block.place for block in blocks) + ", completed", text)
        shown = re.search(r"^Measured, .*?\n\n.*?(?=^```)", read(page), re.M | re.S)
        if shown:
            tell(shown[0] in said, f"{page}: its readings give what it shows", said)
        tell(page in COMPLETE, f"{page}: what completes its parts of a job is used")
    tell(sorted(COMPLETE) == sorted(parts_of_jobs), "every page with parts of a job is known", list(parts_of_jobs))


# Tables.

AS_BUILT = {"docs/as-built.md": "fixtures/bad-built/job.yaml", "docs/verify.md": "fixtures/jobs/boot-room-clips.yaml"}


def as_built(block):
    done = farend("verify", AS_BUILT.get(block.page, ""), "-", stdin=block.text)
    tell(done.returncode <= 1 and not done.stderr, f"{block.place}: the table is read", outline(done))
    data = json.loads(farend("verify", "--format", "json", AS_BUILT[block.page], "-", stdin=block.text).stdout)
    cells = [line.split(",") for line in block.lines]
    wanted = sum(len([c for c in (row[2], row[3]) if c]) for row in cells[1:])
    tell(len(data["readings"]) == wanted > 0, f"{block.place}: all its readings are taken", data["readings"])


def offcuts(block):
    job_file = "fixtures/jobs/boot-room-parts.yaml"
    done = farend("cut", "--offcuts", "-", job_file, stdin=block.text)
    tell(done.returncode == 0 and not done.stderr, f"{block.place}: the list is read", outline(done))
    used = [line.split(",")[2] for line in block.lines[1:]]
    tell(all(re.search(rf"\b{name}\b", done.stdout) for name in used), f"{block.place}: its pieces are known",
         done.stdout)


def catalogue(block):
    """A job made of its rows: what a strip does not say, a cable or a driver does."""
    kinds = {}
    for line in block.lines[1:]:
        kind, name = line.split(",")[:2]
        kinds.setdefault(kind, []).append(name)
    strips = kinds.get("strip", [])
    cables = kinds.get("cable", ["size: 0.75 mm2"])
    text = "catalogue: [parts.csv]\ndrivers:\n  D1: {%s}\nstrips:\n" % (
        "type: " + kinds["driver"][0] if "driver" in kinds else "voltage: 24 V, power: 60 W")
    ends = list(range(max(len(strips), len(cables), 1)))
    for i in ends:
        text += "  L%d: {%s, length: 1 m}\n" % (i, "type: " + strips[i] if i < len(strips) else
                                               "voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm")
    text += "cables:\n"
    for i in ends:
        size = cables[i] if i < len(cables) else cables[0]
        text += "  C%d: {%s, from: D1, to: L%d, length: 1 m}\n" % (
            i, size if ":" in size else "type: " + size, i)
    with tempfile.TemporaryDirectory() as folder:
        for name, what in (("parts.csv", block.text), ("job.yaml", text)):
            with open(f"{folder}/{name}", "w", encoding="utf-8") as file:
                file.write(what)
        done = farend("order", "job.yaml", folder=folder)
    tell(done.returncode == 0 and not done.stderr, f"{block.place}: the catalogue is read", outline(done) + text)
    prices = re.findall(r"\b\d+\.\d\d\b", block.text)
    tell(prices and all(price in done.stdout for price in prices), f"{block.place}: its prices are used", done.stdout)


# The shapes of the JSON: each key is printed by some run, and each key that is printed stands in the page.

RUNS = {
    "check": [["check", "--format", "json", f"fixtures/jobs/{name}.yaml"]
              for name in ("boot-room", "three-bays", "bench-tests")],
    "tolerance": [["check", "--tolerance", "--samples", "50", "--format", "json", "fixtures/jobs/boot-room.yaml"]],
    "files": [["check", "--format", "json", "fixtures/jobs/boot-room.yaml", "fixtures/bad/many.yaml"]],
    "size": [["size", "--format", "json", "fixtures/jobs/boot-room.yaml"],
             ["size", "--format", "json", "fixtures/jobs/boot-room-parts.yaml"]],
    "cut": [["cut", "--format", "json", "--offcuts", "fixtures/parts/offcuts.csv",
             "fixtures/jobs/boot-room-parts.yaml"]],
    "order": [["order", "--format", "json", "fixtures/jobs/boot-room-parts.yaml"]],
    "schedule": [["schedule", "--format", "json", "fixtures/jobs/boot-room-fixed.yaml"]],
    "verify": [["verify", "--format", "json", "fixtures/jobs/boot-room-clips.yaml", "fixtures/built/boot-room.csv"],
               ["verify", "--format", "json", "fixtures/bad-built/job.yaml", "-"]],
}
READINGS = "item,volts\nL1.end,20 V\n"       # too few to tell one fault from another: it asks for a further one
IDS = {"drivers", "strips", "cables", "switches", "blocks", "items", "expected"}
UNSEEN = {"end"}                             # no job of ours has a cable moved to another terminal
WITHIN = {"result"}                          # another shape of the same page


def keys_of(value, within=None):
    if isinstance(value, dict):
        for key, inner in value.items():
            if within not in IDS:
                yield key
            if key not in WITHIN:
                yield from keys_of(inner, key)
    elif isinstance(value, list):
        for inner in value:
            yield from keys_of(inner, None)


def shape_name(block):
    for name in ("files", "tolerance"):
        if f'"{name}":' in block.text:
            return name
    return re.search(r'"command": "(\w+)"', block.text)[1]


def head_and_tables(page):
    """What stands in `code` on the page, and the shape of `check`, whose parts are in others too."""
    blocks, text = split("docs/json.md")
    first = next(block for block in blocks if block.fence == "```")
    spans_there = " ".join(re.findall(r"`([^`]+)`", text + split(page)[1]))
    return set(re.findall(r'"(\w+)"', first.text)) | set(re.findall(r"\w+", spans_there))


def shape(block):
    name = shape_name(block)
    printed = set()
    for words in RUNS[name]:
        printed.update(keys_of(json.loads(farend(*words, stdin=READINGS).stdout)))
    values = re.sub(r': "[^"]*"( \| "[^"]*")*|\["[^"]*"\]|\[ "\.\.\." \]', "", block.text)
    named = set(re.findall(r'"(\w+)"', values)) - set(re.findall(r'"([A-Z]\d)"', values)) - {"name"}
    tell(not named - printed - UNSEEN, f"{block.place}: every key of '{name}' is printed", named - printed)
    words = set(re.findall(r'"(\w+)"', block.text)) | head_and_tables(block.page)
    unnamed = {key for key in printed if key not in words and key.replace("planned_", "", 1) not in words}
    tell(not unnamed, f"{block.place}: every key of '{name}' is named", unnamed)


# The rest.

def example_in_c(block):
    lines = [line[7:] for line in read("include/farend.h").splitlines() if line.startswith(" *     ")]
    tell(block.lines == lines, f"{block.place}: the example in C is that of farend.h, which tests/install.sh compiles")


def set_up(block):
    """Not run, which would install packages; make must know what it is told to make."""
    clean = {key: value for key, value in os.environ.items() if key not in ("MAKEFLAGS", "MAKELEVEL", "MFLAGS")}
    for targets in re.findall(r"\bmake ([a-z -]+?)(?= &&|$)", block.text, re.M):
        if targets.startswith("&&"):
            continue
        done = subprocess.run(["make", "-n", *targets.split()], env=clean, capture_output=True, text=True, check=False)
        tell(done.returncode == 0, f"{block.place}: make knows {targets}", outline(done))
    where = ("the tests themselves" if " test" in block.text else
             "tests/release/check.sh does what it says in a bare Debian")
    left_out.append(f"{block.place}: sets up a machine; {where}")


def formula(block):
    left_out.append(f"{block.place}: equations; tests/oracle holds the figures against other programs")


def starts(*words):
    return lambda block: block.fence == "```" and block.text.lstrip().startswith(words)


KINDS = [
    (lambda block: block.fence == "```console", None),
    (lambda block: block.fence == "```yaml" and whole(block), job),
    (lambda block: block.fence == "```yaml", part_of_a_job),
    (lambda block: block.fence == "```c", example_in_c),
    (starts("farend ", "build/farend "), commands_in),
    (starts("item,"), as_built),
    (starts("kind,id,"), catalogue),
    (starts("strip_type,"), offcuts),
    (starts('{ "farend"', '"tolerance": {'), shape),
    (starts("sudo "), set_up),
    (lambda block: block.fence == "```" and block.page == "docs/model.md", formula),
]


# Links and paths.

def anchors(page):
    text = re.sub(r"^```.*?^```$", "", read(page), flags=re.M | re.S)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-")
            for head in re.findall(r"^#+ (.*)", text, re.M)}


def links(page, text, installed):
    """What is installed must not point at what is not: README.md and docs/*.md are."""
    for target in sorted(set(re.findall(r"\]\(([^)\s]+)\)", text))):
        path, _, anchor = target.partition("#")
        to = os.path.normpath(os.path.join(os.path.dirname(page), path)) if path else page
        good = os.path.exists(to) and (not anchor or anchor in anchors(to)) and (not installed or to in PAGES)
        tell(good, f"{page}: {target} is there" + (", where it is installed too" if installed else ""))


def paths(page, text):
    for path in sorted(set(re.findall(r"`((?:src|tests|docs|include|fixtures)/[^\s`<*{]+)`", text))):
        tell(os.path.exists(path), f"{page}: {path} is there")


def main():
    for page in PAGES:
        blocks, text = split(page)
        for block in blocks:
            handler = next((row for row in KINDS if row[0](block)), None)
            if handler is None:
                tell(False, f"{block.place}: a block that nothing tries: {block.lines[:1]}")
            elif handler[1]:
                handler[1](block)
        spans(page, text)
        links(page, text, True)
        paths(page, text)
    complete_jobs()
    developers = split("DEVELOPERS.md")[1]
    links("DEVELOPERS.md", developers, False)
    paths("DEVELOPERS.md", developers)
    for line in left_out:
        print("# not run:", line)
    tell(len(left_out) <= 10, "few blocks cannot be run", left_out)
    return failed


sys.exit(main())
