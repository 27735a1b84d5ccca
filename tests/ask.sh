#!/bin/bash
# The interview of `new --ask`, from outside: answers line by line, what is written, and what is not. Prints TAP.
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

# is NAME COMMAND...
is()
{
	local name=$1
	shift
	"$@" >/dev/null 2>&1
	verdict $? "$name"
}

said() { is "$1" grep -qF -e "$2" "$work/err"; }
not_said() { is "$1" test -z "$(grep -F -e "$2" "$work/err")"; }
has() { is "$1" grep -qF -e "$2" "$work/job.yaml"; }

# talk STATUS NAME ANSWER...: the answers and then Enter for all the rest, to $work/job.yaml
talk()
{
	local wanted=$1 name=$2 got
	shift 2
	rm -f "$work/job.yaml"
	{ printf '%s\n' "$@"; yes "" | head -n 120; } |
		(cd "$work" && "$farend" new --ask -o job.yaml) >"$work/out" 2>"$work/err"
	got=$?
	[ "$got" -eq "$wanted" ] || echo "# exit status $got, not $wanted: $(tail -n 3 "$work/err")"
	[ "$got" -eq "$wanted" ]
	verdict $? "$name"
}

# The same without Enter for the rest.
ends()
{
	local wanted=$1 name=$2
	shift 2
	rm -f "$work/job.yaml"
	printf '%s\n' "$@" | "$farend" new --ask -o "$work/job.yaml" >"$work/out" 2>"$work/err"
	is "$name: status $wanted" test "${PIPESTATUS[1]}" -eq "$wanted"
	is "$name: nothing is written" test ! -e "$work/job.yaml"
	said "$name: and that is said" "Nothing was written."
}

# passes NAME: the job checks without failing finding or caution, and fits the page
passes()
{
	is "$1: the job checks" "$farend" check --strict "$work/job.yaml"
	is "$1: nothing on stdout" test ! -s "$work/out"
	is "$1: what is said fits 80 columns" awk '!/^    \[/ && length($0) > 80 { exit 1 }' "$work/err"
}

# Enter all the way
talk 0 "Enter all the way"
passes "Enter all the way"
is "the job fits 80 columns" awk 'length($0) > 80 { exit 1 }' "$work/job.yaml"
is "no more than 20 answers" test "$(grep -c '\] > ' "$work/err")" -le 20
has "what was not known is marked" "voltage: 24 V           # assumed: a usual value; look at the reel's label"
is "every mark is counted at the end" test \
	"$(sed -n '/^Assumed/,$p' "$work/err" | grep -c '^- ')" -eq 10
said "there is a picture" "+-- C1 2 m of 0.5 mm2 --- S1 switch, bay 1"
said "it names the file" "farend check job.yaml"
talk 0 "don't know everywhere" "" "" 2 yes top "don't know" "Don't know" each unknown "" "DON'T KNOW" \
	"no idea" "don’t know" "don't know" "don't know" "don't know" "don't know"
passes "don't know everywhere"
has "a switch that was not known must stand its strips" "max_current: 3 A"
talk 0 "no idea is no answer where there is no usual value" "" "" "no idea" 2
said "it is explained" "this has to be known"

# Inches
talk 0 "inches" "Mud room" inches 3 yes "top, 2 shelves" "33 1/2, 30, 2 ft 6 1/4 in" alu one "5 A" "" 40 \
	"3 ft, 5' 1-1/2\", 6 ft" 12 12 "3 W/ft" "1 in" "16 ft" "77 F"
passes "inches"
has "inches stay inches" "channel: 33 1/2 in"
has "feet and inches too" "channel: 2 ft 6 1/4 in"
has "marks for feet and inches are quoted" "length: \"5' 1-1/2\\\"\""
has "watts for each foot" "power: 3 W/ft"
has "degrees Fahrenheit" "ambient: 77 F"
has "cable comes in AWG" "AWG, from: D1"
is "nothing is metric" test -z "$(grep -v '^ *#' "$work/job.yaml" | grep -E '[0-9] ?(mm|m|mm2)\b')"
has "plural places are counted" "place: bay 1 shelf 2"

