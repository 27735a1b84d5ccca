#!/usr/bin/env bash
# Wrong input: every file of fixtures/bad, and every as-built file of fixtures/bad-built, must be refused
# with exactly the words of its .expect file, and every kind of mistake must occur; the odd but right ones
# of fixtures/good-odd and fixtures/good-odd-built must be read.
#     tests/bad.sh [--bless] [PROGRAM]
# PROGRAM is $FAREND or build/farend if left out. --bless writes the .expect files anew.
set -u
cd "$(dirname "$0")/.." || exit 1
bless=no
if [ "${1-}" = --bless ]; then
	bless=yes
	shift
fi
farend=${1:-${FAREND:-build/farend}}
temp=$(mktemp -d) || exit 1
trap 'chmod -R u+rwx "$temp"; rm -rf "$temp"' EXIT
count=0
failed=0

result() { # NAME WHAT-IS-WRONG
	count=$((count + 1))
	if [ -z "$2" ]; then
		echo "ok $count - $1"
	else
		echo "not ok $count - $1: $2"
		failed=$((failed + 1))
	fi
}

# Runs the program; leaves status, $temp/out and $temp/err, and adds what was said to $temp/all.
run() { # ARGUMENT...
	"$farend" check "$@" >"$temp/out" 2>"$temp/err" </dev/null
	status=$?
	cat "$temp/err" >>"$temp/all"
}

# Whether the run was refused as it should be; the words that were to be said stand in a file.
refused() { # NAME STATUS EXPECTED-FILE
	local wrong=
	if [ "$status" -ne "$2" ]; then
		wrong="exit status $status instead of $2"
	elif [ -s "$temp/out" ]; then
		wrong="something on standard output"
	elif ! diff "$3" "$temp/err" >"$temp/diff" 2>&1; then
		wrong="other words on standard error"
		sed 's/^/# /' "$temp/diff"
	fi
	result "$1" "$wrong"
}

# The same with the words given directly.
says() { # NAME STATUS WORDS...
	printf '%s\n' "${@:3}" >"$temp/expect"
	refused "$1" "$2" "$temp/expect"
}

nothing_solved='1 error; nothing was solved'

