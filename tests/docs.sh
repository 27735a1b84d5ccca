#!/usr/bin/env bash
# Runs every example of the manual: in a ```console block a line that begins with "$ " is a command, the
# lines after it are the beginning of its output (both streams), a line of "..." at the end stands for the
# rest. `tests/docs.sh --write` puts today's output in, keeping as many lines as stood there.
# All other blocks and commands are tried by tests/docs_blocks.py, which this runs.
set -u
cd "$(dirname "$0")/.." || exit 1
mode=${1:-test}
export FAREND=${FAREND:-build/farend}
failed=0
for page in README.md docs/*.md; do
	made=$(mktemp)
	awk -v mode="$mode" '
	function flush_block(   command, line, n, k, lines) {
		if (!in_block || cmd == "") return
		n = 0
		command = cmd " 2>&1"
		sub(/^build\/farend/, ENVIRON["FAREND"], command)
		while ((command | getline line) > 0) lines[++n] = line
		close(command)
		keep = wanted > 0 ? wanted : n
		for (k = 1; k <= n && k <= keep; k++) print lines[k]
		if (keep < n) print "..."
	}
	/^```console$/ { in_block = 1; cmd = ""; print; next }
	/^```$/ && in_block { flush_block(); in_block = 0; cmd = ""; print; next }
	in_block && /^\$ / { flush_block(); cmd = substr($0, 3); wanted = 0; print; next }
	in_block { if ($0 != "...") wanted++; next }
	{ print }' "$page" >"$made"
	if grep -q '^```console$' "$page"; then
		if [ "$mode" = --write ]; then
			cat "$made" >"$page"
		elif cmp -s "$made" "$page"; then
			echo "ok - $page"
		else
			failed=1
			echo "not ok - $page does not show what its commands print"
			diff "$page" "$made" | head -20
		fi
	fi
	rm -f "$made"
done

[ "$mode" = --write ] && exit
tests/docs_blocks.py || failed=1
exit "$failed"