# How many, and which switches
talk 0 "one bay" "" "" 1 top 2400 alu yes
passes "one bay"
has "one strip needs no block" "from: S1, to: L1"
is "and has none" test -z "$(grep '^blocks:' "$work/job.yaml")"
talk 0 "one bay without a switch" "" "" 1 "top; rear" 600 alu no
passes "one bay without a switch"
has "the block is fed by the driver" "from: D1, to: B1"
is "and there is no switch" test -z "$(grep '^switches:' "$work/job.yaml")"
talk 0 "twelve bays" "" "" 12 yes "top, 2 shelves" 900 alu each "" "" \
	"1m, 2m, 3m, 4m, 5m, 6m, 7m, 8m, 9m, 10m, 11m, 12m" 400 24 4.8
passes "twelve bays"
has "all of them" "place: bay 12 shelf 2"
talk 0 "no switch at all" "" "" 4 yes top 600 alu none
passes "no switch at all"
has "the driver feeds the strips" "from: D1, to: L4"
talk 0 "one for all" "" "" 4 yes top 600 alu one
passes "one for all"
has "it feeds a block" "from: S1, to: B1"
talk 0 "bays that differ" "" "" 3 no "top, shelf" "600, 500" top 700 "3 rails" 400 alu each 3 plinth "" 300 400 "1m,2m,3m"
passes "bays that differ"
has "each has its own strips" "channel: 400 mm, place: bay 3 rail 3"
has "and its own leads" "to: L6, length: 3m"
talk 0 "a long run is fed as it must be" "" "" 1 top "4.9 m" alu no "" 3 24 14.4
passes "a long run is fed as it must be"
talk 1 "what cannot be built" "" "" 1 top 90m alu no "" 3m 12 14.4 50 5m 25 "" ""
said "is said plainly" "This does not fit yet"
said "with what is wrong" "- fail, "
has "and written all the same, if so wished" "channel: 90m"
is "check fails as well" test "$("$farend" check "$work/job.yaml" >"$work/out"; echo $?)" -eq 1
talk 0 "or put right" "" "" 1 top 90m alu no "" 3m 24 14.4 50 5m 25 "" 5 900
passes "or put right"
has "with the new length" "channel: 900 mm"

# Going back, changing
talk 0 "back" "First name" back "Second name" mm 2
has "the answer before is asked for again" "name: Second name"
said "with the old one to take" "[First name] > Second name"
talk 0 "back three times" A mm 5 back back back B "" 2
has "goes as far" "name: B"
said "and on to where it was" " 4. Are they all alike"
is "the number was changed" test -z "$(grep 'bay 3' "$work/job.yaml")"
talk 0 "back at the first question" back "Here"
said "says so" "This is the first question."
talk 0 "a strip at the back is not a way back" "" "" 1 rear back "rear, top"
passes "a strip at the back is not a way back"
talk 0 "change at the end" "" "" 2 yes top 600 alu each 3 "" 1m 300 24 9.6 50 5m 25 3 4 11 "1m,2m,3m,4m" 99 x 1 "New name"
passes "change at the end"
has "a number changes that answer" "name: New name"
has "and what hangs on it" "place: bay 4 top"
said "numbers beyond the list are explained" "expected: Enter, a number from 1 to 17, or quit"
talk 0 "other answers are asked for again" "" "" 1 "top, rear" "600, 500" alu no "" 1m 300 24 9.6 50 5m 25 4 "top, mid, rear"
passes "other answers are asked for again"
is "two lengths for three strips do not stay" test "$(grep -c 'channel: 600 mm' "$work/job.yaml")" -eq 3
talk 0 "mm to inches" "" mm 1 top 600 alu no "" 1000 24 9.6 50 5m 25 2 inches
has "what was said in mm stays so" "channel: 600 mm"