fixtures() {
	local file
	for file in fixtures/bad/*.yaml; do
		run "$file"
		if [ "$bless" = yes ]; then
			cp "$temp/err" "${file%.yaml}.expect"
		fi
		refused "$file" 3 "${file%.yaml}.expect"
	done
	for file in fixtures/good-odd/*.yaml; do
		run "$file"
		local wrong=
		if [ "$status" -gt 1 ]; then
			wrong="exit status $status"
		elif [ -s "$temp/err" ] || [ ! -s "$temp/out" ]; then
			wrong="complaints, or no result"
		fi
		[ -z "$wrong" ] || sed 's/^/# /' "$temp/err"
		result "$file" "$wrong"
	done
}

# As-built files, over fixtures/bad-built/job.yaml or a job of their own name.
built_fixtures() {
	local file job
	for file in fixtures/bad-built/*.csv; do
		job=${file%.csv}.yaml
		[ -e "$job" ] || job=fixtures/bad-built/job.yaml
		run --built "$file" "$job"
		if [ "$bless" = yes ]; then
			cp "$temp/err" "${file%.csv}.expect"
		fi
		refused "$file" 3 "${file%.csv}.expect"
	done
	for file in fixtures/good-odd-built/*.csv; do
		run --built "$file" fixtures/bad-built/job.yaml
		local wrong=
		if [ "$status" -gt 1 ]; then
			wrong="exit status $status"
		elif grep -q ': error: ' "$temp/err" || [ ! -s "$temp/out" ]; then
			wrong="complaints, or no result"
		fi
		[ -z "$wrong" ] || sed 's/^/# /' "$temp/err"
		result "$file" "$wrong"
	done
}

# Things that cannot lie in a repository.
made_here() {
	run "$temp"
	says "a folder" 3 "$temp: error: is a folder [unreadable-file]" "$nothing_solved"

	run "$temp/none.yaml"
	says "a missing file" 3 "$temp/none.yaml: error: no such file or directory [unreadable-file]" \
		"$nothing_solved"

	if [ "$(id -u)" -ne 0 ]; then
		cp fixtures/good-odd/bom.yaml "$temp/secret.yaml"
		chmod 000 "$temp/secret.yaml"
		run "$temp/secret.yaml"
		says "an unreadable file" 3 "$temp/secret.yaml: error: permission denied [unreadable-file]" \
			"$nothing_solved"
	fi

	head -c $((17 * 1024 * 1024)) /dev/zero | tr '\0' '#' >"$temp/large.yaml"
	run "$temp/large.yaml"
	says "a file of 17 MiB" 3 "$temp/large.yaml: error: is larger than 16 MiB [file-too-large]" \
		"$nothing_solved"

	run /dev/null
	says "/dev/null" 3 "/dev/null: error: the file is empty [empty-file]" "$nothing_solved"

	run /dev/zero
	says "/dev/zero, which never ends" 3 "/dev/zero: error: is larger than 16 MiB [file-too-large]" \
		"$nothing_solved"

	run /proc/self/mem
	says "a file that the system cannot read" 4 \
		"/proc/self/mem: error: input/output error [system-error]" "$nothing_solved"

	mkfifo "$temp/pipe"
	cat fixtures/good-odd/bom.yaml >"$temp/pipe" &
	run "$temp/pipe"
	wait
	[ "$status" -le 1 ] && [ ! -s "$temp/err" ]
	result "a named pipe" "$([ $? -eq 0 ] || echo "exit status $status")"

	"$farend" check - <fixtures/bad/no-unit.yaml >"$temp/out" 2>"$temp/err"
	status=$?
	sed 's|^fixtures/bad/no-unit.yaml:|<standard input>:|' fixtures/bad/no-unit.expect >"$temp/expect"
	refused "standard input" 3 "$temp/expect"

	"$farend" check --built fixtures/bad-built/no-item.csv - <fixtures/bad-built/job.yaml >"$temp/out" \
		2>"$temp/err"
	status=$?
	refused "a job from standard input" 3 fixtures/bad-built/no-item.expect

	"$farend" check --built - fixtures/bad-built/job.yaml <fixtures/bad-built/no-item.csv >"$temp/out" \
		2>"$temp/err"
	status=$?
	sed 's|^fixtures/bad-built/no-item.csv:|<standard input>:|' fixtures/bad-built/no-item.expect \
		>"$temp/expect"
	refused "an as-built file from standard input" 3 "$temp/expect"

	run --built "$temp/none.csv" fixtures/bad-built/job.yaml
	says "a missing as-built file" 3 \
		"$temp/none.csv: error: no such file or directory [unreadable-file]" "$nothing_solved"

	{
		echo 'drivers:'
		seq -f '  D%g: {voltage: 24, power: 60 W}' 10050
	} >"$temp/many.yaml"
	run "$temp/many.yaml"
	[ "$status" -eq 3 ] && [ "$(grep -c 'no-unit' "$temp/err")" -eq 10000 ] &&
		[ "$(head -n 1 "$temp/err")" = "$temp/many.yaml: error: more than 10000 mistakes; the rest is not listed [too-many-errors]" ]
	result "ten thousand mistakes" "$([ $? -eq 0 ] || echo "exit status $status")"
}

# No kind of mistake without a file that makes it.
every_kind() {
	local kind
	for kind in $(awk -F'"' '/^X\(/ { print $2 }' src/load/load_diag.def); do
		grep -q "\[$kind\]\$" "$temp/all"
		result "the kind $kind occurs" "$([ $? -eq 0 ] || echo "no file makes this mistake")"
	done
}

fixtures
built_fixtures
made_here
every_kind
echo "1..$count"
[ "$failed" -eq 0 ]
