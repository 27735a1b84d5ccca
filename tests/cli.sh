#!/bin/bash
# The command line from outside: exit statuses, which stream gets what, files written whole, colour.
# Prints TAP.
cd "$(dirname "$0")/.." || exit 1
farend=$(realpath "${FAREND:-build/farend}")
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
unset NO_COLOR
export TERM=xterm
count=0
failed=0

verdict() # RESULT NAME
{
	count=$((count + 1))
	if [ "$1" -eq 0 ]; then
		echo "ok $count - $2"
	else
		echo "not ok $count - $2"
		failed=1
	fi
}

# t STATUS NAME WORDS...: runs farend WORDS, leaves $work/out and $work/err, compares the exit status
t()
{
	local wanted=$1 name=$2 got
	shift 2
	"$farend" "$@" >"$work/out" 2>"$work/err" </dev/null
	got=$?
	[ "$got" -eq "$wanted" ] || echo "# exit status $got, not $wanted: $(head -n 3 "$work/err")"
	[ "$got" -eq "$wanted" ]
	verdict $? "$name"
}

# is NAME CONDITION...: a test(1) condition or a command that must succeed
is()
{
	local name=$1
	shift
	"$@" >/dev/null 2>&1
	verdict $? "$name"
}

quiet_out() { is "$1: nothing on stdout" test ! -s "$work/out"; }
quiet_err() { is "$1: nothing on stderr" test ! -s "$work/err"; }
out_has() { is "$1" grep -qF -e "$2" "$work/out"; }
err_has() { is "$1" grep -qF -e "$2" "$work/err"; }

good=$work/good.yaml
caution=$work/caution.yaml
fail=$work/fail.yaml
wrong=$work/wrong.yaml
"$farend" new -o "$good" || echo "# new -o failed"
sed 's/power: 60 W/power: 31 W/' "$good" >"$caution"      # 28 W of 31 W leaves less than 20 %
sed 's/power: 60 W/power: 20 W/' "$good" >"$fail"
sed 's/cut_length/cut_lenght/' "$good" >"$wrong"

is "the starter fits 80 columns" awk 'length($0) > 80 { exit 1 }' "$good"

# Nothing, help, version
t 2 "no arguments"
quiet_out "no arguments"
err_has "no arguments show the commands" "check JOB.yaml"
t 0 "--help" --help
quiet_err "--help"
out_has "--help lists commands" "explain [NAME]"
out_has "--help lists options" "--format FORMAT"
t 0 "help" help
cp "$work/out" "$work/help"
t 0 "-h" -h
is "-h and help say the same" cmp "$work/out" "$work/help"
t 0 "help check" help check
cp "$work/out" "$work/help"
t 0 "check --help" check --help
is "help check and check --help say the same" cmp "$work/out" "$work/help"
t 0 "--help beats everything else" check --nonsense --help --format html no-such-file
is "help texts fit 80 columns" awk 'length($0) > 80 { exit 1 }' "$work/out"
t 2 "help for an unknown command" help chekc
err_has "it names the nearest" "'check'"
t 0 "--version" --version
is "the version stands alone" grep -qxE 'farend [0-9]+\.[0-9]+\.[0-9]+' "$work/out"
t 0 "-V" -V
t 0 "version" version

# Wrong usage: exit 2, nothing read, nothing on stdout
t 2 "unknown command" chekc "$good"
quiet_out "unknown command"
err_has "the nearest command is named" "did you mean 'check'?"
t 2 "unknown option" check --fromat json "$good"
quiet_out "unknown option"
err_has "the nearest option is named" "did you mean '--format'?"
t 2 "one dash too few" check -format json "$good"
err_has "the long spelling is named" "did you mean '--format'?"
t 2 "unknown letter" check -z "$good"
t 2 "unknown format" check --format html "$good"
err_has "the right formats are named" "text, json or csv"
t 2 "format without a value" check "$good" --format
t 2 "switch with a value" check --strict=yes "$good"
t 2 "unknown colour" check --colour=blue "$good"
err_has "the right colours are named" "auto, always or never"
t 2 "check without a job" check
err_has "what is missing is named" "JOB.yaml"
t 2 "cut of two jobs" cut "$good" "$good"
t 2 "an option of another command" explain --strict far-end-dim
t 2 "wrong usage is seen before the job is read" check --format html no-such-file
t 2 "unknown check" explain far-end-dimm
quiet_out "unknown check"
err_has "the nearest check is named" "'far-end-dim'"
t 2 "unknown mistake" explain no-unt
err_has "the nearest mistake is named" "did you mean 'no-unit'?"
t 2 "an option but no command" --strict