# Wrong answers, with the words of the job file
talk 0 "wrong answers" "" furlongs mm 0 25 "a few" 2 maybe yes "top,,rear" top "1,5 m" "12 kg" "850 mm2" "-3" 0 "1 m, 2 m" 850 \
	steel alu some each "3 W" 3 "" "1m,2m,3m" "1m, 2m" 300 230 24 "9.6 W" 9.6 "2 m" 50 "10 mm" 5m hot "300 C" 30
passes "wrong answers"
for words in "'furlongs' is none of the answers; expected: mm or inches" "expected: 1 to 24" \
	"'maybe' is none of the answers" "there is nothing between two commas" "'1,5' has a comma" \
	"unknown unit 'kg'" "'850 mm2' is a cross-section, not a length" "is too small" \
	"that is 2 lengths, expected: one for all, or 1, one for each of top" "'steel' is none of the answers" \
	"'3 W' is a power, not a current" "one for each of bay 1, bay 2" \
	"expected: from 1 V to 120 V" "'9.6 W' is a power, not a power per length" \
	"a strip of 850 mm would not hold one cut unit of 2 m" "a reel is longer than one cut unit of 50 mm" \
	"expected: from -40 C to 100 C" "a bare number is in mm here"; do
	# folded to the page as it is
	is "explained: $words" test -n "$(tr -s '\n ' ' ' <"$work/err" | grep -F -e "$words")"
done
# understood QUESTION ANSWER WORDS: what labels and people say there, as "taken as WORDS"; none: refused
understood()
{
	{ yes "" | head -n $(($1 - 1)); printf '%s\n' "$2"; } | "$farend" new --ask >"$work/out" 2>"$work/err"
	if [ -n "$3" ]; then
		is "question $1: '$2' is $3" grep -qxF "    taken as $3" "$work/err"
	else
		is "question $1: '$2' is refused" test -z "$(grep -e "taken as" -e "^ *$(($1 + 1))\. " "$work/err")"
	fi
}
while IFS='|' read -r question answers; do
	while IFS='>' read -r answer words; do
		understood "$question" "$answer" "$words"
	done < <(tr '|' '\n' <<<"$answers")
done <<'END'
2|metric>mm|in inches>inches|m>|cm>|mm or inches>
3|0 bays>|1000 bays>|-5>|1e9>|2 or 3>|2.5>
4|all the same>yes|they are different>no|not all>no|yes and no>
5|2>|top and rear>|none>|No>
7|aluminum>aluminium|aluminium profile>aluminium|Wood>timber|no aluminium>|channel>|aluminium or timber>
8|one for each>each|one per bay>each|one for all>one|no switches>none|two>
9|max. 3A>3 A|3 amps>3 A|36 W at 12 V>3 A|36 W>|3A (36 W)>3 A
11|2 metres>2 m|6 feet 3 inches>6 ft 3 in|1m each>1 m|2>|2 x 0.75>|1 and 2>|5 M>5 m
13|12V DC>12 V|DC 24V>24 V|24 Vdc>24 V|24 volts>24 V|60 W 24V>24 V|12-24 V>|12/24V>|DC12-24V>|24 V AC>|24V~>|18/2 AWG>
14|9,6 W/m>9.6 W/m|9.6 watts per metre>9.6 W/m|24V 9.6W/m>9.6 W/m|48W/5m>9.6 W/m|48 W on 5 m>9.6 W/m|48 W>|24V 48W 5m>|1,440 W/m>
15|16,67 mm>16.67 mm|10 marks are 500 mm>
16|5M>5 m|5m/16.4ft>5 m|5 m roll>5 m|5m/20ft>
17|25 degrees>25 C|77 degrees F>77 F|25-30 C>
END
for answer in "3 bays" Three 03; do
	talk 0 "'$answer' bays" "" "" "$answer" yes top 600 alu each
	is "are 3" grep -q 'place: bay 3}' "$work/job.yaml"
done
talk 0 "more than any driver" "" "" 1 top "99 m" alu no "" "1 km" 24 "150 W/m" 50 5m 25 "" 5 "1 m" 9 "2 m" 11 9.6
said "is said in plain words" "All strips together take 14850 W, or"
passes "more than any driver"

