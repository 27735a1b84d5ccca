#!/bin/sh
# `make bench`: how fast, against what. Prints ratios; a slow machine is no failure, so nothing
# here passes or fails on time. It fails where a program fails, or where the two sides would not
# solve the same network. Processor time stands beside the time that passed: it hardly feels what
# else runs.
set -eu
cd "$(dirname "$0")/../.."
farend=${FAREND:-build/farend}
library=${FAREND_LIBRARY:-build/libfarend.a}
b=build/bench
mkdir -p "$b"

compile() {
	program=$1
	shift
	${CC:-cc} -std=c11 -D_POSIX_C_SOURCE=200809L -O2 -ffp-contract=off -Isrc -Itests \
		-o "$b/$program" "$@"
}
compile make_job tests/bench/make_job.c tests/oracle/plan.c tests/oracle/plan_yaml.c \
	tests/oracle/spice_deck.c "$library" -lm
compile yaml_scan tests/bench/yaml_scan.c -lyaml
compile stopwatch tests/bench/stopwatch.c
compile solve_time tests/bench/solve_time.c "$library" -lklu -lbtf -lamd -lcolamd \
	-lsuitesparseconfig -lm

# The job and the deck of the same network, both as they were when they were first compared.
(
	cd "$b"
	./make_job 200 200.yaml 200.cir 200.raw
	cksum 200.yaml 200.cir
) >"$b/sums"
cmp "$b/sums" tests/bench/pinned.sum

# NAME of a row, then RUNS MOST_STATUS COMMAND...; leaves the figures in $passed, $busy and $kib.
measure() {
	name=$1
	shift
	figures=$("$b/stopwatch" "$@")
	read -r passed busy kib <<-END
		$figures
	END
	if [ -n "$name" ]; then
		printf '%-52s %8s %8s\n' "  $name" "$(ms "$passed")" "$(ms "$busy")"
	fi
}
ms() {
	awk "BEGIN { printf \"%.1f\", 1000 * $1 }"
}
ratio() {
	awk "BEGIN { printf \"%-52s %8.1f %8.1f\n\", \"  $1\", $2, $3 }"
}

printf '%-52s %8s %8s\n' "Whole processes, 20 000 cut units in 200 strips, ms" passed busy
measure "a process that does nothing" 21 0 true
idle=$passed idle_busy=$busy
measure "libyaml's events of the job file" 21 0 "$b/yaml_scan" "$b/200.yaml"
scan=$passed scan_busy=$busy
measure "farend check --format json" 21 1 "$farend" check --format json "$b/200.yaml"
check=$passed check_busy=$busy
rm -f "$b/200.raw"
measure "ngspice -b, operating point of the same network" 5 0 sh -c "cd $b && ngspice -b 200.cir"
test -s "$b/200.raw"
ratio "ngspice / farend" "$passed / $check" "$busy / $check_busy"
ratio "farend / libyaml's events" "$check / $scan" "$check_busy / $scan_busy"
ratio "the same with the idle process taken off both" "($check - $idle) / ($scan - $idle)" \
	"($check_busy - $idle_busy) / ($scan_busy - $idle_busy)"

"$b/make_job" 100 "$b/100.yaml"
echo
printf '%-52s %8s %8s\n' "Sizing a job of 100 strips, ms" passed busy
measure "farend check" 11 1 "$farend" check "$b/100.yaml"
check=$passed check_busy=$busy
measure "farend size" 5 1 "$farend" size "$b/100.yaml"
ratio "size / check" "$passed / $check" "$busy / $check_busy"

# Fresh memory costs page faults, which are the system's and not the solver's: it is kept for reuse.
keep="env MALLOC_TRIM_THRESHOLD_=4000000000 MALLOC_MMAP_THRESHOLD_=4000000000"
echo
echo "The solver alone, against KLU on the matrix with every cut unit an unknown, us"
printf '%10s %8s %10s %10s %12s %10s %14s %12s\n' "cut units" chains solve "KLU cold" \
	"KLU refactor" cold/solve refactor/solve "ns per unit"
for shape in "10 100" "100 100" "20 1000" "1000 100" "10000 100"; do
	# shellcheck disable=SC2086
	$keep "$b/solve_time" $shape | awk -v chains="${shape% *}" '{
		printf "%10d %8d %10.0f %10.0f %12.0f %10.1f %14.1f %12.0f\n", $1, chains, 1e6 * $3, 1e6 * $4,
			1e6 * $5, $4 / $3, $5 / $3, 1e9 * $3 / $1 }'
done

echo
echo "farend check --format json by size, four switches to every driver, whole process"
printf '%10s %8s %10s %10s %14s %10s %16s\n' "cut units" strips "passed ms" "busy ms" \
	"busy ns / unit" KiB "bytes / unit"
for strips in 10 100 1000 10000; do
	"$b/make_job" "$strips" "$b/$strips.yaml"
	measure "" "$((strips > 1000 ? 3 : 11))" 1 "$farend" check --format json "$b/$strips.yaml"
	awk "BEGIN { printf \"%10d %8d %10.1f %10.1f %14.0f %10d %16.0f\n\", 100 * $strips, $strips,
		1e3 * $passed, 1e3 * $busy, 1e9 * $busy / (100 * $strips), $kib, 1024 * $kib / (100 * $strips) }"
done