# Exit statuses of check
t 0 "sound job" check "$good"
quiet_err "sound job"
t 0 "sound job, strict" check --strict "$good"
t 0 "caution" check "$caution"
out_has "the caution is shown" "CAUTION"
t 1 "caution, strict" check "$caution" --strict
out_has "strict changes the exit status only" "CAUTION"
t 1 "failing job" check "$fail"
out_has "the whole result is written" "Before you build"
t 1 "failing job as JSON" check "$fail" --format json
is "the whole JSON is written" test "$(tail -n 1 "$work/out")" = "}"
t 3 "wrong job" check "$wrong"
quiet_out "wrong job"
err_has "place, line and caret" "$wrong:16:5: error:"
err_has "how many, and that nothing was solved" "nothing was solved"
t 3 "missing job" check "$work/none.yaml"
quiet_out "missing job"
err_has "the file is named" "none.yaml"
t 3 "a folder as a job" check "$work"
t 3 "an empty job" check /dev/null

# Options anywhere, spellings, --
t 0 "options before the command" --format json check "$good"
is "JSON starts with a brace" test "$(head -c 1 "$work/out")" = "{"
cp "$work/out" "$work/json"
t 0 "options behind the job" check "$good" --format=json
is "the order changes nothing" cmp "$work/out" "$work/json"
t 0 "the last of two counts" check "$good" --format csv --format json
is "and gives the same" cmp "$work/out" "$work/json"
t 0 "csv" check --format csv "$good"
out_has "csv has a header" "kind,id,set_v"
t 0 "text is the usual format" check "$good"
cp "$work/out" "$work/text"
t 0 "--format text" check "$good" --format text
is "is the same" cmp "$work/out" "$work/text"
cp "$good" "$work/--strict"
(cd "$work" && "$farend" check -- --strict >/dev/null 2>&1)
verdict $? "-- ends the options"
"$farend" check - <"$good" >"$work/out" 2>"$work/err"
verdict $? "- is standard input"
"$farend" check - <"$wrong" >"$work/out" 2>"$work/err"
is "standard input is named in messages" grep -qF "<standard input>:16:5:" "$work/err"

# As built
built=$work/built.csv
printf 'item,length,volts\nL1,600 mm,\nL1.end,,23.7\n' >"$built"
awk '/^strips:/ { on = 1 } on' "$good" | grep -q 'L1:' || echo "# the starter has no L1"
for command in check size cut order schedule report; do
	t 0 "$command --built" $command --built "$built" "$good"
	cp "$work/out" "$work/with"
	quiet_err "$command --built"
	t 0 "$command without" $command "$good"
	is "$command: the lengths as built make a difference" test "$(cmp "$work/out" "$work/with" >/dev/null; echo $?)" = 1
done
t 0 "verify" verify "$good" "$built"
quiet_err "verify"
out_has "readings are compared" "Readings against prediction"
t 0 "verify, JSON" verify --format json "$good" "$built"
out_has "it is verify's" '"command": "verify"'
t 0 "verify, CSV" verify --format csv "$good" "$built"
t 0 "verify with another meter" verify --meter-gain '1 %' --meter-digit '20 mV' --meter-digit-amps 0.05A "$good" "$built"
out_has "the meter is said" "1 % common"
t 0 "verify with the readings' switches" verify --switches S1=on "$good" "$built"
t 0 "check in one state" check --switches S1=off "$good"
out_has "the state is said" "S1=off"
for command in size cut order schedule report explain new; do
	t 2 "$command has no state" $command --switches S1=off "$good"
done
printf 'item,volts\nL1.end,23.2\n' >"$work/far-off.csv"
t 0 "readings that disagree are a caution" verify --meter-digit '100 mV' "$good" "$work/far-off.csv"
out_has "and it is said" "read this before closing up"
t 1 "strict: a caution fails" verify --strict --meter-digit '100 mV' "$good" "$work/far-off.csv"
printf 'item,length\nL1,60 kg\nL9,1 m\n' >"$work/wrong.csv"
t 3 "wrong CSV" verify "$good" "$work/wrong.csv"
quiet_out "wrong CSV"
err_has "wrong CSV: file, line, column" "$work/wrong.csv:2:7: error:"
err_has "wrong CSV: all of it" "$work/wrong.csv:3:1: error:"
t 3 "wrong CSV under another command" order --built "$work/wrong.csv" "$good"
quiet_out "wrong CSV under another command"
t 3 "missing CSV" verify "$good" "$work/none.csv"
t 3 "wrong job and wrong CSV" verify "$wrong" "$work/wrong.csv"
err_has "mistakes of the job" "$wrong:16:5: error:"
err_has "and of the CSV in one run" "$work/wrong.csv:2:7: error:"
"$farend" verify "$good" - <"$built" >"$work/out" 2>"$work/err"
verdict $? "the as-built file may be standard input"
"$farend" verify - "$built" <"$good" >"$work/out" 2>"$work/err"
verdict $? "or the job"
t 2 "not both" verify - -
err_has "both are named" "the job and the as-built file cannot both be standard input"
t 2 "nor under another command" check --built - -
t 2 "nor with the offcuts" cut --built - --offcuts - "$good"
err_has "the two are named" "the as-built file and the offcuts"
t 2 "no copy of lengths as built" size --built "$built" --apply "$work/copy.yaml" "$good"
quiet_out "no copy of lengths as built"
is "nothing is written" test ! -e "$work/copy.yaml"
t 2 "verify needs both files" verify "$good"
err_has "what is missing is named" "JOB.yaml AS-BUILT.csv"
t 2 "verify takes no more" verify "$good" "$built" "$built"
for gain in abc -1 100 '1 V' ''; do
	t 2 "gain '$gain'" verify --meter-gain "$gain" "$good" "$built"
	quiet_out "gain '$gain'"
