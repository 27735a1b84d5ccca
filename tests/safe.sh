#!/bin/bash
# What comes from a file stays text: no terminal obeys it, no browser runs it, no spreadsheet computes it, and
# JSON is UTF-8 whatever the file's name. The interview is left at every question, and nothing is left behind.
# Prints TAP.
. "${0%/*}/tap.sh"
escape=$(printf '\033')

# Names, places, notes and order codes that would do something where they are not kept as text
nasty_yaml='job:
  name: "<script>alert(1)</script> \u202Eevil & \u2066co"
  site: "=HYPERLINK(1)"
  note: "]]> --><img src=x onerror=alert(1)>"
  drawn_by: "+1+1"
  currency: "-2"
strip_types:
  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, reel: 5 m, part: "=1+1", price: 10,
         note: "@SUM(A1)", colour: "\"><b onclick=x>"}
drivers:
  D1: {voltage: 24 V, power: 60 W, place: "<b>up</b>", part: "-2+3", price: 5, note: "\u009B31mred"}
switches:
  -S1: {max_current: 3 A, place: "=cmd()", part: "@x", price: 1}
blocks:
  B1: {ports: 6, max_current: 6 A, place: "\t=1", part: "+x", price: 1, note: "a,\"b\""}
strips:
  L1: {type: warm, length: 860 mm, place: "=A1", view: "<i>", note: "\u202Ex"}
  -L2: {type: warm, length: 2400 mm, place: "-1"}
cables:
  C1: {size: 0.75 mm2, from: D1, to: -S1, length: 3.2 m, note: "=x", part: "=c", price: 1}
  C2: {size: 0.75 mm2, from: -S1, to: B1, length: 300 mm, colour: "=red"}
  C3: {size: 0.75 mm2, from: B1, to: L1, length: 500 mm}
  C4: {size: 0.75 mm2, from: B1, to: -L2, length: 500 mm, place: "</td></table>"}
'
# What YAML itself lets nobody write, the reader refuses; the rest goes on.
printf '%s' "$nasty_yaml" >"$work/refused.yaml"
gives 3 "control characters are refused" check "$work/refused.yaml"
printf '%s' "$nasty_yaml" | sed 's/\\u009B//; s/\\t=1/=1/; s/^\(  \)\(-[SL][0-9]\):/\1"\2":/' >"$work/nasty.yaml"
printf 'item,length,volts,note\nL1,850 mm,,=1+1\n-L2.end,,23.4,<script>x</script>\nL1.end,,20.1,@note\n' >"$work/built.csv"
printf 'strip_type,length,id,note\nwarm,900 mm,=1,<b>@x</b>\nwarm,1200 mm,<i>,=2\n' >"$work/offcuts.csv"

# Judges outputs, one line "FORMAT PATH" each. Text: nothing below a blank but the end of a line, no DEL, no C1
# control, nothing that turns the direction. CSV: no cell that a spreadsheet takes for a formula; numbers may be
# negative. HTML and SVG: no tag of the job's. JSON: UTF-8 that can be read.
cat >"$work/judge.py" <<'END'
import csv, io, json, re, sys

def plain(text):
    bad = re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", text)
    return bad and "U+%04X" % ord(bad[0])

def number(cell):
    return re.fullmatch(r"-?[0-9.]+(e[+-]?[0-9]+)?", cell)

def table(text):
    for row in csv.reader(io.StringIO(text, newline="")):
        for cell in row:
            if cell[:1] in tuple("=+-@\t\r") and not number(cell):
                return repr(cell)
    return plain(text)

def page(text):
    bad = re.search(r"<script|<img|<b>|<i>|<b on|</table></td", text, re.I)
    return bad[0] if bad else plain(text)

judges = {"text": plain, "csv": table, "json": json.loads, "html": page, "svg": page}
for line in sys.stdin:
    form, path = line.rstrip("\n").split(" ", 1)
    try:
        said = judges[form](open(path, "rb").read().decode("utf-8"))
        print(said if isinstance(said, str) else "sound", flush=True)
    except ValueError as error:
        print(str(error).splitlines()[0], flush=True)
END
coproc JUDGE { exec python3 "$work/judge.py"; }

