#!/bin/sh
# Runs fuzz entries one after another, sharing the time:
#     tests/fuzz/run.sh BUILD SECONDS WORKERS ENTRY...
# BUILD has fuzz_ENTRY of each; new inputs go to BUILD/corpus/ENTRY, finds to BUILD/found. Stops with a
# failure after the entries have all run if one of them found something.
cd "$(dirname "$0")/../.." || exit 1
build=$1
seconds=$2
workers=$3
shift 3
each=$((seconds / $#))
[ "$each" -gt 0 ] || each=1
mkdir -p "$build/found" || exit 1
tree=$PWD
# Workers write their logs into the folder that they are started in.
cd "$build" && build=$PWD || exit 1
found=0
for entry in "$@"; do
	case $entry in
	csv) seeds="fixtures/parts fixtures/offcuts fixtures/built fixtures/bad-built fixtures/good-odd-built" ;;
	quantity) seeds= ;;
	*) seeds="fixtures/jobs fixtures/bad fixtures/good-odd" ;;
	esac
	seeds=$(for seed in $seeds "fixtures/corpus/$entry"; do [ -d "$tree/$seed" ] && echo "$tree/$seed"; done)
	mkdir -p "$build/corpus/$entry" || exit 1
	echo "fuzz $entry for $each s, $workers at once"
	parallel=
	[ "$workers" -gt 1 ] && parallel="-jobs=$workers -workers=$workers"
	# Seeds are only read: the first folder is where new inputs go. A slow machine may take seconds for one.
	"$build/fuzz_$entry" $parallel -max_total_time="$each" -timeout=60 -rss_limit_mb=4096 -print_final_stats=1 \
		-dict="$tree/tests/fuzz/words.dict" -artifact_prefix="$build/found/$entry-" "$build/corpus/$entry" $seeds \
		>"$build/$entry.log" 2>&1 || found=1
	rm -f fuzz-[0-9]*.log
	grep -hE 'ERROR|SUMMARY|does not hold|average_exec|number_of_executed|peak_rss' "$build/$entry.log"
done
for file in "$build"/found/*; do
	[ -e "$file" ] && echo "found: $file"
done
exit "$found"