done
for digit in abc 0 10 '10 mA' '-1 V' '10 mVV'; do
	t 2 "digit '$digit'" verify --meter-digit "$digit" "$good" "$built"
done
t 2 "digit of amps in volts" verify --meter-digit-amps '10 mV' "$good" "$built"
for state in S9=off S1=open S1; do
	t 2 "switches '$state'" check --switches "$state" "$good"
	quiet_out "switches '$state'"
done
t 2 "verify with a switch that is not there" verify --switches S9=off "$good" "$built"
before=$(find "$work" -type f | sort | xargs ls -l | cksum)
"$farend" verify "$good" "$built" >/dev/null 2>&1
is "verify writes nothing that was not asked for" test "$(find "$work" -type f | sort | xargs ls -l | cksum)" = "$before"

# -o FILE
t 0 "-o" check "$good" -o "$work/o.txt"
quiet_out "-o"
quiet_err "-o"
is "-o writes what stdout would get" cmp "$work/o.txt" "$work/text"
t 0 "-oFILE" check "$good" "-o$work/o2.txt"
is "-oFILE is the same" cmp "$work/o2.txt" "$work/text"
t 0 "--output=FILE" check "$good" "--output=$work/o3.txt"
is "--output=FILE is the same" cmp "$work/o3.txt" "$work/text"
t 0 "-o -" check "$good" -o -
is "-o - is standard output" cmp "$work/out" "$work/text"
t 1 "-o with a failing job" check "$fail" -o "$work/o.txt"
is "the result replaces the old file" grep -qF FAIL "$work/o.txt"
echo old >"$work/o.txt"
t 3 "-o with a wrong job" check "$wrong" -o "$work/o.txt"
is "the old file stays" test "$(cat "$work/o.txt")" = old
t 4 "-o into a folder that is not there" check "$good" -o "$work/none/o.txt"
quiet_out "unwritable"
err_has "unwritable: the file is named" "none/o.txt"
t 4 "-o onto a folder" check "$good" -o "$work"
t 4 "-o onto a full device" check "$good" -o /dev/full
is "no temporary is left" test -z "$(find "$work" -name '.farend*')"
t 2 "new does not overwrite a job" new -o "$good"
is "the job is untouched" cmp "$good" <("$farend" new)
: >"$work/empty.yaml"
t 0 "new fills an empty file" new -o "$work/empty.yaml"
is "with the starter" cmp "$good" "$work/empty.yaml"

# Failing streams
for words in "check $good" "check --format json $good" "help" "explain" "new" "version"; do
	"$farend" $words >/dev/full 2>"$work/err"
	is "full device: $words" test $? -eq 4
	err_has "full device is named: $words" "standard output"
	"$farend" $words >&- 2>"$work/err"
	is "closed stdout: $words" test $? -eq 4
done
{ sleep 0.3; "$farend" check "$good" 2>"$work/err"; echo $? >"$work/status"; } | true
is "a reader that went away: status 4" test "$(cat "$work/status")" = 4
is "and no message" test ! -s "$work/err"
"$farend" check "$wrong" >"$work/out" 2>&-
is "closed stderr does not hide the status" test $? -eq 3
"$farend" check - <&- >"$work/out" 2>"$work/err"
is "closed stdin is unreadable input" test $? -eq 3

