#!/bin/sh
# `make bench`: how fast, against what. Prints ratios; a slow machine is no failure, so nothing here
# passes or fails on time. It fails where a program fails, or where the two sides would not solve the
# same network.
set -eu
cd "$(dirname "$0")/../.."
farend=${FAREND:-build/farend}
b=build/bench
mkdir -p "$b"

compile() {
	out=$1
	shift
	${CC:-cc} -std=c11 -D_POSIX_C_SOURCE=200809L -O2 -ffp-contract=off -Isrc -Itests \
		-o "$b/$out" "$@"
}
compile make_job tests/bench/make_job.c tests/oracle/plan.c tests/oracle/plan_yaml.c \
	tests/oracle/spice_deck.c build/libfarend.a -lm
compile yaml_scan tests/bench/yaml_scan.c -lyaml
compile stopwatch tests/bench/stopwatch.c
compile solve_time tests/bench/solve_time.c build/libfarend.a \
	-lklu -lbtf -lamd -lcolamd -lsuitesparseconfig -lm

# The pinned job and the deck of the same network.
"$b/make_job" 200 "$b/200.yaml" "$b/200.cir" "$b/200.raw"
sed "s|$b/200.raw|RAW|" "$b/200.cir" >"$b/pinned.cir"
(cd "$b" && cksum 200.yaml pinned.cir) >"$b/sums"
cmp "$b/sums" tests/bench/pinned.sum

# median seconds and KiB of a command: measure RUNS MOST_STATUS COMMAND...
measure() {
	"$b/stopwatch" "$@"
}
line() {
	printf '%-58s %s\n' "$1" "$2"
}
calc() {
	awk "BEGIN { printf \"$1\", $2 }"
}

start=$(measure 21 0 true)
check=$(measure 11 1 "$farend" check --format json "$b/200.yaml")
scan=$(measure 21 0 "$b/yaml_scan" "$b/200.yaml")
rm -f "$b/200.raw"
spice=$(measure 3 0 ngspice -b "$b/200.cir")
test -s "$b/200.raw"
start=${start% *} check=${check% *} scan=${scan% *} spice=${spice% *}

echo "Whole processes, 200 strips, 20 000 cut units (median, ms)"
line "  starting a process that does nothing" "$(calc %.1f "1e3 * $start")"
line "  farend check --format json" "$(calc %.1f "1e3 * $check")"
line "  ngspice -b, operating point of the same network" "$(calc %.1f "1e3 * $spice")"
line "  libyaml's events of the same file" "$(calc %.1f "1e3 * $scan")"
line "  ngspice / farend" "$(calc %.1f "$spice / $check")"
line "  farend / libyaml's events" "$(calc %.1f "$check / $scan")"
line "  farend / libyaml's events, start of a process taken off both" \
	"$(calc %.1f "($check - $start) / ($scan - $start)")"

# Fresh memory costs page faults, which are the system's and not the solver's: memory is kept for reuse.
MALLOC_TRIM_THRESHOLD_=4000000000 MALLOC_MMAP_THRESHOLD_=4000000000
export MALLOC_TRIM_THRESHOLD_ MALLOC_MMAP_THRESHOLD_
echo
echo "The solver alone, against KLU on the matrix with every cut unit an unknown (us)"
printf '%10s %8s | %10s %12s %12s | %s\n' "cut units" "chains" "solve" "KLU cold" "KLU refactor" \
	"cold / solve, refactor / solve"
for shape in "10 100" "100 100" "20 1000" "1000 100" "10000 100"; do
	# shellcheck disable=SC2086
	"$b/solve_time" $shape | awk -v chains="${shape% *}" '{
		printf "%10d %8d | %10.0f %12.0f %12.0f | %.1f, %.1f   %.0f ns per unit\n",
			$1, chains, 1e6 * $3, 1e6 * $4, 1e6 * $5, $4 / $3, $5 / $3, 1e9 * $3 / $1 }'
done
unset MALLOC_TRIM_THRESHOLD_ MALLOC_MMAP_THRESHOLD_

echo
echo "farend check --format json by size, four switches to a driver (whole process)"
printf '%10s %8s | %10s %12s | %10s %14s\n' "cut units" "strips" "ms" "ns per unit" "KiB" "bytes per unit"
for strips in 10 100 1000 10000; do
	"$b/make_job" "$strips" "$b/$strips.yaml"
	runs=$((strips > 1000 ? 3 : 7))
	measure "$runs" 1 "$farend" check --format json "$b/$strips.yaml" | awk -v strips="$strips" '{
		printf "%10d %8d | %10.1f %12.0f | %10d %14.0f\n", 100 * strips, strips, 1e3 * $1,
			1e9 * $1 / (100 * strips), $2, 1024 * $2 / (100 * strips) }'
done
