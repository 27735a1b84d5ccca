#!/usr/bin/env python3
"""The manual page: its lists of commands, options and exit statuses are those of `farend help`, mandoc finds
nothing wrong with it, and its examples run, as do those of the help texts. `tests/manual.py --write` puts
today's lists in. Prints TAP.
"""
import difflib
import os
import re
import shutil
import subprocess
import sys
import tempfile
import textwrap

os.chdir(os.path.dirname(os.path.abspath(__file__)) + "/..")
FAREND = os.path.abspath(os.environ.get("FAREND", "build/farend"))
PAGE = "docs/farend.1"


def helped(*words):
    """The paragraphs of a help text by their headings; what stands before any heading under ''."""
    text = subprocess.run([FAREND, "help", *words], check=True, capture_output=True, text=True).stdout
    parts, heading = {"": []}, ""
    for line in text.splitlines():
        if re.fullmatch(r"Examples?|Commands|Options|Exit status", line):
            heading = line
            parts[heading] = []
        else:
            parts[heading].append(line)
    return parts


def rows(lines):
    """[(left, right)] of a list whose long rows are wrapped."""
    found = []
    for line in lines:
        if re.match(r" {12}", line):
            found[-1][1] += " " + line.strip()
        elif line:
            left, _, right = re.sub(r"  +", "\t", line.strip(), count=1).partition("\t")
            found.append([left, right])
    return found


def filled(text):
    """Text as lines for mdoc, each sentence from the start of one."""
    lines = [line for part in re.split(r"(?<=\.) ", text.replace("\\", "\\e"))
             for line in textwrap.wrap(part, 78, break_long_words=False, break_on_hyphens=False)]
    return ["\\&" + line if line[:1] in (".", "'") else line for line in lines]


def sentence(text):
    text = text[:1].upper() + text[1:]
    return filled(text if text.endswith(".") else text + ".")


def flags(left, short=True):
    """'-o, --output FILE' as mdoc."""
    words, out = left.replace(",", "").split(), []
    for word in words:
        if word.startswith("--"):
            out.append("Fl Fl " + word[2:])
        elif word.startswith("-"):
            if short:
                out.append(f"Fl {word[1:]} ,")
        else:
            out.append("Ar " + word)
    return " ".join(out)


def operands(words):
    """'JOB.yaml... [NAME]' as mdoc."""
    out = ""
    for word in words:
        name = re.sub(r"[][.]*$|^\[", "", word)
        out += (" Op" if "[" in word else "") + " Ar " + name + (" ..." if "..." in word else "")
    return out


def commands():
    out = []
    for left, about in rows(helped()["Commands"]):
        name, *rest = left.split()
        parts = helped(name)
        text = [" ".join(p.split()) for p in "\n".join(parts[""]).split("\n\n") if p.strip()][2:]
        taken = [row for row in rows(parts["Options"]) if "--help" not in row[0]]
        out.append(f".It Ic {name} Oo Ar option ... Oc{operands(rest)}")
        out += sentence(about)
        for paragraph in text:
            out += [".Pp"] + filled(paragraph)
        out += [".Pp", "Options:"]
        out += [f".{flags(row[0], short=False)} {'.' if row is taken[-1] else ','}" for row in taken]
        formats = [row[1].partition(": ")[2] for row in taken if "--format" in row[0]]
        out += [f"Formats: {formats[0]}."] if formats else []
    return out


def options():
    out = []
    for left, about in rows(helped()["Options"]):
        out += [".It " + flags(left)] + sentence(about)
    return out


def statuses():
    out = []
    for left, about in rows(helped()["Exit status"]):
        out += [".It " + left] + sentence(about)
    return out


def renewed(page):
    made = {"commands": commands, "options": options, "statuses": statuses}
    return re.sub(r'(\.\\" begin (\w+)\n).*?(\.\\" end\n)',
                  lambda m: m[1] + "".join(line + "\n" for line in made[m[2]]()) + m[3], page, flags=re.S)