# Colour
escape=$(printf '\033')
t 0 "no colour into a file" check "$good"
is "plain" test -z "$(grep -F "$escape" "$work/out")"
t 0 "--colour always" check --colour always "$good"
out_has "coloured" "$escape"
t 0 "--color is the same option" check --color=always "$good"
out_has "coloured again" "$escape"
NO_COLOR=1 t 0 "--colour beats NO_COLOR" check --colour always "$good"
out_has "still coloured" "$escape"
if script -qec true /dev/null >/dev/null 2>&1; then
	tty_has_colour() # NAME WANTED [VARIABLE=VALUE...]
	{
		local name=$1 wanted=$2 got=no
		shift 2
		env "$@" script -qec "'$farend' check '$good'" /dev/null </dev/null >"$work/tty" 2>&1
		grep -qF "$escape" "$work/tty" && got=yes
		is "$name" test "$got" = "$wanted"
	}
	tty_has_colour "colour on a terminal" yes TERM=xterm
	tty_has_colour "NO_COLOR" no TERM=xterm NO_COLOR=1
	tty_has_colour "an empty NO_COLOR is none" yes TERM=xterm NO_COLOR=
	tty_has_colour "a dumb terminal" no TERM=dumb
else
	verdict 1 "script(1) is needed to have a terminal"
fi

# Several jobs in one call
mkdir "$work/jobs"
cp "$good" "$work/jobs/a.yaml"
cp "$caution" "$work/jobs/b.yaml"
cp "$fail" "$work/jobs/c.yaml"
t 0 "check of a job named twice" check "$good" "$good"
quiet_err "check of a job named twice"
t 0 "a good job and one with cautions" check "$work/jobs/a.yaml" "$work/jobs/b.yaml"
is "the table has the verdict" grep -qE '^b\.yaml +caution +0 +1 ' "$work/out"
t 1 "cautions of one job fail with --strict" check --strict "$work/jobs/a.yaml" "$work/jobs/b.yaml"
t 1 "one that fails" check "$work/jobs"/*.yaml
t 3 "a wrong job does not stop the others" check "$wrong" "$work/jobs"/*.yaml
err_has "its mistake is told" "unknown-key"
is "the others are there" grep -qE 'jobs/c\.yaml +fail +[1-9]' "$work/out"
is "and what became of it" grep -qE '^wrong\.yaml +not checked' "$work/out"
t 3 "a missing one and a folder neither" check "$work/jobs" "$work/none.yaml" "$good"
err_has "the folder is named" "is a folder"
t 2 "standard input twice" check - - "$good"
quiet_out "standard input twice"
"$farend" check - "$good" <"$caution" >"$work/out" 2>"$work/err"
is "standard input once" test $? -eq 0
for option in --built=x --switches=S1=off; do
	t 2 "$option goes with one job" check "$option" "$good" "$good"
done
t 1 "JSON of several jobs" check --format json "$work/jobs"/*.yaml
is "is one document" python3 -c '
import json, sys
together, alone = json.load(open(sys.argv[1])), json.load(open(sys.argv[2]))
assert [file["verdict"] for file in together["files"]] == ["ok", "caution", "fail"]
assert together["verdict"] == "fail" and together["files"][0]["result"] == alone
' "$work/out" <("$farend" check --format json "$work/jobs/a.yaml")
t 1 "CSV of several jobs" check --format csv -o "$work/all.csv" "$work/jobs"/*.yaml
quiet_out "CSV of several jobs"
is "every row names its file first" awk -F, '
	NF > 1 && $1 != "file" && $1 !~ /[abc]\.yaml$/ { exit 1 }' "$work/all.csv"
is "what one job says stands in it" test "$(grep -c "^$work/jobs/a.yaml,strip," "$work/all.csv")" = \
	"$("$farend" check --format csv "$good" | grep -c '^strip,')"
"$farend" check "$good" "$good" >/dev/full 2>"$work/err"
is "full device: several jobs" test $? -eq 4

# 400 jobs leave no more memory behind than one. The sanitizers' shadow takes more than any limit.
most=400000
grep -qa __asan_init "$farend" && most=unlimited
many=$(yes "$good" | head -n 400)
(ulimit -v "$most"; exec "$farend" check --format csv $many >"$work/out" 2>"$work/err")
is "400 jobs" test $? -eq 0
quiet_err "no progress into a file"

# explain
t 0 "explain" explain
out_has "lists every check" "far-end-dim"
out_has "lists every mistake" "no-unit"
is "explain fits 80 columns" awk 'length($0) > 80 { exit 1 }' "$work/out"
for name in $(awk 'NR > 2 && /^[a-z-]+  / { print $1 }' "$work/out"); do
	t 0 "explain $name" explain "$name"
	is "explain $name fits 80 columns" awk 'length($0) > 80 { exit 1 }' "$work/out"
done

echo "1..$count"
exit "$failed"
