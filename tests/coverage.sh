#!/bin/sh
# What of the sources was run, from the counts that a build with --coverage leaves:
#     tests/coverage.sh BUILD files|list SOURCE.c...
# `files`: lines and branches of each file, worst first; `list`: every line that was not reached. Both end
# with the shares of all. Branches are gcc's: every way out of every condition. Those inside assert() are
# left out: the other way ends the program.
cd "$(dirname "$0")/.." || exit 1
build=$1
what=$2
shift 2
for source in "$@"; do
	object=$build/${source%.c}.o
	[ -e "${object%.o}.gcda" ] || { echo "$source: never run" >&2; continue; }
	gcov -b -c -t "$object" 2>/dev/null
done | awk -v what="$what" '
	function counts() { return file ~ /^(src|include)\// }
	/^ +-: +0:Source:/ {
		file = $0
		sub(/.*Source:/, "", file)
		next
	}
	/^ +-: +0:/ || !counts() { next }
	/^ *[0-9#=*-]+\*?: *[0-9]+:/ {
		split($0, part, ":")
		line = part[2] + 0
		text = $0
		sub(/^[^:]*:[^:]*:/, "", text)
		asserted = text ~ /^[ \t]*assert\(/
		way = 0
		hits = part[1] ~ /#|=/ ? 0 : part[1] ~ /-/ ? -1 : part[1] + 0
		if (hits < 0)
			next
		key = file SUBSEP line
		if (!(key in lines))
			order[++known] = key
		lines[key] += hits
		source[key] = text
		next
	}
	/^branch/ && !asserted {
		key = file SUBSEP line SUBSEP way++
		branches[key] += /never/ ? 0 : $4 + 0
	}
	END {
		for (i = 1; i <= known; i++) {
			split(order[i], part, SUBSEP)
			total[part[1]]++
			if (lines[order[i]] > 0)
				run[part[1]]++
			else if (what == "list")
				printf "%s:%d:%s\n", part[1], part[2], source[order[i]]
		}
		for (key in branches) {
			split(key, part, SUBSEP)
			ways[part[1]]++
			taken[part[1]] += branches[key] > 0
		}
		for (file in total) {
			if (what == "files")
				printf "%6.1f %% of %4d lines %6.1f %% of %4d branches  %s\n",
				       100 * run[file] / total[file], total[file],
				       ways[file] ? 100 * taken[file] / ways[file] : 100, ways[file], file | "sort -n"
			all += total[file]; all_run += run[file]
			all_ways += ways[file]; all_taken += taken[file]
		}
		close("sort -n")
		printf "%.1f %% of %d lines, %.1f %% of %d branches\n", 100 * all_run / all, all,
		       100 * all_taken / all_ways, all_ways
	}'
