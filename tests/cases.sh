#!/bin/sh
# Golden cases. fixtures/cases/NAME/ holds args (one command line, run by the shell from the top folder
# with "farend" in front), stdout and status as they are to be, and stderr where that is to be compared.
#     tests/cases.sh                runs all of them, prints TAP
#     tests/cases.sh --bless NAME   shows what changed and takes it over
cd "$(dirname "$0")/.." || exit 1
farend=${FAREND:-build/farend}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
unset NO_COLOR

run() # NAME: leaves stdout, stderr and status in $work
{
	eval "\"$farend\" $(cat "fixtures/cases/$1/args")" \
		>"$work/raw" 2>"$work/stderr" </dev/null
	echo $? >"$work/status"
	# how near to zero a sum came depends on the compiler: that it is near, the unit tests see to
	sed 's/within [0-9.e+-]* \([AW]\)/within ... \1/g' "$work/raw" >"$work/stdout"
}

if [ "${1:-}" = --bless ]; then
	name=${2:?NAME is missing}
	run "$name"
	for part in stdout stderr status; do
		old=fixtures/cases/$name/$part
		if [ "$part" = stderr ] && [ ! -s "$work/stderr" ]; then
			rm -f "$old"
			continue
		fi
		diff -u "$old" "$work/$part" 2>/dev/null
		cp "$work/$part" "$old"
	done
	exit 0
fi

count=0
failed=0
for folder in fixtures/cases/*/; do
	name=$(basename "$folder")
	count=$((count + 1))
	run "$name"
	[ -f "$folder/stderr" ] || : >"$work/no-stderr"
	expected=$folder/stderr
	[ -f "$expected" ] || expected=$work/no-stderr
	if diff -u "$folder/stdout" "$work/stdout" >"$work/diff" 2>&1 &&
	   diff -u "$expected" "$work/stderr" >>"$work/diff" 2>&1 &&
	   diff -u "$folder/status" "$work/status" >>"$work/diff" 2>&1; then
		echo "ok $count - $name"
	else
		echo "not ok $count - $name"
		sed 's/^/# /' "$work/diff"
		failed=1
	fi
done
echo "1..$count"
[ "$count" -gt 0 ] && [ "$failed" -eq 0 ]