talk 0 "a line too long" "$(printf '%5000s' x | tr ' ' y)" "Short"
has "is not taken" "name: Short"
talk 0 "too many strips" "" "" 1 "13 shelves" "99999999999999999999 shelves" "0 shelves" "top"
passes "too many strips"
talk 0 "help" "?" "" "?" mm "?"
said "explains" "A bay is one cabinet or one opening"
said "and help does" "It stands at the top of every page."

# Ways out
ends 3 "quit" "" mm quit
ends 3 "quit at the end" "" "" 1 top 600 alu no "" 1m 24 9.6 50 5m 25 quit
ends 3 "end of input" "" mm 3
ends 3 "end of input at the end" "" "" 1 top 600 alu no "" 1m 24 9.6 50 5m 25
"$farend" new --ask -o "$work/job.yaml" <&- >"$work/out" 2>"$work/err"
is "closed input" test $? -eq 3
is "closed input: nothing is written" test ! -e "$work/job.yaml"

# Where it goes
echo "mine" >"$work/old.yaml"
yes "" | head -n 40 | "$farend" new --ask -o "$work/old.yaml" >"$work/out" 2>"$work/err"
is "an old job" test "${PIPESTATUS[2]}" -eq 2
is "is left as it is" test "$(cat "$work/old.yaml")" = mine
not_said "and no question is asked first" "1."
yes "" | head -n 40 | "$farend" new --ask -o "$work/none/job.yaml" >"$work/out" 2>"$work/err"
is "a folder that is not there" test "${PIPESTATUS[2]}" -eq 4
not_said "is said before the first question" "1."
talk 0 "-o"
yes "" | head -n 40 | "$farend" new --ask >"$work/stdout.yaml" 2>"$work/err"
is "standard output is the same" cmp "$work/job.yaml" "$work/stdout.yaml"
said "never overwritten: said before the first question" "never overwritten"
yes "" | head -n 40 | "$farend" new --ask -o - 2>"$work/err" | cmp - "$work/job.yaml"
is "-o - as well" test "${PIPESTATUS[3]}" -eq 0
yes "" | head -n 40 | "$farend" new --ask >/dev/full 2>"$work/err"
is "full device" test "${PIPESTATUS[2]}" -eq 4
: >"$work/empty.yaml"
yes "" | head -n 40 | "$farend" new --ask -o "$work/empty.yaml" 2>"$work/err"
is "an empty file is filled" cmp "$work/job.yaml" "$work/empty.yaml"
is "--ask belongs to new" test "$("$farend" check --ask "$work/job.yaml" 2>"$work/err"; echo $?)" -eq 2
is "no temporary is left" test -z "$(find "$work" -name '.farend*')"
printf '\n\n1\r\ntop\r\n600\r\nalu\r\nno\r\n%s' "$(yes $'\r' | head -n 20)" |
	"$farend" new --ask >"$work/job.yaml" 2>"$work/err"
is "line ends of any system" "$farend" check --strict "$work/job.yaml"

# Names that YAML would take for something else come back as they were typed
hostile() # NAME
{
	printf '%s\n' "$1" "" 1 "$2" 600 alu no "$1" "" "" "" "" "" "" "" |
		"$farend" new --ask >"$work/job.yaml" 2>"$work/err" &&
		"$farend" check "$work/job.yaml" >"$work/check" 2>&1 &&
		[ "$(head -n 1 "$work/check")" = "$1" ]
}
while IFS= read -r name; do
	hostile "$name" top
	verdict $? "name: $name"
	hostile "name" "${name//[,;]/ }"
	verdict $? "place: $name"
