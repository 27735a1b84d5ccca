#!/usr/bin/env bash
# Runs every example of the manual: in a ```console block a line that begins with "$ " is a command, the
# lines after it are the beginning of its output (both streams), a line of "..." at the end stands for the
# rest. `tests/docs.sh --write` puts today's output in, keeping as many lines as stood there.
# Commands of other blocks are run too, in a folder with a my-job.yaml, and must succeed; a ```yaml block that
# is a whole job, with drivers, strips and cables, must check clean.
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

program=$(realpath "$FAREND")
answers=$PWD/fixtures/cases/new-ask/answers
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# Every block of a kind, each line behind the block's number: FENCE PAGE
blocks()
{
	awk -v fence="$1" '
	/^```/ { open = !open; inside = open && $0 == fence; n += open; next }
	inside { print n "\t" $0 }' "$2"
}

said() # RESULT NAME
{
	if [ "$1" -eq 0 ]; then
		echo "ok - $2"
	else
		failed=1
		echo "not ok - $2"
		head -n 5 "$work/err" | sed 's/^/# /'
	fi
}

for page in README.md docs/*.md; do
	rm -rf "$work/here"
	mkdir "$work/here"
	while read -r line; do
		case $line in
		*'farend new '*) ;;
		*) [ -e "$work/here/my-job.yaml" ] || "$program" new -o "$work/here/my-job.yaml" ;;
		esac
		(cd "$work/here" && eval "\"$program\" ${line#*farend }" <"$answers") >"$work/out" 2>"$work/err"
		said $? "$page: $line"
	done < <(blocks '```' "$page" | cut -f 2 | grep -E '^(build/)?farend ')
	for n in $(blocks '```yaml' "$page" | cut -f 1 | sort -nu); do
		blocks '```yaml' "$page" | sed -n "s/^$n\t//p" >"$work/job.yaml"
		[ "$(grep -cE '^(drivers|strips|cables):' "$work/job.yaml")" -eq 3 ] || continue
		"$program" check --strict "$work/job.yaml" >"$work/out" 2>"$work/err"
		said $? "$page: the job in it checks clean"
	done
done
diff <(blocks '```c' README.md | cut -f 2-) <(sed -n 's/^ \*     //p' include/farend.h) >"$work/err"
said $? "README.md: the example in C is that of farend.h, which tests/install.sh compiles"
exit "$failed"
