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

# Jobs and decks of the same networks, all as they were when they were first compared.
for strips in 20 200 2000; do
	(
		cd "$b"
		./make_job "$strips" "$strips.yaml" "$strips.cir" "$strips.raw"
		cksum "$strips.yaml" "$strips.cir"
	)
done >"$b/sums"
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

# Two figures each, as "PASSED/BUSY" of a whole process in ms: the time on the clock, and the processor's.
both() {
	awk "BEGIN { printf \"%.1f/%.1f\", 1000 * $1, 1000 * $2 }"
}
ratios() {
	awk "BEGIN { printf \"%.${5:-0}f/%.${5:-0}f\", $1 / $3, $2 / $4 }"
}
echo "Load of the machine: $(cut -d ' ' -f 1-3 /proc/loadavg)"
echo
echo "Whole processes, passed/busy ms. Scan: libyaml's events of the job file, nothing kept. ngspice: -b, the"
echo "operating point of the same network, once; farend: that case, one for every switch, checks and JSON"
measure "" 21 0 true
echo "A process that does nothing: $(both "$passed" "$busy")"
printf '%8s %10s %12s %14s %18s %16s %12s\n' strips "cut units" scan farend ngspice ngspice/farend \
	farend/scan
for strips in 20 200 2000; do
	runs=$((strips > 200 ? 1 : 5))
	measure "" 21 0 "$b/yaml_scan" "$b/$strips.yaml"
	scan=$passed scan_busy=$busy
	measure "" 21 0 "$farend" check --format json "$b/$strips.yaml"
	check=$passed check_busy=$busy
	rm -f "$b/$strips.raw"
	measure "" $runs 0 sh -c "cd $b && ngspice -b $strips.cir"
	test -s "$b/$strips.raw"
	[ "$strips" -gt 20 ] || spice=$passed spice_busy=$busy
	printf '%8d %10d %12s %14s %18s %16s %12s\n' "$strips" $((100 * strips)) "$(both "$scan" "$scan_busy")" \
		"$(both "$check" "$check_busy")" "$(both "$passed" "$busy")" \
		"$(ratios "$passed" "$busy" "$check" "$check_busy")" \
		"$(ratios "$check" "$check_busy" "$scan" "$scan_busy" 1)"
done

# Samples against single solves: what 2,000 more builds cost, one by one.
echo
printf '%-52s %8s %8s\n' "Samples of the job of 20 strips, ms" passed busy
measure "farend check" 11 0 "$farend" check "$b/20.yaml"
check=$passed check_busy=$busy
measure "farend check --tolerance --samples 2000" 3 1 "$farend" check --tolerance --samples 2000 "$b/20.yaml"
awk "BEGIN { printf \"%-52s %8.3f %8.3f\\n\", \"  one sample\", ($passed - $check) / 2, ($busy - $check_busy) / 2 }"
ratio "ngspice -b / one sample" "2000 * $spice / ($passed - $check)" "2000 * $spice_busy / ($busy - $check_busy)"

echo
"$b/make_job" 100 "$b/100.yaml"
printf '%-52s %8s %8s\n' "Sizing a job of 100 strips, ms" passed busy
measure "farend check" 11 1 "$farend" check "$b/100.yaml"
check=$passed check_busy=$busy
measure "farend size" 5 1 "$farend" size "$b/100.yaml"
ratio "size / check" "$passed / $check" "$busy / $check_busy"

# Fresh memory costs page faults, which are the system's and not the solver's: KLU too keeps its own.
keep="env MALLOC_TRIM_THRESHOLD_=4000000000 MALLOC_MMAP_THRESHOLD_=4000000000"
echo
echo "The solver alone, against KLU on the matrix with every cut unit an unknown, busy us. Warm: analysed, other"
echo "values, against refactor and solve. Sample: one of eight in a batch, against a warm solve"
printf '%10s %7s %9s %9s %9s %10s %10s %10s %10s %11s %15s\n' "cut units" chains cold warm sample \
	"KLU cold" "KLU warm" KLU/cold KLU/warm warm/sample "ns/unit, sample"
for shape in "10 100" "20 100" "100 100" "20 1000" "1000 100" "10000 100"; do
	# shellcheck disable=SC2086
	$keep "$b/solve_time" $shape | awk -v chains="${shape% *}" '{
		printf "%10d %7d %9.1f %9.1f %9.2f %10.0f %10.0f %10.1f %10.1f %11.1f %15.2f\n", $1, chains,
			1e6 * $3, 1e6 * $4, 1e6 * $5, 1e6 * $6, 1e6 * $7, $6 / $3, $7 / $4, $4 / $5, 1e9 * $5 / $1 }'
done

echo
echo "farend check --format json by size, four switches to every driver, whole process; scan as above"
printf '%10s %8s %10s %10s %14s %8s %14s %10s %12s\n' "cut units" strips "passed ms" "busy ms" \
	"busy ns / unit" KiB "bytes / unit" "scan ms" farend/scan
for strips in 10 100 1000 10000; do
	runs=$((strips > 1000 ? 3 : 11))
	"$b/make_job" "$strips" "$b/$strips.yaml"
	measure "" "$runs" 0 "$b/yaml_scan" "$b/$strips.yaml"
	scan_busy=$busy
	measure "" "$runs" 0 "$farend" check --format json "$b/$strips.yaml"
	awk "BEGIN { printf \"%10d %8d %10.1f %10.1f %14.0f %8d %14.0f %10.1f %12.1f\\n\", 100 * $strips, $strips,
		1e3 * $passed, 1e3 * $busy, 1e9 * $busy / (100 * $strips), $kib, 1024 * $kib / (100 * $strips),
		1e3 * $scan_busy, $busy / $scan_busy }"
done
echo
echo "Load of the machine: $(cut -d ' ' -f 1-3 /proc/loadavg)"