done <<'END'
a: b
# not a remark
x # y
- x
? x
: x
{a: b}
[a, b]
&anchor
*alias
!tag
%YAML 1.2
@at
`tick`
| literal
> folded
null
~
yes
true
1.5
0x10
1e3
.inf
2026-11-02
<<
=
---
...
it's
"quoted" or 'single'
"
'
back\slash \n \x41
ends in \
a, b; c
under: the {bench} #1
--help
ñandú, Küche, 日本
END
bad=0
awk 'BEGIN { srand(7); set = " abz09:#-?,[]{}&*!|>\x27\"%@`\\~=<.;/+()_$^"
	for (i = 0; i < 60; i++) { line = "n"; n = 1 + int(rand() * 20)
		for (k = 0; k < n; k++) line = line substr(set, 1 + int(rand() * length(set)), 1)
		gsub(/  +/, " ", line); sub(/ +$/, "", line); print line } }' >"$work/names"
while IFS= read -r name; do
	hostile "$name" top || { bad=$((bad + 1)); echo "# $name"; }
done <"$work/names"
is "60 names by chance" test "$bad" -eq 0
escape=$(printf '\033')
for name in "a${escape}[31mb" $'a\xffb' $'a\x07b' $'a\u202eb' $'a\u0085b'; do
	printf '%s\n' "$name" "Right" >"$work/answers"
	{ cat "$work/answers"; yes "" | head -n 40; } | "$farend" new --ask >"$work/job.yaml" 2>"$work/err"
	is "a hostile byte: the job checks" "$farend" check "$work/job.yaml"
	is "a hostile byte: the terminal does not see it" test -z "$(grep -aP '[\x00-\x08\x0b-\x1f\x7f]' "$work/err")"
done

# A terminal
if ! script -qec true /dev/null >/dev/null 2>&1; then
	verdict 1 "script(1) is needed to have a terminal"
fi
# slowly WORD...: words one after the other, as somebody types: each after something new is on the screen
slowly()
{
	local word size=0
	for word in "$@"; do
		for _ in {1..100}; do
			sleep 0.1
			[ "$(stat -c %s "$work/tty")" -le "$size" ] || break
		done
		sleep 0.2
		size=$(stat -c %s "$work/tty")
		printf '%b' "$word"
	done
	sleep 0.3
}
# to_the_end: the input stays open until the status is on the screen, or script(1) may leave before
to_the_end()
{
	for _ in {1..200}; do
		! grep -q "status [0-9]" "$work/tty" || break
		sleep 0.1
	done
}
# Whoever runs this in the background may have SIGINT ignored, and the program would leave it so.
# The folder of the program may have blanks in its name, and the command is a text.
ln -s "$farend" "$work/there"
on_terminal() # COMMAND: in $work, with what the terminal was like before and after
{
	(cd "$work" && env --default-signal=INT script -qec "sh -c 'trap : INT; stty -g >before; $1; echo \"status \$?\"; stty -g >after'" /dev/null) \
		>>"$work/tty" 2>&1
}
rm -f "$work/job.yaml"
: >"$work/tty"
{ slowly 'Boot room\n' 'mm\n' '\003'; to_the_end; } | on_terminal "./there new --ask -o job.yaml"
is "Ctrl-C: status 130" grep -qF "status 130" "$work/tty"
is "Ctrl-C: said" grep -qF "Interrupted. Nothing was written." "$work/tty"
is "Ctrl-C: nothing is written" test ! -e "$work/job.yaml"
is "Ctrl-C: no temporary is left" test -z "$(find "$work" -name '.farend*')"
is "Ctrl-C: the terminal is as before" cmp "$work/before" "$work/after"
: >"$work/tty"
{ slowly 'Boot room\n' '\004'; to_the_end; } | on_terminal "./there new --ask -o job.yaml"
is "Ctrl-D: status 3" grep -qF "status 3" "$work/tty"
is "Ctrl-D: nothing is written" test ! -e "$work/job.yaml"
: >"$work/tty"
{ slowly 'empty.yaml\n' 'asked.yaml\n'; yes "" | head -n 40; to_the_end; } | on_terminal "./there new --ask"
is "without -o a terminal is asked for the file" grep -qF "Which file shall the job be written to?" "$work/tty"
is "one that is there already is refused" grep -qF "'empty.yaml' is there already" "$work/tty"
is "and the job is there" "$farend" check --strict "$work/asked.yaml"

echo "1..$count"
exit "$failed"