class Tap:
    count, failed = 0, False

    def tell(self, good, name, comment=""):
        self.count += 1
        self.failed = self.failed or not good
        print("ok" if good else "not ok", self.count, "-", name)
        if not good and comment:
            print("".join("# " + line + "\n" for line in comment.splitlines()[:20]), end="")


# What the examples read that none of them writes.
FILES = {"offcuts.csv": "strip_type,length\nwarm,1 m\n", "as-built.csv": "item,length\nL1,850 mm\n"}
ANSWERS = "fixtures/cases/new-ask/answers"


def page_examples(page):
    """Every line that begins with "$ "; then the commands within the text, but for bare names."""
    shown = [line[2:].replace("\\(dq", '"') for line in page.splitlines() if line.startswith("$ ")]
    within = re.findall(r"^\.Ql (farend [a-z]+ .+?)(?: [.,;])?$", page, re.M)
    return shown, within


def help_examples():
    names = [left.split()[0] for left, _ in rows(helped()["Commands"])]
    found = []
    for words in [()] + [(name,) for name in names]:
        parts = helped(*words)
        found += [line.strip() for head in ("Example", "Examples") for line in parts.get(head, []) if line.strip()]
    return list(dict.fromkeys(found))


def run_examples(examples, tap, name):
    """In one folder, one after another, as somebody would type them; what they write must not be empty."""
    with tempfile.TemporaryDirectory() as folder:
        os.mkdir(folder + "/bin")
        os.symlink(FAREND, folder + "/bin/farend")
        for file, text in FILES.items():
            with open(f"{folder}/{file}", "w", encoding="utf-8") as out:
                out.write(text)
        for line in examples:
            with open(ANSWERS, encoding="utf-8") as answers:
                done = subprocess.run(["bash", "-c", line], cwd=folder, stdin=answers, capture_output=True, text=True,
                                      env={**os.environ, "PATH": folder + "/bin:" + os.environ["PATH"]})
            quiet = not done.stderr or "--ask" in line
            tap.tell(done.returncode == 0 and quiet, f"{name}: {line}", done.stderr + done.stdout)
            for file in re.findall(r"(?<!\S)(?:-o|--apply|>) (\S+)", line):
                path = f"{folder}/{file}"
                tap.tell(os.path.exists(path) and os.path.getsize(path) > 0, f"{name}: {line} writes {file}")


def main():
    with open(PAGE, encoding="utf-8") as file:
        page = file.read()
    new = renewed(page)
    if sys.argv[1:] == ["--write"]:
        with open(PAGE, "w", encoding="utf-8") as file:
            file.write(new)
        return False
    tap = Tap()
    tap.tell(new == page, "the lists of the page are those of 'farend help'",
             "\n".join(difflib.unified_diff(page.splitlines(), new.splitlines(), lineterm="", n=0)))
    tap.tell(page.count('.\\" begin ') == 3, "there are three lists")
    tap.tell(shutil.which("mandoc") is not None, "there is mandoc", "'make deps-test' installs it")
    if shutil.which("mandoc"):
        lint = subprocess.run(["mandoc", "-T", "lint", "-W", "warning", PAGE], capture_output=True, text=True)
        tap.tell(lint.returncode == 0 and not lint.stdout + lint.stderr, "mandoc has no warning",
                 lint.stdout + lint.stderr)
        shown = subprocess.run(["mandoc", "-T", "utf8", "-O", "width=78", PAGE], capture_output=True, text=True)
        text = re.sub(r".\x08", "", shown.stdout)
        tap.tell("--apply FILE" in text and "COMMANDS" in text and "NO_COLOR" in text, "it can be read", text)
    shown, within = page_examples(page)
    tap.tell(len(shown) >= 7 and shown[0].startswith("farend new --ask "), "the examples begin with an interview", shown)
    run_examples(shown + within, tap, "example")
    helps = help_examples()
    tap.tell(len(helps) >= 9, "the help texts have examples", helps)
    run_examples(helps, tap, "help")
    print(f"1..{tap.count}")
    return tap.failed


sys.exit(main())
