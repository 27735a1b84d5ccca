#!/bin/bash
# Jobs as large as they come: a chain of showrooms with 10,000 strips on 500 drivers, and jobs at the limits that
# docs/input.md states. Prints TAP.
cd "$(dirname "$0")/.." || exit 1
farend=$(realpath "${FAREND:-build/farend}")
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
count=0
failed=0

is() # NAME COMMAND...
{
	local name=$1
	shift
	count=$((count + 1))
	if "$@" >"$work/said" 2>&1; then
		echo "ok $count - $name"
	else
		echo "not ok $count - $name"
		head -n 3 "$work/said" | sed 's/^/# /'
		failed=1
	fi
}

# DRIVERS: sound wiring, for every driver four switches with a block each and five strips of 2.5 m on each block
chain()
{
	awk -v drivers="$1" 'BEGIN {
		print "job: {name: chain of showrooms, ambient: 25 C}"
		print "strip_types: {T1: {voltage: 24 V, power: 4.8 W/m, cut_length: 25 mm, reel: 5 m,"
		print "  loop_resistance: 0.2 ohm/m, led_knee: 16.5 V}}"
		print "cable_types: {thin: {size: 1.5 mm2, joint: screw}, thick: {size: 2.5 mm2, joint: screw}}"
		print "drivers:"
		for (d = 1; d <= drivers; d++) printf "  D%d: {voltage: 24 V, power: 320 W}\n", d
		print "switches:"
		for (s = 1; s <= 4 * drivers; s++) printf "  S%d: {max_current: 5 A, on_resistance: 35 mohm}\n", s
		print "blocks:"
		for (b = 1; b <= 5 * drivers; b++) printf "  B%d: {ports: 24, max_current: 60 A}\n", b
		print "strips:"
		for (l = 1; l <= 20 * drivers; l++) printf "  L%d: {type: T1, length: 2.5 m}\n", l
		print "cables:"
		for (d = 1; d <= drivers; d++) {
			main = 5 * (d - 1) + 1
			cable("thick", "D" d, "B" main, 1)
			for (k = 1; k <= 4; k++) {
				s = 4 * (d - 1) + k
				cable("thin", "B" main, "S" s, 1 + 0.1 * (s % 7))
				cable("thin", "S" s, "B" main + k, 0.3)
				for (i = 0; i < 5; i++) {
					l = 5 * s - i
					cable("thin", "B" main + k, "L" l, 0.4 + 0.05 * (l % 11))
				}
			}
		}
	}
	function cable(type, from, to, metres) {
		printf "  C%d: {type: %s, from: %s, to: %s, length: %.2f m}\n", ++cables, type, from, to, metres
	}'
}

within() # KIB COMMAND...: with that much address space at most, the result in $work/out
{
	local most=$1
	shift
	(ulimit -v "$most"; "$@" >"$work/out")
}

# The sanitizers' shadow takes more than any limit.
gibibyte=1048576
grep -qa __asan_init "$farend" && gibibyte=unlimited

chain 500 >"$work/chain.yaml"
start=$(date +%s)
is "10,000 strips on 500 drivers are checked, in 1 GiB" \
	within $gibibyte "$farend" check --format json "$work/chain.yaml"
seconds=$(($(date +%s) - start))
is "in a few seconds" test "$seconds" -lt 20
is "its JSON is complete and sound" python3 -c '
import json, math, sys
result = json.load(open(sys.argv[1]))
assert result["verdict"] == "ok" and len(result["strips"]) == 10000 and len(result["drivers"]) == 500
assert result["solution"]["cut_units"] == 1000000 and result["solution"]["residual_a"] < 1e-9
assert all(0.9 < strip["light_min"] <= strip["light_max"] < 1 for strip in result["strips"].values())
# wired alike, lit alike: every driver is the first one again, but for the lengths of its cables
assert max(d["output_w"] for d in result["drivers"].values()) / result["drivers"]["D1"]["output_w"] < 1.01
' "$work/out"

# Longer than a second: progress on a terminal, taken away in the end, and none elsewhere
many=$(yes "$work/chain.yaml" | head -n 12)
TERM=xterm script -qec "'$farend' check --format csv -o /dev/null $(echo $many)" /dev/null \
	</dev/null >"$work/tty" 2>&1
is "progress on a terminal" grep -q 'of 12  ' "$work/tty"
is "gone in the end" test "$(tail -c 4 "$work/tty" | od -An -tx1 | tr -d ' \n')" = 0d1b5b4b
TERM=xterm "$farend" check --format csv -o /dev/null $many 2>"$work/err"
is "none into a file" test ! -s "$work/err"

chain 20 >"$work/small.yaml"
pad() # BYTES: the small job with a comment that makes it so long
{
	cat "$work/small.yaml"
	head -c "$(($1 - $(wc -c <"$work/small.yaml") - 2))" /dev/zero | tr '\0' x | fold -w 79 | sed 's/^./#/'
}
pad 20000000 | head -c $((16 * 1024 * 1024)) >"$work/most.yaml"
is "a file of 16 MiB" within $gibibyte "$farend" check --format csv "$work/most.yaml"
echo >>"$work/most.yaml"
"$farend" check "$work/most.yaml" >"$work/out" 2>"$work/err"
is "one byte more is too large" test $? -eq 3
is "and says so" grep -q 'larger than 16 MiB' "$work/err"

long=$(printf 'x%.0s' $(seq 64))
{
	echo "strip_types: {fine: {voltage: 24 V, power: 1 W/m, cut_length: 1 mm, reel: 5 m, max_run: 100 m}}"
	echo "drivers: {$long: {voltage: 24 V, power: 320 W}}"
	echo "strips: {L1: {type: fine, length: 100 m}, L2: {type: fine, length: 1 m}}"
	echo "cables:"
	echo "  C1: {size: 6 mm2, from: $long, to: L1, length: 1 km}"
	echo "  C2: {size: 6 mm2, from: $long, to: L2, length: 1 m}"
} >"$work/limits.yaml"
"$farend" check --format json "$work/limits.yaml" >"$work/out" 2>"$work/err"
is "a strip of 100 m in 100,000 cut units, a cable of 1 km, a name of 64 letters" test $? -le 1
is "solved" grep -q '"cut_units": 101000' "$work/out"
for beyond in 's/length: 100 m}/length: 101 m}/' 's/1 km/1001 m/' "s/$long/x$long/g"; do
	sed "$beyond" "$work/limits.yaml" >"$work/beyond.yaml"
	"$farend" check "$work/beyond.yaml" >"$work/out" 2>"$work/err"
	status=$?
	is "beyond: $(grep -o '\[[a-z-]*\]' "$work/err" | head -n 1)" test $status -eq 3 -a ! -s "$work/out"
done

echo "1..$count"
exit "$failed"