sound() # FORMAT PATH
{
	local answer path=$2
	[[ $path == /* ]] || path=$PWD/$path
	echo "$1 $path" >&"${JUDGE[1]}"
	read -r answer <&"${JUDGE[0]}"
	echo "$answer"
	[ "$answer" = sound ]
}

plain() { sound text "$1"; }

each() # NAME FORMATS WORDS...
{
	local name=$1 formats=$2 format
	shift 2
	for format in $formats; do
		"$farend" "$@" --format "$format" >"$work/out" 2>"$work/err" </dev/null
		is "$name, $format: it ran" test $? -le 1
		is "$name, $format: something was said" test -s "$work/out"
		is "$name, $format" sound "$format" "$work/out"
	done
}

job=$work/nasty.yaml
each check "text csv json" check "$job"
each "check of builds" "text csv json" check --tolerance --samples 20 "$job"
each "check of one state" "text csv json" check --switches '-S1=off' "$job"
each "check as built" "text csv json" check --built "$work/built.csv" "$job"
each size "text csv json" size "$job"
each cut "text csv json" cut --offcuts "$work/offcuts.csv" "$job"
each order "text csv json" order --offcuts "$work/offcuts.csv" "$job"
each schedule "text csv json html" schedule "$job"
each labels "html" schedule --labels "$job"
each report "html svg" report --offcuts "$work/offcuts.csv" "$job"
each verify "text csv json" verify "$job" "$work/built.csv"

# Mistakes in such files
"$farend" check "$work/refused.yaml" >"$work/out" 2>"$work/err"
is "mistakes in a job" plain "$work/err"
printf 'item,volts\n=1\033]0;x\007,23\n\302\233L1,2\n' >"$work/bad.csv"
"$farend" verify "$job" "$work/bad.csv" >"$work/out" 2>"$work/err"
is "mistakes in a table" plain "$work/err"

# Names of files: an escape, a formula, a byte that is no UTF-8
cd "$work" || exit 1
for name in "$escape[31mred.yaml" "=1+1.yaml" $'lat\xefn1.yaml' '<script>.yaml'; do
	shown=$(printf '%q' "$name")
	cp "$job" "$name"
	each "several jobs, $shown" "text csv json" check "$name" "$job"
	"$farend" check "$name.none" "$job" >out 2>err
	is "a missing job, $shown" plain err
	"$farend" check "$name" -o "none/$name" >out 2>err
	is "a file that cannot be written, $shown" plain err
	"$farend" "$name" >out 2>err
	is "as a command, $shown" plain err
	"$farend" check --format "$name" "$job" >out 2>err
	is "as a format, $shown" plain err
	"$farend" check --switches "$name=off" "$job" >out 2>err
	is "as a switch, $shown" plain err
	"$farend" explain "$name" >out 2>err
	is "as a check, $shown" plain err
	"$farend" verify "$job" "$name.csv" >out 2>err
	is "as a table, $shown" plain err
done

# The interview, with such answers: what is drawn and what is written
cd - >/dev/null || exit 1
printf '%s\n' "$escape]0;title" $'\xff\xfe' '<script>' '=1+1' "$escape[2J" '' '' '' '' '' '' '' '' '' |
	"$farend" new --ask -o "$work/asked.yaml" >"$work/out" 2>"$work/err"
is "the interview's questions" plain "$work/out"
is "the interview's replies" plain "$work/err"
[ ! -e "$work/asked.yaml" ] || is "the interview's job" plain "$work/asked.yaml"

# interview ANSWERS-FILE: leaves $work/out, $work/err, $work/asked.yaml and the exit status
interview()
{
	rm -f "$work/asked.yaml"
	"$farend" new --ask -o "$work/asked.yaml" <"$1" >"$work/out" 2>"$work/err"
}

questions=17
enters() { yes '' | head -n "$1"; }
hostile=("$escape]0;title\a" "a$escape[2Jb" '\xff\xfe' 'K\xfcche' 'a\0b' '\0' '\xe2\x80\xaex' 'a\x7fb' '\xc2\x9b31m' '\xed\xa0\x80')
for ((at = 1; at <= questions + 1; at++)); do
	{ enters $((at - 1)); printf "$(printf '%s\\n' "${hostile[@]}")"; enters 60; } >"$work/answers"
	interview "$work/answers"
	is "hostile bytes at question $at: the job is written" test $? -eq 0
	gives 0 "hostile bytes at question $at: it checks" check "$work/asked.yaml"
	"$farend" new --ask <"$work/answers" >"$work/out" 2>"$work/err"
	is "hostile bytes at question $at: the terminal sees none" plain "$work/err"
done
long=$(printf '%4000s' '' | tr ' ' x)
for line in "$long" "${long}x" "$long$long$long"; do
	{ printf '%s\n' "$line"; enters 60; } >"$work/answers"
	interview "$work/answers"
	is "a line of ${#line} bytes: the job is written" test $? -eq 0
	named=$(grep -c "$long" "$work/asked.yaml")
	is "a line of ${#line} bytes is$([ ${#line} -le 4000 ] || echo " not") the name" test "$named" -eq $((${#line} <= 4000))
done

# The input ends anywhere in a good file of answers: behind every byte of it
printf '%s\n' "Boot room" mm 2 no top 870 "top, rear" "600, 500" aluminium each "3 A" "above bay 1" "1 m, 2 m" 300 300 \
	"24 V" "9.6 W/m" "50 mm" "5 m" "25 C" "" >"$work/good"
size=$(stat -c %s "$work/good")
interview "$work/good"
is "the whole file makes a job" "$farend" check "$work/asked.yaml"
wrong=
for ((bytes = 0; bytes < size; bytes++)); do
	head -c $bytes "$work/good" >"$work/answers"
	interview "$work/answers"
	[ $? -eq 3 ] && [ ! -e "$work/asked.yaml" ] && [ ! -s "$work/out" ] && grep -q "Nothing was written" "$work/err" ||
		wrong="$wrong $bytes"
done
is "no part of it does:$wrong" test -z "$wrong"

# Ctrl-C at every question, on a terminal: the signal ends it, and it says that nothing was written
cat >"$work/interrupt.py" <<'END'
import os, pty, select, signal, sys

def left_at(questions, farend, path):
    pid, terminal = pty.fork()
    if pid == 0:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        os.execv(farend, [farend, "new", "--ask", "-o", path])
    said, answered = b"", 0
    while select.select([terminal], [], [], 20)[0]:
        try:
            said += os.read(terminal, 4096)
        except OSError:
            break
        if said.count(b"] > ") > answered:
            os.write(terminal, b"\n" if answered < questions else b"\x03")
            answered += 1
    status = os.waitpid(pid, 0)[1]
    return os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGINT and \
        b"Interrupted. Nothing was written." in said and not os.path.exists(path)

wrong = [str(n) for n in range(int(sys.argv[1]) + 1) if not left_at(n, sys.argv[2], sys.argv[3])]
print(" ".join(wrong))
sys.exit(len(wrong) > 0)
END
rm -f "$work/asked.yaml"
is "Ctrl-C at each of $questions questions and at the list of answers" \
	python3 "$work/interrupt.py" $questions "$farend" "$work/asked.yaml"
is "no temporary is left" test -z "$(find "$work" -name '.farend*')"

done_testing
